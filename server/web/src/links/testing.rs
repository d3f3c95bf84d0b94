//! Spot tests, solvents, cleaning levels.
use domain::ids::{FindId, RecordId};

/// The table of solvents.
pub const SOLVENTS: &str = "/solvents";

/// The spot tests of a find side by side.
pub fn spot_tests(find: FindId) -> String {
    format!("/finds/{find}/tests")
}

/// The form of a later look at the spot of a test.
pub fn recheck(test: RecordId) -> String {
    format!("/tests/{test}/recheck")
}

/// The steps of a project that went beyond an agreed level.
pub fn beyond(code: &str) -> String {
    format!("/projects/{code}/beyond")
}

/// Authorises a proposed cleaning level by one button.
pub fn authorisation_at_once(record: RecordId) -> String {
    format!("{}?answer=authorised", super::authorisation(record))
}
