//! Whether the process lives and whether it can work.
use crate::App;
use axum::extract::State;
use axum::http::StatusCode;

/// 200 while the process lives.
pub async fn live() -> &'static str {
    "alive"
}

/// 200 when database and files answer.
pub async fn ready(State(app): State<App>) -> (StatusCode, &'static str) {
    let database = async { store::health::check(&mut app.db.read().await?).await };
    if let Err(cause) = database.await {
        tracing::warn!(%cause, "the database does not answer");
        return (StatusCode::SERVICE_UNAVAILABLE, "the database does not answer");
    }
    if let Err(cause) = app.files.ready().await {
        tracing::warn!(%cause, "the files do not answer");
        return (StatusCode::SERVICE_UNAVAILABLE, "the files do not answer");
    }
    (StatusCode::OK, "ready")
}
