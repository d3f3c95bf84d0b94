//! An import taken back, whole or not at all.
use super::apply_finds::Ground;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Posted;
use crate::links;
use crate::path::Path;
use domain::Instant;
use domain::ids::{ContextId, FindId, ImportRunId, PersonId};
use domain::review::Reopened;
use store::contexts::NewContext;
use store::finds::fields::ChangeWords;
use store::finds::{Find, NewFind};
use store::imports::{self, Run};
use store::journal::{self, Entry};
use store::review::reopenings;
use store::{StoreError, Tx};

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

pub(super) async fn create(ctx: Ctx, Path(id): Path<ImportRunId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let run = imports::find(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    ctx.allow(run.project_id)?;
    if let Err(words) = take_back(&mut tx, &run, Some(ctx.actor.person), ctx.now).await? {
        drop(tx);
        return Ok(ctx.lead_on(&links::import(id), &words));
    }
    ctx.finish(tx, &posted, &links::import(id), &done(&run)).await
}

/// What is true once an import was taken back.
pub fn done(run: &Run) -> String {
    let made = "contexts and places that were made for them stay";
    match run.kind.as_str() {
        "finds" => format!("The import is undone; the finds are as they were before, {made}."),
        _ => "The import is undone; the contexts are as they were before.".into(),
    }
}

/// Takes an import back, or says why it cannot be.
///
/// # Errors
/// Those of the store, `Changed` where it was undone before.
pub async fn take_back(
    tx: &mut Tx,
    run: &Run,
    by: Option<PersonId>,
    now: Instant,
) -> Result<Result<(), String>, StoreError> {
    let undone = if run.kind == "finds" { finds(tx, run, by, now).await? } else { contexts(tx, run).await? };
    if undone.is_err() {
        return Ok(undone);
    }
    imports::update_undone(tx, run.id, now).await?;
    let words = format!("undid the import of {}", run.file_name);
    let entry = Entry { project: Some(run.project_id), verb: "undone", words, by, ..Entry::default() };
    journal::append(tx, &entry, now).await?;
    Ok(Ok(()))
}

async fn finds(
    tx: &mut Tx,
    run: &Run,
    by: Option<PersonId>,
    now: Instant,
) -> Result<Result<(), String>, StoreError> {
    let gone_on = imports::count_gone_on(tx, run.id).await?;
    if gone_on > 0 {
        let finds = if gone_on == 1 { "find of this import has" } else { "finds of this import have" };
        return Ok(Err(format!(
            "{gone_on} {finds} been worked on or changed since, so it cannot be undone as a whole."
        )));
    }
    let ground = Ground::load(tx, run.project_id).await?;
    for change in imports::list_changes(tx, run.id).await? {
        let id = FindId(change.record_id);
        match change.before {
            None => imports::delete_added_find(tx, id).await?,
            Some(words) => {
                let mut before = imports::from_words(&words)?;
                let find = store::finds::find_unguarded(tx, id).await?.ok_or(StoreError::Dangling)?;
                let since = run.applied_at.unwrap_or(now);
                if store::places::is_moved_since(tx, id, since).await? {
                    before.place = find.as_new().place;
                }
                store::finds::update(tx, &find, &before, find.revision).await?;
                store::finds::update_place(tx, id, before.place).await?;
                imports::carry_back(tx, id, (change.revision - 1, find.revision + 1)).await?;
                store::finds::progress::refresh(tx, id, now).await?;
                tell(tx, &find, &before, &ground, (by, now)).await?;
                let counts = (find.quantity, before.quantity);
                let why = (Reopened::Count, "The import of a register was undone.");
                reopenings::insert_of_count(tx, id, counts, why, by, now).await?;
            }
        }
    }
    Ok(Ok(()))
}

/// Writes into the journal of a find what the undoing changed back.
async fn tell(
    tx: &mut Tx,
    find: &Find,
    after: &NewFind,
    ground: &Ground,
    (by, now): (Option<PersonId>, Instant),
) -> Result<(), StoreError> {
    let like =
        Entry { project: Some(find.project_id), find: Some(find.id), verb: "undone", by, ..Entry::default() };
    let before = find.as_new();
    let told = ChangeWords::of(&before, after, ground.moved(&before, after));
    let entries = told.entries(&like, |words| format!("by undoing an import, {words}"));
    journal::append_all(tx, &entries, now).await
}

async fn contexts(tx: &mut Tx, run: &Run) -> Result<Result<(), String>, StoreError> {
    imports::undo_relations(tx, run.id).await?;
    for change in imports::list_changes(tx, run.id).await? {
        let undone = match change.before {
            None => imports::delete_added_context(tx, change.record_id).await,
            Some(words) => {
                let before: NewContext = serde_json::from_str(&words).map_err(unreadable)?;
                store::contexts::update(tx, ContextId(change.record_id), &before, change.revision).await
            }
        };
        match undone {
            Ok(()) => {}
            Err(StoreError::Dangling | StoreError::Changed) => {
                return Ok(Err(
                    "Contexts of this import are in use or changed since, so it cannot be undone as a whole."
                        .into(),
                ));
            }
            Err(other) => return Err(other),
        }
    }
    Ok(Ok(()))
}

fn unreadable(cause: serde_json::Error) -> StoreError {
    StoreError::Corrupt { column: "import_change.before".into(), cause: cause.to_string() }
}
