//! A list of moulds, typed, pasted from a spreadsheet or read from a file: one mould a row, its name, then its diameters.
use crate::context::Ctx;
use crate::error::Answer;
use crate::file_form::FileForm;
use crate::form::Errors;
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::extract::Multipart;
use axum::extract::multipart::MultipartRejection;
use axum::response::IntoResponse;
use calc::rings::DIAMETER;
use domain::rings::{MOST_MOULDS, NewMould, Unreadable, mould};
use register::table::{Limits, Reading, read};
use store::journal::{self, Entry};

/// A list is a page of a book, not a register.
const MOST_BYTES: usize = 2_000_000;

#[derive(Debug, Clone, Default)]
struct ListForm {
    name: String,
    source: String,
    rows: String,
}

#[derive(Template)]
#[template(path = "rings/list_new.html")]
struct ListNewPage {
    chrome: Chrome,
    code: String,
    form: ListForm,
    errors: Errors,
}

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>) -> Answer {
    Ok(ok(page(&ctx, &code, ListForm::default(), Errors::default())?).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Path(code): Path<String>,
    parts: Result<Multipart, MultipartRejection>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let sent = FileForm::take(&ctx, parts, MOST_BYTES).await?;
    let posted = sent.posted(&ctx);
    let typed = |name: &str| sent.field(name).to_owned();
    let form = ListForm { name: typed("name"), source: typed("source"), rows: typed("rows") };
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut errors = Errors::default();
    let name = errors.required("name", &form.name, "Give the list a name.");
    let source = errors.required(
        "source",
        &form.source,
        "Say where the diameters are published, or who measured them.",
    );
    if !sent.file.is_empty() && !form.rows.trim().is_empty() {
        errors.add(
            "file",
            "Rows are written above and a file is chosen as well. Clear the one or leave out the other.",
        );
    }
    let (field, bytes) = match sent.file.is_empty() {
        true => ("rows", form.rows.trim().as_bytes().to_vec()),
        false => ("file", sent.file),
    };
    let moulds = moulds(field, &bytes, &mut errors);
    if !errors.is_empty() {
        return Ok(again(page(&ctx, &code, form, errors)?).into_response());
    }
    let id =
        store::rings::insert_list(&mut tx, project, (&name, &source, &moulds), ctx.actor.person, ctx.now)
            .await?;
    let count = if moulds.len() == 1 { "1 mould".to_owned() } else { format!("{} moulds", moulds.len()) };
    let words = format!("entered the list of moulds {name}, {count}");
    let entry = Entry {
        project: Some(project),
        verb: "entered",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    journal::append(&mut tx, &entry, ctx.now).await?;
    let told = format!("{name} is kept, with {count}.");
    ctx.finish(tx, &posted, &links::mould_list(id), &told).await
}

/// The moulds in a table, with what is wrong by row.
fn moulds(field: &'static str, bytes: &[u8], errors: &mut Errors) -> Vec<NewMould> {
    if bytes.is_empty() {
        errors.add("rows", "Write one mould a line: its name, then its diameters in mm, separated by semicolons. Or choose a file.");
        return Vec::new();
    }
    let limits = Limits { bytes: MOST_BYTES as u64, rows: MOST_MOULDS + 1, ..Limits::default() };
    let table = match read(bytes, &Reading::default(), &limits) {
        Ok(table) => table,
        Err(cause) => {
            errors.add(field, cause.to_string());
            return Vec::new();
        }
    };
    let (mut moulds, mut wrong) = (Vec::new(), Vec::new());
    for (at, row) in table.rows.iter().enumerate() {
        let cells: Vec<String> = row.iter().map(|cell| cell.shown().into_owned()).collect();
        if cells.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        match checked(&cells) {
            Ok(read) => moulds.push(read),
            Err(_) if at == 0 && is_heading(&cells) => {}
            Err(words) => wrong.push(format!("Row {}: {words}", at + 1)),
        }
    }
    if let Some(first) = wrong.first() {
        let more = match wrong.len() {
            1 => String::new(),
            2 => " And 1 more row cannot be read.".to_owned(),
            n => format!(" And {} more rows cannot be read.", n - 1),
        };
        errors.add(field, format!("{first}{more}"));
    } else if moulds.is_empty() {
        errors.add(field, "There is no mould in it.");
    }
    moulds
}

/// Whether this is a line of headings: words in every cell, and more than one.
fn is_heading(cells: &[String]) -> bool {
    let mut words = cells.iter().skip(1).map(|cell| cell.trim()).filter(|cell| !cell.is_empty()).peekable();
    words.peek().is_some() && words.all(|word| word.starts_with(char::is_alphabetic))
}

/// A mould whose diameters rise, as the comparison asks.
fn checked(cells: &[String]) -> Result<NewMould, String> {
    let read = mould(cells).map_err(|cause: Unreadable| cause.to_string())?;
    let rising = DIAMETER.called("moulds", "the ring diameter").check_rising(&read.rings_mm);
    rising.map(|()| read).map_err(|cause| cause.to_string())
}

fn page(ctx: &Ctx, code: &str, form: ListForm, errors: Errors) -> Answer<ListNewPage> {
    let member = ctx.project(code)?;
    Ok(ListNewPage { chrome: ctx.chrome_in(member.project), code: member.code.clone(), form, errors })
}
