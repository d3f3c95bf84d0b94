//! Rows as a specialist types or pastes them: kept as a draft however they are, submitted when they are right.
use super::About;
use super::grid_page::{self, Shown};
use super::sums::sum_words;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_moment;
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{again, ok};
use crate::path::Path;
use axum::response::IntoResponse;
use domain::ids::{AssignmentId, FindId};
use domain::rows::{MOST_ROWS, Row, TypedRow, TypedRows, check, differences, sum};
use store::Tx;
use store::journal::{self, Entry};
use store::rows::drafts::{self, Draft};
use store::rows::lists::{self, NewList};

/// The grid as sent: every field a column of the page, row by row.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct GridForm {
    /// Codes of the columns, separated by commas, as they were when the page was made.
    columns: String,
    row_find: Vec<String>,
    row_sub_number: Vec<String>,
    cell: Vec<String>,
    note: String,
    /// `yes`: the rows stand in the draft alone; the page was too small for them.
    kept: String,
    do_what: String,
}

impl GridForm {
    /// What is typed in it. Rows without a word are left out.
    fn typed(&self) -> TypedRows {
        let columns: Vec<String> =
            self.columns.split(',').filter(|code| !code.is_empty()).map(String::from).collect();
        let width = columns.len();
        let row = |(at, find): (usize, &String)| TypedRow {
            find: find.clone(),
            sub_number: self.row_sub_number.get(at).cloned().unwrap_or_default(),
            cells: self.cell.iter().skip(at * width).take(width).cloned().collect(),
        };
        let mut rows: Vec<TypedRow> = self.row_find.iter().enumerate().map(row).collect();
        rows.retain(|row| !row.find.trim().is_empty() || !row.is_blank());
        TypedRows { columns, rows }
    }

    async fn draft(&self, tx: &mut Tx, about: &About) -> Answer<Draft> {
        let typed = match self.kept.as_str() {
            "yes" => about.draft(tx).await?.typed,
            _ => self.typed(),
        };
        if typed.rows.len() > MOST_ROWS {
            let words = format!("More than {MOST_ROWS} rows do not fit into one list. Send them in parts.");
            return Err(AppError::Unreadable(words));
        }
        Ok(Draft { typed, note: self.note.clone() })
    }
}

/// How the page is asked for.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct View {
    /// `yes`: what is wrong is said before anybody submits.
    check: String,
    /// Empty rows at the end.
    more: String,
}

pub(super) async fn show(
    ctx: Ctx,
    Path((id, code)): Path<(AssignmentId, String)>,
    Asked(view): Asked<View>,
) -> Answer {
    let mut tx = ctx.read().await?;
    let about = About::load(&ctx, &mut tx, id, &code).await?;
    let draft = about.draft(&mut tx).await?;
    let shown = Shown {
        check: view.check == "yes",
        blank: view.more.parse().unwrap_or(grid_page::BLANK),
        errors: Errors::default(),
    };
    Ok(ok(grid_page::of(&ctx, &about, &draft, shown)).into_response())
}

/// Keeps the draft while it is typed, asked by a script; the same form may be sent in the end.
pub(super) async fn keep(
    ctx: Ctx,
    Path((id, code)): Path<(AssignmentId, String)>,
    posted: Posted<GridForm>,
) -> Answer {
    let mut tx = ctx.write().await?;
    let about = About::load(&ctx, &mut tx, id, &code).await?;
    let draft = posted.form.draft(&mut tx, &about).await?;
    drafts::update(&mut tx, (id, &code), &draft, ctx.now).await?;
    tx.commit().await?;
    let words = format!("Draft kept, {}. Only you see it.", show_moment(ctx.now));
    Ok(axum::Json(serde_json::json!({ "words": words })).into_response())
}

pub(super) async fn save(
    ctx: Ctx,
    Path((id, code)): Path<(AssignmentId, String)>,
    posted: Posted<GridForm>,
) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let about = About::load(&ctx, &mut tx, id, &code).await?;
    let draft = posted.form.draft(&mut tx, &about).await?;
    let to = links::rows_of(id, &code);
    match posted.form.do_what.as_str() {
        "submit" => submit(&ctx, tx, (&about, draft), &posted).await,
        "more" => {
            drafts::update(&mut tx, (id, &code), &draft, ctx.now).await?;
            ctx.finish(tx, &posted, &format!("{to}?more=20"), "The draft is kept, with 20 empty rows.").await
        }
        _ => {
            drafts::update(&mut tx, (id, &code), &draft, ctx.now).await?;
            ctx.finish(tx, &posted, &to, "The draft is kept. Only you see it.").await
        }
    }
}

async fn submit(ctx: &Ctx, mut tx: Tx, (about, draft): (&About, Draft), posted: &Posted<GridForm>) -> Answer {
    let (discipline, id) = (&about.discipline, about.assignment.id);
    let typed = draft.typed.in_columns(&discipline.columns);
    let (rows, faults) = check(&discipline.columns, &typed, &about.finds);
    let mut errors = Errors::default();
    match faults.len() {
        0 if rows.is_empty() => errors.add("rows", "Nothing is filled in yet. Fill in at least one row."),
        0 => {}
        1 => errors.add("rows", "One cell needs another look; it says why below."),
        n => errors.add("rows", format!("{n} cells need another look; each says why below.")),
    }
    let note = errors.text("note", &draft.note);
    let differ = differences(&discipline.columns, &rows, &about.finds);
    if let Some(first) = differ.first().filter(|_| note.is_empty() && faults.is_empty()) {
        let words = format!("{}: {}. Correct the rows, or say here why.", first.number, first.sentence);
        errors.add("note", words);
    }
    if !errors.is_empty() {
        drafts::update(&mut tx, (id, &discipline.code), &draft, ctx.now).await?;
        tx.commit().await?;
        let shown = Shown { check: true, blank: grid_page::BLANK, errors };
        return Ok(again(grid_page::of(ctx, about, &draft, shown)).into_response());
    }
    let note = if differ.is_empty() { String::new() } else { note };
    let new = NewList {
        assignment: id,
        discipline: &discipline.code,
        discipline_name: &discipline.name,
        columns: &discipline.columns,
        rows: &rows,
        note: &note,
    };
    let list = lists::insert(&mut tx, &new, ctx.now).await?;
    drafts::delete(&mut tx, id, &discipline.code).await?;
    tell_journal(ctx, &mut tx, about, &rows).await?;
    let told = format!(
        "Submitted: {}. You can revise them at any time.",
        sum_words(sum(&discipline.columns, &rows))
    );
    ctx.finish(tx, posted, &links::row_list(list), &told).await
}

/// A line in the journal of every find that has rows.
async fn tell_journal(ctx: &Ctx, tx: &mut Tx, about: &About, rows: &[Row]) -> Answer<()> {
    let name = about.discipline.name.to_lowercase();
    let entry = |(find, count): (FindId, usize)| Entry {
        project: Some(about.assignment.project_id),
        find: Some(find),
        context: None,
        verb: "rows",
        words: match count {
            1 => format!("submitted a row of {name}"),
            n => format!("submitted {n} rows of {name}"),
        },
        by: Some(ctx.actor.person),
    };
    let counts =
        about.finds.iter().map(|find| (find.id, rows.iter().filter(|row| row.find == find.id).count()));
    let entries: Vec<Entry> = counts.filter(|(_, count)| *count > 0).map(entry).collect();
    Ok(journal::append_all(tx, &entries, ctx.now).await?)
}
