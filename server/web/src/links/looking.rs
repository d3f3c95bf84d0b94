//! Paths of condition assessments and examinations.
use domain::condition::Scale;
use domain::examination::Method;
use domain::ids::{FindId, RecordId};

/// The form of a condition assessment; its finds follow as `find=`.
pub fn condition_new(code: &str) -> String {
    format!("/projects/{code}/condition/new")
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
