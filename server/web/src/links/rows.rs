//! Rows of specialists and the columns of their disciplines.
use domain::ids::{AssignmentId, RowListId};

/// The disciplines of a project.
pub fn disciplines(code: &str) -> String {
    format!("/projects/{code}/disciplines")
}

/// Adds a discipline.
pub fn discipline_new(code: &str) -> String {
    format!("/projects/{code}/disciplines/new")
}

/// The columns of a discipline.
pub fn discipline(code: &str, discipline: &str) -> String {
    format!("/projects/{code}/disciplines/{discipline}")
}

/// The rows of an assignment, by discipline.
pub fn rows(id: AssignmentId) -> String {
    format!("/assignments/{id}/rows")
}

/// The rows of an assignment in a discipline, to be typed.
pub fn rows_of(id: AssignmentId, discipline: &str) -> String {
    format!("/assignments/{id}/rows/{discipline}")
}

/// Keeps them while they are typed, for the script of their page.
pub fn rows_draft(id: AssignmentId, discipline: &str) -> String {
    format!("/assignments/{id}/rows/{discipline}/draft")
}

/// The template to fill in without a line.
pub fn rows_template(id: AssignmentId, discipline: &str) -> String {
    format!("/assignments/{id}/rows/{discipline}/template.xlsx")
}

/// Takes the filled template back.
pub fn rows_file(id: AssignmentId, discipline: &str) -> String {
    format!("/assignments/{id}/rows/{discipline}/file")
}

/// Photographs, finds and template together.
pub fn rows_package(id: AssignmentId, discipline: &str) -> String {
    format!("/assignments/{id}/rows/{discipline}/package.zip")
}

/// Rows as submitted.
pub fn row_list(id: RowListId) -> String {
    format!("/row-lists/{id}")
}

/// The same as a file.
pub fn row_list_file(id: RowListId, ending: &str) -> String {
    format!("/row-lists/{id}/rows.{ending}")
}
