//! What is forgotten now and then: quiet addresses, ended sessions, old links and forms.
use crate::{App, session};
use chrono::Duration;
use store::StoreError;

/// Between two rounds.
const EVERY: std::time::Duration = std::time::Duration::from_secs(600);
/// A form is not sent again after this long.
const FORMS_KEPT: Duration = Duration::days(30);
/// A dead link still says for this long that it is dead.
const LINKS_KEPT: Duration = Duration::days(30);

/// Makes its rounds until the task is dropped.
pub async fn run(app: App) {
    loop {
        tokio::time::sleep(EVERY).await;
        app.sign_in_limits.forget_quiet();
        if let Err(cause) = forget_old(&app).await {
            tracing::warn!(%cause, "old sessions were not forgotten");
        }
    }
}

/// One round in the database.
pub async fn forget_old(app: &App) -> Result<(), StoreError> {
    let now = app.clock.now();
    let mut tx = app.db.write().await?;
    store::sessions::delete_ended(&mut tx, now, now - session::IDLE).await?;
    store::mail_links::delete_before(&mut tx, now - LINKS_KEPT).await?;
    store::submissions::delete_before(&mut tx, now - FORMS_KEPT).await?;
    crate::daily::forget_old(&mut tx, now.date_naive()).await?;
    tx.commit().await
}
