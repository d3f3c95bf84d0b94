//! What a visitor reads when something does not go through. The cause goes to the log only.
use crate::page::{Chrome, Page};
use askama::Template;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use store::StoreError;

/// Why a request has no ordinary answer.
#[derive(Debug, thiserror::Error)]
pub enum AppError {
    /// Not there, or not for this person: the two look alike.
    #[error("not found")]
    NotFound,
    /// Signed in, in this project, but the role does not bring it.
    #[error("forbidden")]
    Forbidden,
    /// The form came from elsewhere or from an ended session.
    #[error("stale form")]
    StaleForm,
    /// The body is not what the form sends, or larger than allowed.
    #[error("unreadable request: {0}")]
    Unreadable(String),
    /// Nothing can be done here; the person is led to where it can, with a notice.
    #[error("led elsewhere")]
    Led { to: String, notice: String },
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Anything else that went wrong inside.
    #[error("{0}")]
    Inside(String),
}

/// What every handler returns.
pub type Answer<T = Response> = Result<T, AppError>;

/// What the page of an error says.
#[derive(Clone)]
struct Told {
    title: &'static str,
    sentence: String,
    advice: &'static str,
    /// Finds the cause in the log.
    reference: Option<String>,
}

#[derive(Template)]
#[template(path = "error.html")]
struct ErrorPage {
    chrome: Chrome,
    told: Told,
}

impl AppError {
    /// Anything that went wrong inside and that nobody can mend from the page.
    pub fn inside(cause: impl std::fmt::Display) -> Self {
        AppError::Inside(cause.to_string())
    }

    fn status(&self) -> StatusCode {
        match self {
            AppError::NotFound => StatusCode::NOT_FOUND,
            AppError::Forbidden | AppError::StaleForm => StatusCode::FORBIDDEN,
            AppError::Unreadable(_) => StatusCode::BAD_REQUEST,
            AppError::Led { .. } => StatusCode::SEE_OTHER,
            AppError::Store(StoreError::Taken | StoreError::Changed | StoreError::Dangling) => {
                StatusCode::CONFLICT
            }
            AppError::Store(StoreError::Unavailable(_)) => StatusCode::SERVICE_UNAVAILABLE,
            AppError::Store(_) | AppError::Inside(_) => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    fn words(&self) -> (&'static str, String, &'static str) {
        match self {
            AppError::NotFound => (
                "Not here",
                "There is nothing at this address, or it is not shared with you.".into(),
                "Check the address, or start again from your first page.",
            ),
            AppError::Forbidden => (
                "Not yours to do",
                "Your role in this project does not include this.".into(),
                "Ask the project manager if you need it.",
            ),
            AppError::StaleForm => (
                "The form has gone stale",
                "Your session ended or the form came from another page, so nothing was saved.".into(),
                "Go back, copy what you typed, sign in again and send it once more.",
            ),
            AppError::Unreadable(what) => ("Not understood", what.clone(), "Go back and try again."),
            AppError::Store(StoreError::Taken | StoreError::Changed | StoreError::Dangling) => (
                "Somebody was faster",
                "The record was changed while you worked on it, so nothing was saved.".into(),
                "Go back, reload the page and enter your change again.",
            ),
            AppError::Store(StoreError::Unavailable(_)) => (
                "Not answering",
                "The database does not answer just now. Nothing was saved.".into(),
                "Go back and send it again in a minute.",
            ),
            AppError::Led { .. } | AppError::Store(_) | AppError::Inside(_) => (
                "Something went wrong",
                "The fault is ours and has been noted. Nothing was saved.".into(),
                "Go back and try again; if it stays, give the reference to whoever looks after the installation.",
            ),
        }
    }
}

impl IntoResponse for AppError {
    fn into_response(self) -> Response {
        if let AppError::Led { to, notice } = self {
            return ([(header::SET_COOKIE, notice)], Redirect::to(&to)).into_response();
        }
        let status = self.status();
        let reference =
            status.is_server_error().then(|| uuid::Uuid::new_v4().simple().to_string()[..8].to_owned());
        if let Some(reference) = &reference {
            tracing::error!(%reference, cause = ?self, "request failed");
        }
        let (title, sentence, advice) = self.words();
        let told = Told { title, sentence, advice, reference };
        let chrome = Chrome { program: domain::PROGRAM, ..Chrome::default() };
        let mut response = Page(status, ErrorPage { chrome, told: told.clone() }).into_response();
        response.extensions_mut().insert(told);
        response
    }
}

/// The page of an error within what surrounds the other pages of the person; every other answer as it is.
pub(crate) fn surrounded(response: Response, chrome: impl FnOnce() -> Chrome) -> Response {
    match response.extensions().get::<Told>().cloned() {
        Some(told) => Page(response.status(), ErrorPage { chrome: chrome(), told }).into_response(),
        None => response,
    }
}
