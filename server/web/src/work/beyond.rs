//! Steps that went beyond the level agreed: judged when they are recorded, named in words wherever they show.
use super::enter::{attempt, find_entry};
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{FindId, RecordId};
use store::Tx;
use store::finds::{Find, progress};
use store::journal;
use store::work::records::NewRecord;
use store::work::standing::Standing;
use store::work::treatments::{self, Beyond};

#[derive(Template)]
#[template(path = "work/beyond.html")]
struct BeyondPage {
    chrome: Chrome,
    steps: Vec<Beyond>,
}

/// Every standing step of a project that went beyond.
pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let member = ctx.project(&code)?;
    let mut tx = ctx.read().await?;
    let steps = treatments::list_beyond_in(&mut tx, member.project, member.restricted).await?;
    Ok(ok(BeyondPage { chrome: ctx.chrome_in(member.project), steps }).into_response())
}

/// How a step about to be recorded goes beyond what was agreed for each of its finds; `said` is what the recorder says.
pub(super) async fn judge(
    tx: &mut Tx,
    finds: &[Find],
    new: &NewRecord,
    standing: Option<&Standing>,
    said: &str,
) -> Answer<Vec<(FindId, String)>> {
    let mut beyond = Vec::new();
    if !super::step_form::cleans(new.stage) {
        return Ok(beyond);
    }
    let attempt = attempt(new, standing);
    for find in finds {
        let facts = progress::find_facts(tx, find.id).await?;
        let mut words: Vec<&str> = if said.is_empty() { Vec::new() } else { vec![said] };
        words.extend(attempt.beyond(&facts).into_iter().filter(|sentence| !said.contains(sentence)));
        if !words.is_empty() {
            beyond.push((find.id, words.join(" ")));
        }
    }
    Ok(beyond)
}

/// Keeps what was judged, with the journal.
pub(super) async fn keep(
    ctx: &Ctx,
    tx: &mut Tx,
    record: RecordId,
    finds: &[Find],
    beyond: &[(FindId, String)],
) -> Answer<()> {
    for (id, words) in beyond {
        treatments::insert_beyond(tx, record, *id, words).await?;
        if let Some(find) = finds.iter().find(|find| find.id == *id) {
            let entry = find_entry(ctx, find, "beyond", format!("went beyond the agreed level: {words}"));
            journal::append(tx, &entry, ctx.now).await?;
        }
    }
    Ok(())
}
