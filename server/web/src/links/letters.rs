//! Letters that have not gone out, and the kinds a reader does without.
use domain::ids::LetterId;

pub const LETTERS: &str = "/letters";
pub const ACCOUNT_LETTERS: &str = "/account/letters";

/// Where a reader does without letters of a kind, by the link at their foot.
pub fn letters_off(token: &str) -> String {
    format!("/letters-off/{token}")
}

/// Something done to an unsent letter: `retry`, `removal`.
pub fn letter_change(id: LetterId, what: &str) -> String {
    format!("/letters/{id}/{what}")
}
