//! An opinion as typed: a short first part, and rows of which a form may hold several.
use super::dating::{self, Reading};
use crate::error::{Answer, AppError};
use crate::form::Errors;
use domain::review::opinion::{
    Confidence, DateKind, Lacking, Likeness, Likenesses, Seen, SeenAs, Weight, lacking,
};
use domain::review::{Finality, Years};
use store::people::Colleague;
use store::review::content::{DateLine, JointAuthor, Parallel, Parts, Recommendation};
use store::review::opinions::{Content, Opinion};

/// Rows of each kind that one form takes, by the ids of their first fields.
pub(super) const DATES: [&str; 6] = ["date_1", "date_2", "date_3", "date_4", "date_5", "date_6"];
pub(super) const PARALLELS: [&str; 8] = [
    "parallel_1",
    "parallel_2",
    "parallel_3",
    "parallel_4",
    "parallel_5",
    "parallel_6",
    "parallel_7",
    "parallel_8",
];
pub(super) const ADVICE: [&str; 6] = ["advice_1", "advice_2", "advice_3", "advice_4", "advice_5", "advice_6"];
/// Longest work and greatest cost of one recommendation.
const MOST_DAYS: f64 = 1_000.0;
const MOST_COST: f64 = 10_000_000.0;

/// Exactly what was typed; a draft is kept as this.
#[derive(Debug, Clone, Default, serde::Deserialize, serde::Serialize)]
#[serde(default)]
pub struct OpinionForm {
    #[serde(skip_serializing)]
    pub do_what: String,
    /// The readings that stood on the page when it was sent.
    #[serde(skip_serializing)]
    pub shown: String,
    pub identification: String,
    pub confidence: String,
    pub date_words: Vec<String>,
    pub date_kind: Vec<String>,
    pub date_weight: Vec<String>,
    pub basis: String,
    pub seen_as: Vec<String>,
    pub finality: String,
    pub parallel_citation: Vec<String>,
    pub parallel_place: Vec<String>,
    /// “1:form”: number of the row and what is alike.
    pub parallel_likeness: Vec<String>,
    pub parallel_date: Vec<String>,
    pub parallel_basis: Vec<String>,
    pub parallels_none: String,
    pub parallels: String,
    pub material_words: String,
    pub origin: String,
    pub negative_findings: String,
    pub significance: String,
    pub advice_action: Vec<String>,
    pub advice_reason: Vec<String>,
    pub advice_days: Vec<String>,
    pub advice_cost: Vec<String>,
    /// One to a line: name, then qualification behind a comma.
    pub joint_authors: String,
    /// Ids of further finds of the assignment that the opinion covers.
    pub covers: Vec<String>,
}

/// Fields that drafts of earlier versions kept as a single text.
const ONCE_SINGLE: [&str; 2] = ["date_words", "seen_as"];

impl OpinionForm {
    /// An empty form.
    pub fn fresh() -> Self {
        Self { finality: Finality::Preliminary.code().into(), ..Self::default() }
    }

    /// A draft as it was kept.
    pub fn of_draft(text: &str) -> Answer<Self> {
        let mut fields: serde_json::Value = serde_json::from_str(text).map_err(AppError::inside)?;
        for name in ONCE_SINGLE {
            if let Some(serde_json::Value::String(single)) = fields.get(name) {
                fields[name] = serde_json::json!([single]);
            }
        }
        serde_json::from_value(fields).map_err(AppError::inside)
    }

    /// The words of a standing version, to be revised.
    pub fn of(opinion: &Opinion) -> Self {
        let parts = &opinion.parts;
        let mut dates = parts.dates.clone();
        dates.dedup_by_key(|date| date.statement);
        let likeness = parts.parallels.iter().enumerate().flat_map(|(row, parallel)| {
            parallel.likeness.all().iter().map(move |one| format!("{}:{}", row + 1, one.code()))
        });
        let number = |value: Option<f64>| value.map(crate::filters::show_measure).unwrap_or_default();
        let joint = parts.joint.iter().map(|author| match author.qualification.as_str() {
            "" => author.name.clone(),
            qualification => format!("{}, {qualification}", author.name),
        });
        Self {
            identification: opinion.identification.clone(),
            confidence: opinion.confidence().map_or_else(String::new, |c| c.code().into()),
            date_words: dates.iter().map(|date| date.words.clone()).collect(),
            date_kind: dates.iter().map(|date| date.kind.code().to_owned()).collect(),
            date_weight: dates.iter().map(|date| date.weight.code().to_owned()).collect(),
            basis: opinion.basis.clone(),
            seen_as: opinion.seen_as.all().iter().map(|way| way.code().to_owned()).collect(),
            finality: opinion.finality.code().into(),
            parallel_citation: parts.parallels.iter().map(|p| p.citation.clone()).collect(),
            parallel_place: parts.parallels.iter().map(|p| p.at_place.clone()).collect(),
            parallel_likeness: likeness.collect(),
            parallel_date: parts.parallels.iter().map(|p| p.date_words.clone()).collect(),
            parallel_basis: parts.parallels.iter().map(|p| p.date_basis.clone()).collect(),
            parallels_none: if opinion.parallels_none { "yes".into() } else { String::new() },
            parallels: opinion.parallels_said.clone(),
            material_words: opinion.material_words.clone(),
            origin: opinion.origin.clone(),
            negative_findings: opinion.negative_findings.clone(),
            significance: opinion.significance.clone(),
            advice_action: parts.recommendations.iter().map(|r| r.action.clone()).collect(),
            advice_reason: parts.recommendations.iter().map(|r| r.reason.clone()).collect(),
            advice_days: parts.recommendations.iter().map(|r| number(r.days)).collect(),
            advice_cost: parts.recommendations.iter().map(|r| number(r.cost)).collect(),
            joint_authors: joint.collect::<Vec<_>>().join("\n"),
            covers: parts.covers.iter().map(|covered| covered.find_id.to_string()).collect(),
            ..Self::default()
        }
    }

    /// The dates that were typed, each with how it is read just now; empty rows are left out.
    pub fn readings(&self, convention: &str) -> Vec<(usize, Result<Reading, String>)> {
        let rows = self.date_words.iter().take(DATES.len()).enumerate();
        let typed = rows.filter(|(_, words)| !words.trim().is_empty());
        typed.map(|(row, words)| (row, dating::read(words, convention))).collect()
    }

    /// The content of the opinion, or what is wrong with the form, in its order.
    pub fn parse(&self, convention: &str, colleagues: &[Colleague]) -> Result<Content, Errors> {
        let mut errors = Errors::default();
        let identification = errors.required(
            "identification",
            &self.identification,
            "Say what it is; “not identifiable” is an answer too.",
        );
        let confidence: Option<Confidence> = match self.confidence.as_str() {
            "" => None,
            typed => errors.choice("confidence", typed),
        };
        let dates = self.dates(convention, &mut errors);
        let basis = errors.text("basis", &self.basis);
        if basis.is_empty() {
            errors.add("basis", "Say what it rests on: form, fabric, technique, a parallel.");
        }
        let seen: Vec<SeenAs> = self.seen_as.iter().filter_map(|way| way.parse().ok()).collect();
        if seen.is_empty() {
            errors.add("seen_as", "Tick what you had before your eyes.");
        }
        let finality: Option<Finality> = errors.choice("finality", &self.finality);
        let parallels = self.parallels(&mut errors);
        let parallels_none = self.parallels_none == "yes";
        if parallels_none && !parallels.is_empty() {
            errors.add("parallels_none", "There are parallels above. Take the tick away, or empty them.");
        }
        if finality == Some(Finality::Final) {
            for lack in lacking(confidence, parallels.len(), parallels_none) {
                match lack {
                    Lacking::Confidence => {
                        errors.add("confidence", "A final opinion says how sure the identification is.");
                    }
                    Lacking::Parallels => errors.add(
                        "parallels_none",
                        "A final opinion names its parallels, or ticks that none was found.",
                    ),
                }
            }
        }
        let content = Content {
            finality: finality.unwrap_or(Finality::Preliminary),
            identification,
            confidence,
            parallels_none,
            parallels_said: errors.line("parallels", &self.parallels),
            material_words: errors.line("material_words", &self.material_words),
            origin: errors.line("origin", &self.origin),
            negative_findings: errors.text("negative_findings", &self.negative_findings),
            significance: errors.text("significance", &self.significance),
            basis,
            seen_as: Seen::of(seen),
            parts: Parts {
                dates,
                parallels,
                recommendations: self.advice(&mut errors),
                joint: self.joint(colleagues, &mut errors),
                covers: Vec::new(),
            },
        };
        if errors.is_empty() { Ok(content) } else { Err(errors) }
    }

    fn dates(&self, convention: &str, errors: &mut Errors) -> Vec<DateLine> {
        let mut lines = Vec::new();
        for (row, reading) in self.readings(convention) {
            let words = errors.line(DATES[row], &self.date_words[row]);
            let kind = match at(&self.date_kind, row) {
                "" => DateKind::Manufacture,
                typed => errors.choice("date_kind", typed).unwrap_or(DateKind::Manufacture),
            };
            let typed = at(&self.date_weight, row).parse().unwrap_or(Weight::Unsaid);
            let reading = match reading {
                Ok(reading) => reading,
                Err(sentence) => {
                    errors.add(DATES[row], sentence);
                    continue;
                }
            };
            let line = |(years, said): (Years, Weight)| DateLine {
                statement: row as i64 + 1,
                words: words.clone(),
                kind,
                weight: if said == Weight::Unsaid { typed } else { said },
                date_lo: years.lo,
                date_hi: years.hi,
                rule: reading.rule.clone(),
            };
            lines.extend(reading.ranges.iter().copied().map(line));
        }
        lines
    }

    fn parallels(&self, errors: &mut Errors) -> Vec<Parallel> {
        let mut parallels = Vec::new();
        for (row, id) in PARALLELS.iter().copied().enumerate() {
            let parallel = Parallel {
                citation: errors.line(id, at(&self.parallel_citation, row)),
                at_place: errors.line(id, at(&self.parallel_place, row)),
                likeness: Likenesses::of(self.likenesses(row)),
                date_words: errors.line(id, at(&self.parallel_date, row)),
                date_basis: errors.line(id, at(&self.parallel_basis, row)),
            };
            let rest = [&parallel.at_place, &parallel.date_words, &parallel.date_basis];
            let said = rest.iter().any(|words| !words.is_empty()) || !parallel.likeness.is_empty();
            match (parallel.citation.is_empty(), said) {
                (false, _) => parallels.push(parallel),
                (true, true) => errors.add(id, "Cite where this parallel is published or kept."),
                (true, false) => {}
            }
        }
        parallels
    }

    /// What was ticked of a parallel.
    pub fn likenesses(&self, row: usize) -> Vec<Likeness> {
        let of_row = |ticked: &String| {
            let (number, code) = ticked.split_once(':')?;
            (number == (row + 1).to_string()).then(|| code.parse().ok()).flatten()
        };
        self.parallel_likeness.iter().filter_map(of_row).collect()
    }

    fn advice(&self, errors: &mut Errors) -> Vec<Recommendation> {
        let mut advice = Vec::new();
        for (row, id) in ADVICE.iter().copied().enumerate() {
            let one = Recommendation {
                action: errors.line(id, at(&self.advice_action, row)),
                reason: errors.line(id, at(&self.advice_reason, row)),
                days: errors.measure(id, at(&self.advice_days, row), 0.0..=MOST_DAYS),
                cost: errors.measure(id, at(&self.advice_cost, row), 0.0..=MOST_COST),
            };
            let said = !one.reason.is_empty() || one.days.is_some() || one.cost.is_some();
            match (one.action.is_empty(), said) {
                (false, _) => advice.push(one),
                (true, true) => errors.add(id, "Say what should be done."),
                (true, false) => {}
            }
        }
        advice
    }

    /// Joint authors, one to a line; who has an account in the project is known by the name.
    fn joint(&self, colleagues: &[Colleague], errors: &mut Errors) -> Vec<JointAuthor> {
        let typed = errors.text("joint_authors", &self.joint_authors);
        let lines = typed.lines().map(str::trim).filter(|line| !line.is_empty());
        let author = |line: &str| {
            let (name, qualification) = line.split_once(',').unwrap_or((line, ""));
            let name = name.trim();
            let known = colleagues.iter().find(|one| one.name.eq_ignore_ascii_case(name));
            JointAuthor {
                person_id: known.map(|one| one.id.into()),
                name: known.map_or_else(|| name.to_owned(), |one| one.name.clone()),
                qualification: qualification.trim().to_owned(),
            }
        };
        lines.map(author).collect()
    }
}

/// A row of a field that a form holds several of.
pub(super) fn at(typed: &[String], row: usize) -> &str {
    typed.get(row).map_or("", String::as_str)
}

/// The readings of a form in one line, to be compared with what was shown.
pub(super) fn shown(readings: &[(usize, Result<Reading, String>)]) -> String {
    let labels: Vec<&str> =
        readings.iter().filter_map(|(_, reading)| reading.as_ref().ok()).map(|r| r.label.as_str()).collect();
    labels.join(" | ")
}
