//! A record that begins with all of the last one of its kind.
use super::form::RecordForm;
use super::step_form;
use crate::links;
use domain::stages::Stage;

/// Asks for everything of the last record of this kind.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AgainForm {
    pub again: String,
    /// `yes` when an open record is to be completed.
    pub close: String,
}

/// The same form with everything of the last record of its kind; a correction has its own words already.
pub(super) fn link(code: &str, stage: Stage, form: &RecordForm) -> Option<String> {
    if !repeats(stage) || !form.supersedes.is_empty() {
        return None;
    }
    let finds: String = form.find_ids().iter().map(|id| format!("&find={id}")).collect();
    let from = if form.from == "bench" { "&from=bench" } else { "" };
    Some(format!("{}?again=yes{finds}{from}", links::record_new(code, stage)))
}

/// Whether a record of this stage can begin with all of the last one: what is decided or seen on each find cannot.
pub(crate) fn repeats(stage: Stage) -> bool {
    stage == Stage::SpotTest || step_form::uses_materials(stage)
}
