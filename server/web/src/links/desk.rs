//! A specialist's desk, questions and answers, days.
use domain::ids::{AssignmentId, FindId, WorkedDayId};

/// A specialist's own opinion on a find, the cursor in the form.
pub fn opinion_form(find: FindId) -> String {
    format!("/finds/{find}/opinion#identification")
}

/// What specialists ask of a find, for the project’s people; a specialist asks by the same address.
pub fn questions(find: FindId) -> String {
    format!("/finds/{find}/questions")
}

/// Answers them.
pub fn answers(find: FindId) -> String {
    format!("/finds/{find}/answers")
}

/// Keeps the draft of an opinion while it is typed, for the script of its form.
pub fn opinion_draft(find: FindId) -> String {
    format!("/finds/{find}/opinion/draft")
}

/// Days worked for an assignment.
pub fn worked_days(id: AssignmentId) -> String {
    format!("/assignments/{id}/days")
}

/// Takes an entry of working time back.
pub fn worked_day_withdrawal(id: WorkedDayId) -> String {
    format!("/worked-days/{id}/withdrawal")
}

/// The statement of days and fee, to be printed.
pub fn statement(id: AssignmentId) -> String {
    format!("/assignments/{id}/statement")
}

/// The same as PDF.
pub fn statement_pdf(id: AssignmentId) -> String {
    format!("/assignments/{id}/statement.pdf")
}

/// Everything a person has said of finds, as a file.
pub fn own_opinions(ending: &str) -> String {
    format!("/my-opinions.{ending}")
}
