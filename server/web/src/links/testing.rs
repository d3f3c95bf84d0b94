//! Spot tests and solvents.
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
