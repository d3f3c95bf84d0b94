//! How dates are read while they are typed: asked by a script, answered by the same reader that reads them in the end.
use super::dating;
use super::opinion_form::{OpinionForm, shown};
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Asked;
use crate::path::Path;
use axum::Json;
use axum::response::IntoResponse;
use domain::ids::FindId;

/// The answer to a script.
#[derive(serde::Serialize)]
struct Read {
    /// One for each date that was sent; empty for an empty one.
    rows: Vec<ReadRow>,
    /// The readings in one line, as the form sends them back.
    shown: String,
}

#[derive(Clone, Default, serde::Serialize)]
struct ReadRow {
    reading: String,
    rule: String,
    wrong: String,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<FindId>, Asked(form): Asked<OpinionForm>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let convention = dating::convention_of(&mut tx, find.project_id).await?;
    let readings = form.readings(&convention);
    let mut rows = vec![ReadRow::default(); form.date_words.len()];
    for (at, reading) in &readings {
        match reading {
            Ok(reading) => {
                rows[*at].reading = format!("Read as {}", reading.label);
                rows[*at].rule.clone_from(&reading.rule);
            }
            Err(sentence) => rows[*at].wrong.clone_from(sentence),
        }
    }
    Ok(Json(Read { rows, shown: shown(&readings) }).into_response())
}
