//! The interim report, and registers on their way in.
use domain::ids::ImportRunId;

/// The interim report of a project.
pub fn report(code: &str) -> String {
    format!("/projects/{code}/report")
}

/// Its catalogue.
pub fn report_catalogue(code: &str) -> String {
    format!("/projects/{code}/report/catalogue")
}

/// The interim report as PDF.
pub fn report_pdf(code: &str) -> String {
    format!("/projects/{code}/report.pdf")
}

/// A photograph of a report, by its name there: the id of the image.
pub fn report_photograph(code: &str, name: &str) -> String {
    format!("/projects/{code}/report/photographs/{name}")
}

/// A register on its way in.
pub fn import(id: ImportRunId) -> String {
    format!("/imports/{id}")
}

/// All that a dry run found, as a table.
pub fn import_dry_run(id: ImportRunId) -> String {
    format!("/imports/{id}/dry-run.csv")
}

/// Applies an import.
pub fn import_application(id: ImportRunId) -> String {
    format!("/imports/{id}/application")
}

/// Takes an import back.
pub fn import_undoing(id: ImportRunId) -> String {
    format!("/imports/{id}/undoing")
}
