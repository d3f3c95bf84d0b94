//! A dispatch as typed.
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Errors;
use chrono::NaiveDate;
use domain::dispatch::{Amount, Lack, Leaving};
use domain::ids::ProjectId;
use store::Tx;
use store::dispatches::{NewDispatch, NewItem, items};
use store::finds::Find;
use store::people::Colleague;

/// Most that anything may weigh, in g.
const MOST_G: f64 = 20_000_000.0;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct DispatchForm {
    pub find: Vec<String>,
    /// One for each find, in the same order; likewise the two below.
    pub quantity: Vec<String>,
    pub mass_g: Vec<String>,
    pub condition: Vec<String>,
    /// The id of a person, or empty for somebody without an account.
    pub recipient: String,
    pub name: String,
    pub address: String,
    pub purpose: String,
    pub packing: String,
    pub carrier: String,
    pub insurer: String,
    pub sampling: String,
    /// “yes”: the recipient may see and handle the restricted finds among them.
    pub restricted: String,
    pub sent_on: String,
    pub due_on: String,
    pub sent_by: String,
    pub lifted: String,
}

/// A find on the form.
pub(super) struct Leaver {
    pub find: Find,
    /// Pieces that are here.
    pub here: i64,
    /// All of it is out.
    pub away: bool,
    pub photographs: i64,
    /// Its condition by the latest assessment.
    pub assessed: String,
}

/// A find as it is about to leave.
pub(super) struct Leaves {
    pub amount: Amount,
    pub condition: String,
    pub lacks: Vec<Lack>,
    /// All of it goes, and the register counts or weighs otherwise.
    pub corrects_register: bool,
}

impl Leaver {
    pub(super) async fn load(tx: &mut Tx, find: Find) -> Answer<Self> {
        let out = items::list_out(tx, find.id).await?;
        let all_out = out.iter().any(|out| out.is_whole());
        let away: i64 = out.iter().map(|out| out.outstanding()).sum();
        let assessed = store::work::assessments::list_of_find(tx, find.id).await?;
        let assessed = assessed.into_iter().find(|one| one.superseded_at.is_none());
        let words = assessed.map(|one| {
            let terms = [one.assessment.condition.word, one.assessment.stability.word];
            terms.into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(", ")
        });
        let words = words.filter(|words| !words.is_empty());
        Ok(Self {
            here: if all_out { 0 } else { find.quantity - away },
            away: all_out || away > 0 && away >= find.quantity,
            photographs: store::images::count_of_find(tx, find.id).await?,
            assessed: words.unwrap_or_else(|| find.condition_note.clone()),
            find,
        })
    }

    /// Whether nothing of it is elsewhere.
    fn is_all_here(&self) -> bool {
        self.here == self.find.quantity
    }
}

impl DispatchForm {
    /// What was typed for a find into one of the repeated fields.
    pub(super) fn typed<'a>(&'a self, find: &Find, field: &'a [String]) -> &'a str {
        let id = find.id.to_string();
        let at = self.find.iter().position(|typed| *typed == id);
        at.and_then(|at| field.get(at)).map_or("", String::as_str)
    }

    /// How each find leaves.
    pub(super) fn leaving(&self, leavers: &[Leaver], errors: &mut Errors) -> Vec<Leaves> {
        leavers.iter().map(|leaver| self.leaves(leaver, errors)).collect()
    }

    fn leaves(&self, leaver: &Leaver, errors: &mut Errors) -> Leaves {
        let find = &leaver.find;
        let number = &find.number;
        if find.void_at.is_some() {
            errors.add("find", format!("{number} is void and cannot be dispatched."));
        }
        if find.held {
            errors.add("find", format!("{number} is on hold. Release the hold on its page first."));
        }
        if leaver.away {
            errors.add("find", format!("{number} is out already."));
        }
        let typed = errors.whole("quantity", self.typed(find, &self.quantity), 1);
        let counted = find.quantity > 0;
        let pieces = typed.unwrap_or(leaver.here);
        if counted && !leaver.away && pieces > leaver.here {
            errors.add("quantity", format!("Of {number} only {} are here.", leaver.here));
        }
        let whole = leaver.is_all_here() && (!counted || pieces == find.quantity);
        let mass = errors.measure("mass_g", self.typed(find, &self.mass_g), 0.001..=MOST_G);
        let mass_g = mass.or(find.weight_g.filter(|_| whole));
        if let (Some(mass), Some(all)) = (mass_g, find.weight_g)
            && !whole
            && mass > all
        {
            errors.add("mass_g", format!("All of {number} is {all} g; a part of it cannot be more."));
        }
        let condition = errors.line("condition", self.typed(find, &self.condition));
        let amount = Amount { pieces, mass_g };
        let leaving = Leaving {
            bulk: find.bulk,
            amount,
            described: !condition.is_empty(),
            photographs: leaver.photographs,
        };
        Leaves {
            amount,
            condition,
            lacks: leaving.lacks(),
            corrects_register: whole && (pieces != find.quantity || mass_g != find.weight_g),
        }
    }

    /// Restricted finds go to nobody by oversight.
    pub(super) fn ask_for_clearance(&self, leavers: &[Leaver], errors: &mut Errors) {
        let restricted = leavers.iter().filter(|leaver| leaver.find.restricted).count();
        if restricted > 0 && self.restricted != "yes" {
            let which =
                if restricted == 1 { "One find is".into() } else { format!("{restricted} finds are") };
            let words =
                format!("{which} restricted. Tick that the recipient may have them, or leave them out.");
            errors.add("restricted", words);
        }
    }

    /// Asks for what is still lacking; a person who may lift gates lets it go with a reason.
    pub(super) fn ask_for_lacks(
        &self,
        (leavers, leaving): (&[Leaver], &[Leaves]),
        may_lift: bool,
        errors: &mut Errors,
    ) -> String {
        let lifted = errors.text("lifted", &self.lifted);
        if may_lift && !lifted.is_empty() {
            return lifted;
        }
        for (leaver, leaves) in leavers.iter().zip(leaving) {
            for lack in &leaves.lacks {
                let field = match lack {
                    Lack::Count | Lack::CountOrMass => "quantity",
                    Lack::Mass => "mass_g",
                    Lack::Condition => "condition",
                    Lack::Photograph => "lifted",
                };
                errors.add(field, format!("{}: {lack}.", leaver.find.number));
            }
        }
        String::new()
    }

    /// Everything but the lines.
    pub(super) fn parse(
        &self,
        ctx: &Ctx,
        (project, people): (ProjectId, &[Colleague]),
        errors: &mut Errors,
    ) -> NewDispatch {
        let known = people.iter().find(|person| person.id.to_string() == self.recipient);
        let name = errors.line("name", &self.name);
        if known.is_none() && name.is_empty() {
            errors.add("recipient", "Choose to whom it goes, or write the name below.");
        }
        let sent_on = self.required_day("sent_on", &self.sent_on, errors);
        let due_on = self.required_day("due_on", &self.due_on, errors);
        if sent_on > ctx.now.date_naive() + chrono::Days::new(1) {
            errors.add("sent_on", "This day is still to come.");
        }
        if due_on < sent_on {
            errors.add("due_on", "This is before it is sent.");
        }
        NewDispatch {
            project,
            recipient_id: known.map(|person| person.id),
            recipient: known.map_or(name, |person| person.name.clone()),
            address: errors.text("address", &self.address),
            purpose: errors.required(
                "purpose",
                &self.purpose,
                "Say what for: identification, sampling, loan.",
            ),
            packing: errors.required(
                "packing",
                &self.packing,
                "Say how it is packed; the recipient packs it so again.",
            ),
            carrier: errors.required("carrier", &self.carrier, "Say who carries it; “by hand” will do."),
            insurer: errors.line("insurer", &self.insurer),
            sampling: errors.line("sampling", &self.sampling),
            lifted: String::new(),
            sent_on,
            due_on,
            sent_by: errors.required("sent_by", &self.sent_by, "Say who packed and sent it."),
            items: Vec::new(),
        }
    }

    fn required_day(&self, field: &'static str, typed: &str, errors: &mut Errors) -> NaiveDate {
        let day = errors.day(field, typed);
        if day.is_none() {
            errors.add(field, "Give the day.");
        }
        day.unwrap_or_default()
    }
}

/// The lines to be recorded.
pub(super) fn lines(leavers: &[Leaver], leaving: &[Leaves]) -> Vec<NewItem> {
    let line = |(leaver, leaves): (&Leaver, &Leaves)| NewItem {
        find: leaver.find.id,
        amount: leaves.amount,
        condition: leaves.condition.clone(),
    };
    leavers.iter().zip(leaving).map(line).collect()
}
