//! What an address names. An address that names nothing is answered like any other that leads nowhere.
use crate::error::AppError;
use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use serde::de::DeserializeOwned;

/// The parts of a path a route leaves open; one that cannot be read is a page that is not there.
pub struct Path<T>(pub T);

impl<T: DeserializeOwned + Send, S: Send + Sync> FromRequestParts<S> for Path<T> {
    type Rejection = AppError;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, AppError> {
        match axum::extract::Path::<T>::from_request_parts(parts, state).await {
            Ok(axum::extract::Path(named)) => Ok(Self(named)),
            Err(cause) => {
                tracing::debug!(%cause, "unreadable address");
                Err(AppError::NotFound)
            }
        }
    }
}
