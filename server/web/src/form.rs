//! What was typed into a form, kept as typed until it is saved.
use crate::App;
use crate::context::Visitor;
use crate::error::AppError;
use axum::body::Bytes;
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::request::Parts;
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::SubmissionId;
use serde::de::DeserializeOwned;
use subtle::ConstantTimeEq;

/// Longest single line.
pub const LINE: usize = 200;
/// Largest whole number that is believed.
const MOST: i64 = domain::finds::limits::MOST_PIECES;
/// Years that are believed of work and finds of today.
const YEARS: std::ops::Range<i32> = 1700..2200;
/// Longest running text.
pub const TEXT: usize = 10_000;

/// A form sent by one of our pages: its hidden token fits the session.
pub struct Posted<F> {
    pub form: F,
    /// The same id twice is one record.
    pub submission: SubmissionId,
    /// What was sent, for further parts of the same form.
    pub(crate) body: Bytes,
}

impl<F> Posted<F> {
    /// Another part of the same form: the fields of `G` among what was sent.
    pub fn part<G: DeserializeOwned>(&self) -> Result<G, AppError> {
        serde_html_form::from_bytes(&self.body).map_err(unreadable)
    }
}

#[derive(serde::Deserialize)]
struct Hidden {
    #[serde(default, rename = "_token")]
    token: String,
    #[serde(default)]
    submission: String,
}

impl<F: DeserializeOwned> FromRequest<App> for Posted<F> {
    type Rejection = AppError;

    async fn from_request(request: Request, app: &App) -> Result<Self, AppError> {
        let visitor = request.extensions().get::<Option<Visitor>>().cloned().flatten();
        let body = Bytes::from_request(request, app).await.map_err(|_| too_large())?;
        let hidden: Hidden = serde_html_form::from_bytes(&body).map_err(unreadable)?;
        check_token(visitor.as_ref(), &hidden.token)?;
        let form = serde_html_form::from_bytes(&body).map_err(unreadable)?;
        let submission = read_submission(&hidden.submission, app.clock.now());
        Ok(Posted { form, submission, body })
    }
}

/// What an address asks for behind its question mark; a key may stand there several times.
pub struct Asked<F>(pub F);

impl<F: DeserializeOwned, S: Send + Sync> FromRequestParts<S> for Asked<F> {
    type Rejection = AppError;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, AppError> {
        serde_html_form::from_str(parts.uri.query().unwrap_or_default()).map(Asked).map_err(|cause| {
            tracing::debug!(%cause, "unreadable address");
            AppError::Unreadable(
                "What stands behind the question mark of this address could not be read.".into(),
            )
        })
    }
}

/// Refuses a form whose hidden token does not fit the session.
pub fn check_token(visitor: Option<&Visitor>, token: &str) -> Result<(), AppError> {
    match visitor {
        Some(visitor) => check_form_token(&visitor.form_token, token),
        None => Err(AppError::StaleForm),
    }
}

/// Refuses a hidden token that is not the one of the session.
pub fn check_form_token(of_session: &str, token: &str) -> Result<(), AppError> {
    if of_session.as_bytes().ct_eq(token.as_bytes()).into() { Ok(()) } else { Err(AppError::StaleForm) }
}

/// The submission id of a form; a form without one counts as sent once.
pub fn read_submission(text: &str, now: Instant) -> SubmissionId {
    text.parse().unwrap_or_else(|_| SubmissionId::new(now))
}

fn too_large() -> AppError {
    AppError::Unreadable("The form is larger than this installation accepts.".into())
}

fn unreadable(cause: impl std::fmt::Display) -> AppError {
    tracing::debug!(%cause, "unreadable form");
    AppError::Unreadable("The form could not be read.".into())
}

/// What is wrong with a form, by field, in the order of the form.
#[derive(Debug, Clone, Default)]
pub struct Errors(Vec<(&'static str, String)>);

impl Errors {
    /// Notes what is wrong with a field; the first sentence about a field stays.
    pub fn add(&mut self, field: &'static str, sentence: impl Into<String>) {
        if self.get(field).is_none() {
            self.0.push((field, sentence.into()));
        }
    }

    /// Notes everything that is wrong with another part of the form.
    pub fn extend(&mut self, others: Errors) {
        for (field, sentence) in others.0 {
            self.add(field, sentence);
        }
    }

    /// What is wrong with a field, if anything.
    pub fn get(&self, field: &str) -> Option<&str> {
        self.0.iter().find(|(name, _)| *name == field).map(|(_, sentence)| sentence.as_str())
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Every field with its sentence.
    pub fn list(&self) -> &[(&'static str, String)] {
        &self.0
    }

    /// A line that must be there.
    pub fn required(&mut self, field: &'static str, typed: &str, missing: &str) -> String {
        let line = self.line(field, typed);
        if line.is_empty() {
            self.add(field, missing);
        }
        line
    }

    /// A single line, trimmed; line ends and tabs in it become blanks.
    pub fn line(&mut self, field: &'static str, typed: &str) -> String {
        self.words(field, &typed.replace(['\r', '\n', '\t'], " "), LINE)
    }

    /// Running text, trimmed, line ends made plain.
    pub fn text(&mut self, field: &'static str, typed: &str) -> String {
        self.words(field, &typed.replace("\r\n", "\n"), TEXT)
    }

    fn words(&mut self, field: &'static str, typed: &str, longest: usize) -> String {
        let words = typed.trim();
        let length = words.chars().count();
        if length > longest {
            self.add(field, format!("This is {length} characters long; {longest} fit. Shorten it."));
        }
        if words.contains(|c: char| c.is_control() && c != '\n' && c != '\t') {
            self.add(
                field,
                "This holds characters that cannot be shown. Type it again rather than pasting it.",
            );
        }
        words.to_owned()
    }

    /// A whole number from `least` up; empty is none.
    pub fn whole(&mut self, field: &'static str, typed: &str, least: i64) -> Option<i64> {
        let typed = typed.trim();
        if typed.is_empty() {
            return None;
        }
        match typed.parse::<i64>() {
            Ok(n) if n >= least && n <= MOST => Some(n),
            Ok(n) if n < least => {
                self.add(field, format!("{n} is too small; write {least} or more."));
                None
            }
            Ok(n) => {
                self.add(field, format!("{n} is too large; {MOST} is the most."));
                None
            }
            _ => {
                self.add(field, format!("“{typed}” is no whole number. Write digits only."));
                None
            }
        }
    }

    /// A measure within limits, in the unit the form names; empty is none. A decimal comma is understood.
    pub fn measure(
        &mut self,
        field: &'static str,
        typed: &str,
        limits: std::ops::RangeInclusive<f64>,
    ) -> Option<f64> {
        let typed = typed.trim();
        if typed.is_empty() {
            return None;
        }
        match domain::typed::number(typed) {
            Ok(value) if limits.contains(&value) => Some(value),
            Ok(_) => {
                let (least, most) = (limits.start(), limits.end());
                self.add(field, format!("{typed} is outside what can be: {least} to {most}."));
                None
            }
            Err(cause) => {
                self.add(field, cause.to_string());
                None
            }
        }
    }

    /// A day as browsers send it, or as people write it (3/5/2031 is the third of May); empty is none.
    pub fn day(&mut self, field: &'static str, typed: &str) -> Option<NaiveDate> {
        let typed = typed.trim();
        if typed.is_empty() {
            return None;
        }
        let formats = ["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d %b %Y", "%d %B %Y"];
        let day = formats.iter().find_map(|format| NaiveDate::parse_from_str(typed, format).ok());
        match day {
            None => self.add(field, format!("“{typed}” is no date. Write it like 2031-05-03 or 3/5/2031.")),
            Some(day) if !YEARS.contains(&chrono::Datelike::year(&day)) => {
                self.add(field, format!("Look at the year of “{typed}” again."));
                return None;
            }
            Some(_) => {}
        }
        day
    }

    /// The same of something that has happened: not after today.
    pub fn past_day(&mut self, field: &'static str, typed: &str, today: NaiveDate) -> Option<NaiveDate> {
        let day = self.day(field, typed);
        if day.is_some_and(|day| day > today) {
            self.add(field, "This day has not come yet.");
        }
        day
    }

    /// One of a list of words.
    pub fn choice<T: std::str::FromStr>(&mut self, field: &'static str, typed: &str) -> Option<T> {
        let chosen = typed.trim().parse().ok();
        if chosen.is_none() {
            self.add(field, "Choose one of the list.");
        }
        chosen
    }
}
