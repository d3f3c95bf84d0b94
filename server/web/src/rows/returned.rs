//! A filled template on its way back: its rows become the draft, and the page says row by row what is wrong with them.
use super::About;
use super::grid_page::{self, Shown};
use super::spreadsheet::BEFORE;
use super::sums::rows_words;
use crate::context::Ctx;
use crate::error::Answer;
use crate::file_form::FileForm;
use crate::form::Errors;
use crate::links;
use crate::page::again;
use crate::path::Path;
use axum::extract::Multipart;
use axum::extract::multipart::MultipartRejection;
use axum::response::IntoResponse;
use domain::ids::AssignmentId;
use domain::rows::{Column, MOST_ROWS, TypedRow, TypedRows};
use domain::words::fold;
use register::table::{Limits, Reading, Table, read};
use store::rows::drafts::{self, Draft};

const MOST_BYTES: usize = 10_000_000;
/// Rows above the headings, for a title.
const ABOVE: usize = 10;
/// Words by which the column of find numbers is known.
const NUMBER: [&str; 4] = ["find", "find number", "find no", "number"];

pub(super) async fn create(
    ctx: Ctx,
    Path((id, code)): Path<(AssignmentId, String)>,
    parts: Result<Multipart, MultipartRejection>,
) -> Answer {
    let about = About::load(&ctx, &mut ctx.read().await?, id, &code).await?;
    let sent = FileForm::take(&ctx, parts, MOST_BYTES).await?;
    let posted = sent.posted(&ctx);
    let replaces = sent.field("replace") == "yes";
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let draft = about.draft(&mut tx).await?;
    let begun = draft.typed.rows.iter().filter(|row| !row.is_blank()).count();
    let columns = about.discipline.columns.clone();
    let typed = match (sent.file.is_empty(), begun > 0 && !replaces) {
        (true, _) => Err("Choose the filled template first.".to_owned()),
        (_, true) => Err(format!("Kept here: {}. Tick that the file replaces them.", rows_words(begun))),
        _ => ctx.app.press.run(move || rows_of(&sent.file, &columns)).await?,
    };
    let (typed, left_out) = match typed {
        Ok(read) => read,
        Err(words) => {
            let mut errors = Errors::default();
            errors.add("file", words);
            let shown = Shown { check: false, blank: grid_page::BLANK, errors };
            return Ok(again(grid_page::of(&ctx, &about, &draft, shown)).into_response());
        }
    };
    let count = typed.rows.len();
    let draft = Draft { typed, note: draft.note };
    drafts::update(&mut tx, (id, &code), &draft, ctx.now).await?;
    let mut told =
        format!("In your draft from the file: {}. Submit them when they are right.", rows_words(count));
    if !left_out.is_empty() {
        told += &format!(" Left out, being no column of {}: {}.", about.discipline.name, left_out.join(", "));
    }
    ctx.finish(tx, &posted, &format!("{}?check=yes", links::rows_of(id, &code)), &told).await
}

/// The rows of a file in the columns of the discipline, and the headings that belong to none of them.
fn rows_of(bytes: &[u8], columns: &[Column]) -> Result<(TypedRows, Vec<String>), String> {
    let limits =
        Limits { bytes: MOST_BYTES as u64, rows: MOST_ROWS + ABOVE + 1, columns: 100, ..Limits::default() };
    let reading = Reading::default();
    let table = read(bytes, &reading, &limits).map_err(|cause| cause.to_string())?;
    let head = (0..table.rows.len().min(ABOVE))
        .find(|row| places(&table, *row, |word| NUMBER.contains(&word)).is_some());
    let Some(head) = head else {
        return Err("The file has no column Find. Keep the headings of the template as they are.".into());
    };
    let find = places(&table, head, |word| NUMBER.contains(&word));
    let sub_number = places(&table, head, |word| word == fold(BEFORE[1]));
    let mut known: Vec<usize> = find.into_iter().chain(sub_number).collect();
    let mut of_columns = Vec::with_capacity(columns.len());
    for column in columns {
        let place = (0..table.width())
            .filter(|at| !known.contains(at))
            .find(|at| column.is_headed(&table.cell(head, *at).shown()));
        if place.is_none() && column.required {
            return Err(format!("The file has no column {}. Take the template anew.", column.title()));
        }
        known.extend(place);
        of_columns.push(place);
    }
    let cell = |row: usize, place: Option<usize>| {
        place.map(|at| table.cell(row, at).shown().trim().to_owned()).unwrap_or_default()
    };
    let row = |row: usize| TypedRow {
        find: cell(row, find),
        sub_number: cell(row, sub_number),
        cells: of_columns.iter().map(|place| cell(row, *place)).collect(),
    };
    let rows: Vec<TypedRow> = (head + 1..table.rows.len()).map(row).collect();
    let rows = rows.into_iter().filter(|row| !row.is_blank()).collect();
    let codes = columns.iter().map(|column| column.code.clone()).collect();
    Ok((TypedRows { columns: codes, rows }, left_out(&table, head, &known)))
}

/// The first place in a row whose word, folded, fits.
fn places(table: &Table, row: usize, fits: impl Fn(&str) -> bool) -> Option<usize> {
    (0..table.width()).find(|at| fits(&fold(&table.cell(row, *at).shown())))
}

fn left_out(table: &Table, head: usize, known: &[usize]) -> Vec<String> {
    let others = (0..table.width()).filter(|at| !known.contains(at));
    let headings = others.map(|at| table.cell(head, at).shown().trim().to_owned());
    headings.filter(|heading| !heading.is_empty() && fold(heading) != fold(BEFORE[2])).collect()
}
