//! Cleaning: spot tests, levels and their authorisation, treatment steps.
mod levels;
mod mixtures;
mod spot_tests;
pub(crate) mod steps;

use axum::http::StatusCode;
use domain::ids::FindId;
use tests::support::{Lab, Reply, Visitor};

/// Sends the form of a record as it is offered, with these fields changed; a field may repeat.
async fn send(
    visitor: &mut Visitor,
    lab: &Lab,
    stage: &str,
    find: FindId,
    changes: &[(&str, &str)],
) -> Reply {
    let page = visitor.page(&format!("/projects/{}/work/{stage}/new?find={find}", lab.site.code)).await;
    visitor.submit(&page, "form[action*='/work/']", changes).await
}

fn assert_saved(reply: &Reply) {
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{} {}", reply.text(".wrong"), reply.text("h1"));
}

fn assert_refused(reply: &Reply, words: &str) {
    assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY, "{words}");
    assert!(reply.text(".wrong").contains(words), "“{words}” is not said: {}", reply.text(".wrong"));
}
