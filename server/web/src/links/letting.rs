//! What lets work go on, or stops it: routes, holds, lifted gates, authorisations.
use domain::ids::{FindId, HoldId, RecordId, StandingId};
use domain::stages::Gate;

/// The route of a find.
pub fn find_route(find: FindId) -> String {
    format!("/finds/{find}/route")
}

/// The form that puts a find on hold.
pub fn hold_new(find: FindId) -> String {
    format!("/finds/{find}/holds/new")
}

/// Releases a hold.
pub fn hold_release(hold: HoldId) -> String {
    format!("/holds/{hold}/release")
}

/// The form that lifts a gate for a find.
pub fn lift_new(find: FindId, gate: Gate) -> String {
    format!("/finds/{find}/lifts/{}/new", gate.code())
}

/// A lead's answer to a proposed cleaning level.
pub fn authorisation(record: RecordId) -> String {
    format!("/records/{record}/authorisation")
}

/// The standing authorisations of a project.
pub fn standing(code: &str) -> String {
    format!("/projects/{code}/standing")
}

/// Withdraws a standing authorisation.
pub fn standing_withdrawal(code: &str, id: StandingId) -> String {
    format!("/projects/{code}/standing/{id}/withdrawal")
}
