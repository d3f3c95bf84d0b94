//! An assignment as typed: who, what is asked, what is shared, what was agreed.
use super::terms_words;
use crate::filters::show_measure;
use crate::form::Errors;
use chrono::NaiveDate;
use domain::review::share::{FeeFor, Share, Shares};
use store::finds::Find;
use store::people::Colleague;
use store::review::assignments::{Assignment, Terms};

/// Days and fees beyond this are slips of the hand.
const DAYS: std::ops::RangeInclusive<f64> = 0.0..=2_000.0;
const FEE: std::ops::RangeInclusive<f64> = 0.0..=10_000_000.0;
/// Finds that one assignment may carry.
pub(super) const MOST_FINDS: usize = 500;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AssignmentForm {
    pub find: Vec<String>,
    /// `filter`: the finds are those of the filter that stands in the address.
    pub all: String,
    pub specialist: String,
    pub question: String,
    pub aims: String,
    pub due_on: String,
    /// `yes`: colleagues’ opinions show only once the own one is in.
    pub blind: String,
    pub share: Vec<String>,
    pub days: String,
    pub fee: String,
    pub fee_for: String,
    pub currency: String,
}

/// What a right form says.
pub(super) struct Parsed {
    pub specialist: Colleague,
    pub asked: Asked,
}

/// What is asked, until when, what is shared and agreed.
pub(super) struct Asked {
    pub question: String,
    pub due_on: NaiveDate,
    pub terms: Terms,
}

impl AssignmentForm {
    /// What an empty form offers.
    pub fn begin(&mut self, today: NaiveDate) {
        if self.due_on.is_empty() {
            self.due_on = (today + chrono::Duration::weeks(4)).to_string();
            self.blind = "yes".into();
            self.share = Shares::USUAL.parts().map(|part| part.code().to_owned()).collect();
        }
    }

    /// Whether a part is ticked.
    pub fn shares(&self, part: &Share) -> bool {
        self.share.iter().any(|code| code == part.code())
    }

    /// What it says, or what is wrong with it.
    pub fn parse(
        &self,
        (specialists, finds): (&[Colleague], &[Find]),
        today: NaiveDate,
    ) -> Result<Parsed, Errors> {
        let mut errors = Errors::default();
        let specialist = specialists.iter().find(|s| s.id.to_string() == self.specialist).cloned();
        if specialist.is_none() {
            errors.add("specialist", "Choose the specialist.");
        }
        let asked = self.parse_asked(today, &mut errors);
        let shares = self.shared();
        let restricted = finds.iter().filter(|find| find.restricted).count();
        if restricted > 0 && !shares.has(Share::Restricted) {
            let which =
                if restricted == 1 { "One find is".into() } else { format!("{restricted} finds are") };
            let words = format!("{which} restricted. Tick that these may be seen, or leave them out.");
            errors.add("share", words);
        }
        match (specialist, asked) {
            (Some(specialist), Some(asked)) if errors.is_empty() => Ok(Parsed { specialist, asked }),
            _ => Err(errors),
        }
    }

    /// What it asks, due not before `least`; none where something of it is wrong.
    pub fn parse_asked(&self, least: NaiveDate, errors: &mut Errors) -> Option<Asked> {
        let question = errors.text("question", &self.question);
        if question.is_empty() {
            errors.add("question", "Ask something: what it is, its date, its material.");
        }
        let due_on = errors.day("due_on", &self.due_on);
        match due_on {
            None => errors.add("due_on", "Say until when."),
            Some(day) if day < least => errors.add("due_on", "This day is past."),
            Some(_) => {}
        }
        let terms = self.terms(self.shared(), errors);
        due_on.filter(|_| errors.is_empty()).map(|due_on| Asked { question, due_on, terms })
    }

    fn shared(&self) -> Shares {
        self.share.iter().filter_map(|code| code.parse().ok()).collect()
    }

    /// What an assignment asks now.
    pub fn of(assignment: &Assignment) -> Self {
        let measure = |value: Option<f64>| value.map(show_measure).unwrap_or_default();
        Self {
            question: assignment.question.clone(),
            aims: assignment.aims.clone(),
            due_on: assignment.due_on.to_string(),
            blind: if assignment.blind { "yes".into() } else { String::new() },
            share: assignment.shares().parts().map(|part| part.code().to_owned()).collect(),
            days: measure(assignment.agreed_days),
            fee: measure(assignment.fee),
            fee_for: assignment.fee_for.code().into(),
            currency: assignment.currency.clone(),
            ..Self::default()
        }
    }

    /// What is compared when two people change it.
    pub fn fields(&self) -> Vec<(&'static str, &'static str, String)> {
        let agreed = [self.days.as_str(), &self.fee, &self.currency, &self.fee_for];
        vec![
            ("question", "Question", self.question.trim().to_owned()),
            ("aims", "Aims", self.aims.trim().to_owned()),
            ("due_on", "Until", self.due_on.trim().to_owned()),
            ("share", "Shared", terms_words::shared(self.shared())),
            ("blind", "Blind", self.blind.clone()),
            ("agreed", "Agreed", agreed.join(" ").trim().to_owned()),
        ]
    }

    /// Takes a field over from the kept version.
    pub fn take_over(&mut self, field: &str, kept: &AssignmentForm) {
        match field {
            "question" => self.question.clone_from(&kept.question),
            "aims" => self.aims.clone_from(&kept.aims),
            "due_on" => self.due_on.clone_from(&kept.due_on),
            "share" => self.share.clone_from(&kept.share),
            "blind" => self.blind.clone_from(&kept.blind),
            "agreed" => {
                self.days.clone_from(&kept.days);
                self.fee.clone_from(&kept.fee);
                self.fee_for.clone_from(&kept.fee_for);
                self.currency.clone_from(&kept.currency);
            }
            _ => {}
        }
    }

    fn terms(&self, shares: Shares, errors: &mut Errors) -> Terms {
        let fee = errors.measure("fee", &self.fee, FEE);
        let currency = errors.line("currency", &self.currency);
        if fee.is_some() && currency.is_empty() {
            errors.add("currency", "Say in which currency.");
        }
        let fee_for = if self.fee_for.is_empty() {
            Some(FeeFor::Whole)
        } else {
            errors.choice("fee_for", &self.fee_for)
        };
        Terms {
            aims: errors.text("aims", &self.aims),
            shares,
            blind: self.blind == "yes",
            days: errors.measure("days", &self.days, DAYS),
            fee,
            fee_for: fee_for.unwrap_or(FeeFor::Whole),
            currency,
        }
    }
}
