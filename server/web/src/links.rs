//! Every path of the application, made in one place.
use domain::ids::{FindId, ImageId};

pub const SIGN_IN: &str = "/sign-in";
pub const SIGN_OUT: &str = "/sign-out";
pub const TODAY: &str = "/today";
pub const BACKLOG: &str = "/backlog";
pub const MY_FINDS: &str = "/my-finds";
pub const PROJECTS: &str = "/projects";
pub const PEOPLE: &str = "/people";
pub const ACCOUNT: &str = "/account";
pub const FORGOTTEN: &str = "/forgotten";

/// A project's first page.
pub fn project(code: &str) -> String {
    format!("/projects/{code}")
}

/// The list of finds of a project.
pub fn finds(code: &str) -> String {
    format!("/projects/{code}/finds")
}

/// The contexts of a project.
pub fn contexts(code: &str) -> String {
    format!("/projects/{code}/contexts")
}

/// The places of a project.
pub fn places(code: &str) -> String {
    format!("/projects/{code}/places")
}

/// What is with specialists.
pub fn specialists(code: &str) -> String {
    format!("/projects/{code}/specialists")
}

/// The interim report of a project.
pub fn report(code: &str) -> String {
    format!("/projects/{code}/report")
}

/// The people of a project.
pub fn members(code: &str) -> String {
    format!("/projects/{code}/people")
}

/// A find's page: what its QR code opens.
pub fn find(id: FindId) -> String {
    format!("/finds/{id}")
}

/// A photograph in one of its sizes: `thumb`, `screen`, `large`.
pub fn image(id: ImageId, size: &str) -> String {
    format!("/images/{id}/{size}")
}
