//! The form of a working record: strings as typed, and what they parse to.
use super::step_form::{MASS_G, MASSES, amount};
use crate::form::Errors;
use chrono::NaiveDate;
use domain::ids::{FindId, ProjectId, RecordId, StandingId};
use domain::stages::Stage;
use domain::work::{Detail, EffectOnOriginal, TestDecision};
use store::finds::Find;
use store::work::records::{NewRecord, Record};

/// As typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct RecordForm {
    pub find: Vec<String>,
    pub quantity: Vec<String>,
    pub supersedes: String,
    pub done_by: String,
    pub done_on: String,
    pub method: String,
    pub materials: String,
    pub outcome: String,
    pub note: String,
    pub finished: String,
    pub standing: String,
    pub site: String,
    pub mixture: String,
    pub dwell_s: String,
    pub effect_on_soiling: String,
    pub effect_on_original: String,
    pub decision: String,
    pub level: String,
    pub layers_to_keep: String,
    pub stop_point: String,
    pub decided_by: String,
    pub start_mass_g: String,
    pub end_mass_g: String,
    pub end_rule: String,
    pub checked_by: String,
    pub container: String,
    pub microclimate: String,
    pub sealed_on: String,
    pub next_check_on: String,
    /// `bench` when it was begun there.
    pub from: String,
    /// Photographs that belong to the record.
    pub image: Vec<String>,
}

impl RecordForm {
    /// The finds a form or an address names; what is no id is passed over.
    pub(super) fn find_ids(&self) -> Vec<FindId> {
        let mut ids: Vec<FindId> = self.find.iter().filter_map(|text| text.parse().ok()).collect();
        let mut seen = std::collections::HashSet::new();
        ids.retain(|id| seen.insert(*id));
        ids
    }

    /// The record that this one corrects.
    pub(super) fn corrected(&self) -> Option<RecordId> {
        self.supersedes.parse().ok()
    }

    /// The words of a record that is to be corrected.
    pub(super) fn of(record: &Record) -> Self {
        let text = |words: &Option<String>| words.clone().unwrap_or_default();
        let mass = |g: Option<f64>| g.map(|g| g.to_string()).unwrap_or_default();
        let day = |day: Option<NaiveDate>| day.map(|d| d.to_string()).unwrap_or_default();
        Self {
            supersedes: record.id.to_string(),
            quantity: record.quantity.map(|n| n.to_string()).into_iter().collect(),
            done_by: record.done_by.clone(),
            done_on: record.done_on.to_string(),
            method: record.method.clone(),
            materials: record.materials.clone(),
            outcome: record.outcome.clone(),
            note: record.note.clone(),
            finished: if record.finished { "yes".into() } else { "no".into() },
            site: text(&record.test_site),
            mixture: record.test_mixture.clone().or(record.wet_mixture.clone()).unwrap_or_default(),
            dwell_s: record.test_dwell_s.map(|s| s.to_string()).unwrap_or_default(),
            effect_on_soiling: text(&record.test_soiling),
            effect_on_original: text(&record.test_original),
            decision: text(&record.test_decision),
            level: text(&record.level),
            layers_to_keep: text(&record.layers_to_keep),
            stop_point: text(&record.stop_point),
            decided_by: text(&record.decided_by),
            start_mass_g: mass(record.start_mass_g),
            end_mass_g: mass(record.end_mass_g),
            end_rule: text(&record.end_rule),
            checked_by: text(&record.checked_by),
            container: text(&record.container),
            microclimate: text(&record.microclimate),
            sealed_on: day(record.sealed_on),
            next_check_on: day(record.next_check_on),
            ..Self::default()
        }
    }

    /// The standing authorisation that is called upon.
    pub(super) fn standing_id(&self) -> Option<StandingId> {
        self.standing.parse::<uuid::Uuid>().ok().map(StandingId)
    }

    /// The record, or what is wrong with the form.
    pub(super) fn parse(
        &self,
        project: ProjectId,
        stage: Stage,
        finds: &[Find],
        today: NaiveDate,
    ) -> Result<NewRecord, Errors> {
        let mut errors = Errors::default();
        let done_by = errors.required(
            "done_by",
            &self.done_by,
            "Say who did it; several names are separated by commas.",
        );
        let done_on = day_done(&mut errors, &self.done_on, today);
        let finished = self.finished == "yes";
        let new = NewRecord {
            project,
            stage,
            done_by,
            done_on,
            method: errors.line("method", &self.method),
            materials: errors.text("materials", &self.materials),
            outcome: errors.text("outcome", &self.outcome),
            note: errors.text("note", &self.note),
            finished,
            standing: self.standing_id(),
            supersedes: self.corrected(),
            detail: self.detail(stage, &mut errors),
            finds: self.parts(finds, &mut errors),
        };
        if errors.is_empty() { Ok(new) } else { Err(errors) }
    }

    fn parts(&self, finds: &[Find], errors: &mut Errors) -> Vec<(FindId, Option<i64>)> {
        let ids = self.find_ids();
        let part = |find: &Find, errors: &mut Errors| {
            let typed = ids.iter().position(|id| *id == find.id).and_then(|at| self.quantity.get(at));
            let quantity = typed.and_then(|typed| errors.whole("quantity", typed, 1));
            if quantity.is_some_and(|quantity| quantity > find.quantity) {
                errors.add(
                    "quantity",
                    format!("{} holds {} pieces; write no more than that.", find.number, find.quantity),
                );
            }
            (find.id, quantity)
        };
        finds.iter().map(|find| part(find, errors)).collect()
    }

    fn detail(&self, stage: Stage, errors: &mut Errors) -> Detail {
        match stage {
            Stage::SpotTest => self.spot_test(errors),
            Stage::CleaningLevel => Detail::Level {
                level: errors.required("level", &self.level, "Say in words how far to clean."),
                layers_to_keep: errors.text("layers_to_keep", &self.layers_to_keep),
                stop_point: errors.required("stop_point", &self.stop_point, "Say at which sign to stop."),
                decided_by: errors.required("decided_by", &self.decided_by, "Say who decided."),
            },
            Stage::WetClean => Detail::WetClean {
                mixture: errors.required(
                    "mixture",
                    &self.mixture,
                    "Say with what: “water” is an answer too.",
                ),
            },
            Stage::Drying => self.drying(errors),
            Stage::FirstAid | Stage::Packing => self.package(errors),
            _ => Detail::Plain,
        }
    }

    fn spot_test(&self, errors: &mut Errors) -> Detail {
        let effect =
            errors.choice("effect_on_original", &self.effect_on_original).unwrap_or(EffectOnOriginal::None);
        let decision = errors.choice("decision", &self.decision).unwrap_or(TestDecision::Refused);
        if decision == TestDecision::Accepted && !domain::work::may_accept(effect) {
            errors.add("decision", "A mixture that changed the original cannot be accepted for it.");
        }
        Detail::SpotTest {
            site: errors.required(
                "site",
                &self.site,
                "Say where the spot is, so that it can be found again.",
            ),
            mixture: errors.required("mixture", &self.mixture, "Name the reagent or mixture."),
            dwell_s: errors.whole("dwell_s", &self.dwell_s, 1),
            effect_on_soiling: errors.text("effect_on_soiling", &self.effect_on_soiling),
            effect_on_original: effect,
            decision,
        }
    }

    fn drying(&self, errors: &mut Errors) -> Detail {
        let start_mass_g = amount(errors, "start_mass_g", &self.start_mass_g, (MASSES, MASS_G));
        let end_mass_g = amount(errors, "end_mass_g", &self.end_mass_g, (MASSES, MASS_G));
        if let (Some(start), Some(end)) = (start_mass_g, end_mass_g)
            && end > start
        {
            errors.add("end_mass_g", "The find cannot be heavier after drying. Check both masses.");
        }
        let end_rule = errors.line("end_rule", &self.end_rule);
        let checked_by = errors.line("checked_by", &self.checked_by);
        Detail::Drying { start_mass_g, end_mass_g, end_rule, checked_by }
    }

    fn package(&self, errors: &mut Errors) -> Detail {
        let sealed_on = errors.day("sealed_on", &self.sealed_on);
        let next_check_on = errors.day("next_check_on", &self.next_check_on);
        if let (Some(sealed), Some(next)) = (sealed_on, next_check_on)
            && next < sealed
        {
            errors.add("next_check_on", "The next check comes after the sealing.");
        }
        let container = errors.line("container", &self.container);
        let microclimate = errors.line("microclimate", &self.microclimate);
        Detail::Package { container, microclimate, sealed_on, next_check_on }
    }
}

/// The day something was done: given, and not still to come.
pub(super) fn day_done(errors: &mut Errors, typed: &str, today: NaiveDate) -> NaiveDate {
    match errors.day("done_on", typed) {
        Some(day) if day > today => {
            errors.add("done_on", "This day is still to come. Write the day it was done.");
            day
        }
        Some(day) => day,
        None => {
            errors.add("done_on", "Say on which day it was done.");
            today
        }
    }
}

/// Asks for what a record lacks to be closed.
pub(super) fn closing(errors: &mut Errors, lacks: Vec<(&'static str, &'static str)>) {
    for (field, ask) in lacks {
        errors.add(field, format!("{ask} Or leave the record open."));
    }
}
