//! Paths of condition assessments, examinations, shots and attachments.
use domain::condition::Scale;
use domain::examination::Method;
use domain::ids::{AttachmentId, FindId, RecordId};

/// The form of a condition assessment; its finds follow as `find=`.
pub fn condition_new(code: &str) -> String {
    format!("/projects/{code}/condition/new")
}

/// The form of a condition assessment of one find.
pub fn condition_of(code: &str, find: FindId) -> String {
    format!("{}?find={find}", condition_new(code))
}

/// The assessments of a find, two of them side by side.
pub fn condition(find: FindId) -> String {
    format!("/finds/{find}/condition")
}

/// Two assessments of a find side by side.
pub fn condition_beside(find: FindId, this: RecordId, with: RecordId) -> String {
    format!("/finds/{find}/condition?this={this}&with={with}")
}

/// The words of a scale in a project.
pub fn vocabulary(code: &str, scale: Scale) -> String {
    format!("/projects/{code}/vocabulary/{}", scale.code())
}

/// Where the method of an examination is chosen; its finds follow as `find=`.
pub fn examination_choice(code: &str) -> String {
    format!("/projects/{code}/examinations/new")
}

/// The form of an examination by a method; its finds follow as `find=`.
pub fn examination_new(code: &str, method: Method) -> String {
    format!("/projects/{code}/examinations/{}/new", method.code())
}

/// An examination with the regions of its plate.
pub fn examination(record: RecordId) -> String {
    format!("/examinations/{record}")
}

/// A drop of many files, sorted by their names.
pub fn drop(code: &str) -> String {
    format!("/projects/{code}/images/new")
}

/// Files of which no name told the find.
pub fn tray(code: &str) -> String {
    format!("/projects/{code}/tray")
}

/// The shots a project lacks.
pub fn shots(code: &str) -> String {
    format!("/projects/{code}/shots")
}

/// The shots a project expects.
pub fn shot_rules(code: &str) -> String {
    format!("/projects/{code}/shots/rules")
}

/// The shots of a find.
pub fn shots_of_find(find: FindId) -> String {
    format!("/finds/{find}/shots")
}

/// Photographs of a find in pairs.
pub fn pairs(find: FindId) -> String {
    format!("/finds/{find}/pairs")
}

/// PDF and drawings of a find.
pub fn attachments(find: FindId) -> String {
    format!("/finds/{find}/attachments")
}

/// An attachment, as a file.
pub fn attachment(id: AttachmentId) -> String {
    format!("/attachments/{id}")
}

/// Takes an attachment out of reach, or brings it back.
pub fn attachment_withdrawal(id: AttachmentId) -> String {
    format!("/attachments/{id}/withdrawal")
}
