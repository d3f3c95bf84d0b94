//! The form of an assessment: strings as typed, and what they parse to.
use super::super::form::{closing, day_done};
use crate::form::Errors;
use chrono::NaiveDate;
use domain::condition::{Alteration, Assessment, Term};
use domain::ids::{FindId, ProjectId, RecordId};
use domain::stages::Stage;
use domain::work::Detail;
use store::finds::Find;
use store::work::assessments::Assessed;
use store::work::records::NewRecord;

/// Rows for alterations that a form opens with.
const ROWS: usize = 4;

/// As typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AssessmentForm {
    /// The find assessed, then those that follow.
    pub find: Vec<String>,
    pub supersedes: String,
    /// An earlier assessment to begin with.
    pub from: String,
    pub done_by: String,
    pub done_on: String,
    pub method: String,
    pub note: String,
    pub finished: String,
    pub reason: String,
    pub light: String,
    pub extent: String,
    pub alteration: Vec<String>,
    pub alteration_place: Vec<String>,
    pub alteration_extent: Vec<String>,
    pub alteration_cause: Vec<String>,
    pub unaltered: String,
    pub condition: String,
    pub stability: String,
    pub past_treatment: String,
    pub risk: String,
    pub recommendation: String,
    pub review_on: String,
    /// Asks for more rows instead of saving.
    pub more: String,
}

/// A row of the form for one alteration.
pub(super) struct Row {
    pub at: usize,
    pub word: String,
    pub place: String,
    pub extent: String,
    pub cause: String,
}

/// The words that may be chosen: those of the project, and those of the record begun with.
pub(super) struct Words {
    pub condition: Vec<Term>,
    pub stability: Vec<Term>,
    pub alteration: Vec<Term>,
}

impl Words {
    /// Keeps the words of an earlier assessment choosable although the project has dropped them.
    pub(super) fn with(mut self, old: &Assessment) -> Self {
        let add = |terms: &mut Vec<Term>, term: &Term| {
            if !term.word.is_empty() && terms.iter().all(|known| known.word != term.word) {
                terms.push(term.clone());
            }
        };
        add(&mut self.condition, &old.condition);
        add(&mut self.stability, &old.stability);
        for seen in &old.alterations {
            add(&mut self.alteration, &Term { word: seen.word.clone(), meaning: String::new() });
        }
        self
    }
}

impl AssessmentForm {
    /// The assessment that this one corrects.
    pub(super) fn corrected(&self) -> Option<RecordId> {
        self.supersedes.parse().ok()
    }

    /// An earlier assessment as the form shows it.
    pub(super) fn of(old: &Assessed) -> Self {
        let seen = &old.assessment;
        let column = |cell: fn(&Alteration) -> String| seen.alterations.iter().map(cell).collect();
        Self {
            done_by: old.done_by.clone(),
            done_on: old.done_on.to_string(),
            method: old.method.clone(),
            note: old.note.clone(),
            finished: if old.finished { "yes".into() } else { "no".into() },
            reason: seen.reason.clone(),
            light: seen.light.clone(),
            extent: seen.extent.clone(),
            alteration: column(|a| a.word.clone()),
            alteration_place: column(|a| a.place.clone()),
            alteration_extent: column(|a| a.extent_pct.map(|pct| pct.to_string()).unwrap_or_default()),
            alteration_cause: column(|a| a.cause.clone()),
            unaltered: if seen.unaltered { "yes".into() } else { String::new() },
            condition: seen.condition.word.clone(),
            stability: seen.stability.word.clone(),
            past_treatment: seen.past_treatment.clone(),
            risk: seen.risk.clone(),
            recommendation: seen.recommendation.clone(),
            review_on: seen.review_on.map(|day| day.to_string()).unwrap_or_default(),
            ..Self::default()
        }
    }

    /// What was seen last time, to be looked at anew: what follows from it is left open.
    pub(super) fn begun_with(old: &Assessed) -> Self {
        let kept = Self::of(old);
        Self {
            alteration: kept.alteration,
            alteration_place: kept.alteration_place,
            alteration_extent: kept.alteration_extent,
            alteration_cause: kept.alteration_cause,
            light: kept.light,
            extent: kept.extent,
            past_treatment: kept.past_treatment,
            ..Self::default()
        }
    }

    /// The rows typed, with two empty ones after them.
    pub(super) fn rows(&self) -> Vec<Row> {
        let cell = |column: &[String], at: usize| column.get(at).cloned().unwrap_or_default();
        let row = |at: usize| Row {
            at: at + 1,
            word: cell(&self.alteration, at),
            place: cell(&self.alteration_place, at),
            extent: cell(&self.alteration_extent, at),
            cause: cell(&self.alteration_cause, at),
        };
        let typed: Vec<Row> = (0..self.alteration.len()).map(row).collect();
        let last = typed.iter().rposition(|row| !row.is_empty()).map_or(0, |at| at + 1);
        let more = if self.more.is_empty() { 2 } else { ROWS };
        (0..ROWS.max(last + more)).map(row).collect()
    }

    /// The record, or what is wrong with the form.
    pub(super) fn parse(
        &self,
        project: ProjectId,
        find: &Find,
        words: &Words,
        today: NaiveDate,
    ) -> Result<NewRecord, Errors> {
        let mut errors = Errors::default();
        let done_by = errors.required(
            "done_by",
            &self.done_by,
            "Say who looked at it; several names are separated by commas.",
        );
        let done_on = day_done(&mut errors, &self.done_on, today);
        let assessment = self.assessment(words, done_on, &mut errors);
        let finished = self.finished == "yes";
        if finished {
            closing(&mut errors, assessment.lacks());
        }
        let new = NewRecord {
            project,
            stage: Stage::Condition,
            done_by,
            done_on,
            method: errors.line("method", &self.method),
            materials: String::new(),
            outcome: assessment.summary(),
            note: errors.text("note", &self.note),
            finished,
            standing: None,
            supersedes: self.corrected(),
            detail: Detail::Condition(Box::new(assessment)),
            finds: vec![(FindId(find.id.0), None)],
        };
        if errors.is_empty() { Ok(new) } else { Err(errors) }
    }

    fn assessment(&self, words: &Words, done_on: NaiveDate, errors: &mut Errors) -> Assessment {
        let reason = errors.line("reason", &self.reason);
        let light = errors.line("light", &self.light);
        let extent = errors.line("extent", &self.extent);
        let alterations = self.alterations(words, errors);
        let unaltered = self.unaltered == "yes";
        if unaltered && !alterations.is_empty() {
            errors.add("alterations", "Either something is seen, or nothing: untick, or clear the rows.");
        }
        let condition = chosen("condition", &self.condition, &words.condition, errors);
        let stability = chosen("stability", &self.stability, &words.stability, errors);
        let past_treatment = errors.text("past_treatment", &self.past_treatment);
        let risk = errors.text("risk", &self.risk);
        let recommendation = errors.text("recommendation", &self.recommendation);
        let review_on = errors.day("review_on", &self.review_on);
        if review_on.is_some_and(|review| review <= done_on) {
            errors.add("review_on", "The next look comes after this one. Write a later day.");
        }
        Assessment {
            reason,
            light,
            extent,
            alterations,
            unaltered,
            condition,
            stability,
            past_treatment,
            risk,
            recommendation,
            review_on,
        }
    }

    fn alterations(&self, words: &Words, errors: &mut Errors) -> Vec<Alteration> {
        let mut seen = Vec::new();
        for row in self.rows().into_iter().filter(|row| !row.is_empty()) {
            let word = row.word.trim();
            if words.alteration.iter().all(|term| term.word != word) {
                let ask = if word.is_empty() {
                    "choose what is seen."
                } else {
                    "this word is not on the list of the project."
                };
                errors.add("alterations", format!("Row {}: {ask}", row.at));
            }
            let mut own = Errors::default();
            let alteration = Alteration {
                word: word.to_owned(),
                place: own.line("place", &row.place),
                extent_pct: own.measure("extent", &row.extent, 0.0..=100.0),
                cause: own.line("cause", &row.cause),
            };
            if let Some((_, sentence)) = own.list().first() {
                errors.add("alterations", format!("Row {}: {sentence}", row.at));
            }
            seen.push(alteration);
        }
        seen
    }
}

impl Row {
    fn is_empty(&self) -> bool {
        [&self.word, &self.place, &self.extent, &self.cause].iter().all(|cell| cell.trim().is_empty())
    }
}

/// The word chosen, with its meaning; none while the record is open.
fn chosen(field: &'static str, typed: &str, terms: &[Term], errors: &mut Errors) -> Term {
    let typed = typed.trim();
    match terms.iter().find(|term| term.word == typed) {
        Some(term) => term.clone(),
        None => {
            if !typed.is_empty() {
                errors.add(field, "Choose one of the list.");
            }
            Term::default()
        }
    }
}
