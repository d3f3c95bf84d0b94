//! Ring diameters and the moulds they are compared with.
use domain::ids::{FindId, MouldListId};

/// The rings of a find, compared.
pub fn rings(find: FindId) -> String {
    format!("/finds/{find}/rings")
}

/// Measures the rings of a find.
pub fn rings_new(find: FindId) -> String {
    format!("/finds/{find}/rings/new")
}

/// The lists of moulds of a project.
pub fn mould_lists(code: &str) -> String {
    format!("/projects/{code}/moulds")
}

/// Enters or imports a list.
pub fn mould_list_new(code: &str) -> String {
    format!("/projects/{code}/moulds/new")
}

/// One list.
pub fn mould_list(id: MouldListId) -> String {
    format!("/moulds/{id}")
}

/// Withdraws a list.
pub fn mould_list_withdrawal(id: MouldListId) -> String {
    format!("/moulds/{id}/withdrawal")
}
