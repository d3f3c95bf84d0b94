//! Drying and desalination runs.
use domain::ids::{BathId, FindId, RunId, WeighingId};
use domain::runs::RunKind;

/// The runs of a project.
pub fn runs(code: &str) -> String {
    format!("/projects/{code}/runs")
}

/// The form that begins a run; its finds follow as `find=`.
pub fn run_new(code: &str, kind: RunKind) -> String {
    format!("/projects/{code}/runs/{}/new", kind.code())
}

/// The form that begins a run of one find.
pub fn run_of(code: &str, kind: RunKind, find: FindId) -> String {
    format!("{}?find={find}", run_new(code, kind))
}

/// A run's page.
pub fn run(id: RunId) -> String {
    format!("/runs/{id}")
}

/// Something done to a run: `weighings`, `pasted-weighings`, `baths`, `steps`, `end`, `reopening`.
pub fn run_change(id: RunId, what: &str) -> String {
    format!("/runs/{id}/{what}")
}

/// Withdraws a weighing.
pub fn weighing_withdrawal(id: WeighingId) -> String {
    format!("/weighings/{id}/withdrawal")
}

/// Withdraws a bath.
pub fn bath_withdrawal(id: BathId) -> String {
    format!("/baths/{id}/withdrawal")
}
