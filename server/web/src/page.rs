//! How an answer becomes a page.
use askama::Template;
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use domain::ids::SubmissionId;

pub use crate::assets::asset;

/// What surrounds every page.
#[derive(Debug, Clone, Default)]
pub struct Chrome {
    pub program: &'static str,
    pub signed_in: bool,
    pub person_name: String,
    pub nav: Vec<NavItem>,
    pub project: Option<ProjectName>,
    /// Whether the page is of that project alone; others keep it for the way on.
    pub is_of_project: bool,
    pub projects: Vec<ProjectName>,
    pub search_href: Option<String>,
    pub search_query: String,
    /// The form token of the session.
    pub token: String,
    pub notice: Option<String>,
    /// On a shared tablet: after how many seconds without use it locks.
    pub locks_after_s: Option<i64>,
    /// The moment of the request; forms take their submission ids from it.
    pub now: domain::Instant,
}

impl Chrome {
    /// A fresh id for a form, so that the same form sent twice is one record.
    pub fn submission(&self) -> SubmissionId {
        SubmissionId::new(self.now)
    }

    /// When this page was asked for, as its head on paper says it.
    pub fn printed(&self) -> String {
        crate::filters::show_moment(self.now)
    }
}

/// One entry of the navigation.
#[derive(Debug, Clone)]
pub struct NavItem {
    pub label: &'static str,
    pub href: String,
    pub current: bool,
}

/// A project by name.
#[derive(Debug, Clone)]
pub struct ProjectName {
    pub code: String,
    pub name: String,
    pub href: String,
}

/// A rendered page with its status.
pub struct Page<T>(pub StatusCode, pub T);

/// A page that is well.
pub fn ok<T: Template>(template: T) -> Page<T> {
    Page(StatusCode::OK, template)
}

/// A form shown again because it cannot be saved as it is.
pub fn again<T: Template>(template: T) -> Page<T> {
    Page(StatusCode::UNPROCESSABLE_ENTITY, template)
}

impl<T: Template> IntoResponse for Page<T> {
    fn into_response(self) -> Response {
        match self.1.render() {
            Ok(html) => (self.0, Html(html)).into_response(),
            Err(cause) => {
                tracing::error!(%cause, "a template failed");
                (StatusCode::INTERNAL_SERVER_ERROR, "The page could not be made. The fault has been noted.")
                    .into_response()
            }
        }
    }
}
