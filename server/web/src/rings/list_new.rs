//! A list of moulds, typed, pasted from a spreadsheet or read from a file: one mould a row, its name, then its diameters.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted, check_form_token, read_submission};
use crate::images::{patiently, words};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::extract::Multipart;
use axum::extract::multipart::{Field, MultipartRejection};
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

/// What was sent.
#[derive(Default)]
struct Sent {
    form: ListForm,
    file: Vec<u8>,
    submission: String,
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
    let mut parts = parts.map_err(|_| AppError::Unreadable("The form could not be read.".into()))?;
    let sent = take(&ctx, &mut parts).await?;
    let posted =
        Posted { form: (), submission: read_submission(&sent.submission, ctx.now), body: Default::default() };
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut errors = Errors::default();
    let name = errors.required("name", &sent.form.name, "Give the list a name.");
    let source = errors.required(
        "source",
        &sent.form.source,
        "Say where the diameters are published, or who measured them.",
    );
    let (field, bytes) = match sent.file.is_empty() {
        true => ("rows", sent.form.rows.trim().as_bytes().to_vec()),
        false => ("file", sent.file),
    };
    let moulds = moulds(field, &bytes, &mut errors);
    if !errors.is_empty() {
        return Ok(again(page(&ctx, &code, sent.form, errors)?).into_response());
    }
    let id =
        store::rings::insert_list(&mut tx, project, (&name, &source, &moulds), ctx.actor.person, ctx.now)
            .await?;
    let words = format!("entered the list of moulds {name}, {} moulds", moulds.len());
    let entry = Entry {
        project: Some(project),
        verb: "entered",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    journal::append(&mut tx, &entry, ctx.now).await?;
    let told = format!("{name} is kept, with {} moulds.", moulds.len());
    ctx.finish(tx, &posted, &links::mould_list(id), &told).await
}

/// Takes in the form; the words come before the file.
async fn take(ctx: &Ctx, parts: &mut Multipart) -> Answer<Sent> {
    let mut sent = Sent::default();
    let mut admitted = false;
    while let Some(field) = patiently(parts.next_field()).await? {
        let name = field.name().unwrap_or_default().to_owned();
        match name.as_str() {
            "_token" => {
                check_form_token(&ctx.form_token, &words(field).await?)?;
                admitted = true;
            }
            "file" if admitted => sent.file = bytes(field).await?,
            "file" => return Err(AppError::StaleForm),
            "name" => sent.form.name = words(field).await?,
            "source" => sent.form.source = words(field).await?,
            // its lines stay lines
            "rows" => sent.form.rows = String::from_utf8_lossy(&bytes(field).await?).into_owned(),
            "submission" => sent.submission = words(field).await?,
            _ => {}
        }
    }
    if admitted { Ok(sent) } else { Err(AppError::StaleForm) }
}

/// A small file in memory; what goes beyond is read and left, and the reading says so.
async fn bytes(mut field: Field<'_>) -> Answer<Vec<u8>> {
    let mut bytes = Vec::new();
    while let Some(chunk) = patiently(field.chunk()).await? {
        if bytes.len() <= MOST_BYTES {
            bytes.extend_from_slice(&chunk);
        }
    }
    Ok(bytes)
}

/// The moulds in a table, with what is wrong by row.
fn moulds(field: &'static str, bytes: &[u8], errors: &mut Errors) -> Vec<NewMould> {
    if bytes.is_empty() {
        errors.add("rows", "Write one mould a line: its name, then its diameters in mm, parted by semicolons. Or choose a file.");
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
            // a line of headings above the first mould
            Err(_) if at == 0 && !cells.iter().skip(1).any(|cell| cell.trim().parse::<f64>().is_ok()) => {}
            Err(words) => wrong.push(format!("Row {}: {words}.", at + 1)),
        }
    }
    if let Some(first) = wrong.first() {
        let more = match wrong.len() {
            1 => String::new(),
            n => format!(" And {} more rows cannot be read.", n - 1),
        };
        errors.add(field, format!("{first}{more}"));
    } else if moulds.is_empty() {
        errors.add(field, "There is no mould in it.");
    }
    moulds
}

/// A mould whose diameters rise, as the comparison asks.
fn checked(cells: &[String]) -> Result<NewMould, String> {
    let read = mould(cells).map_err(|cause: Unreadable| cause.to_string())?;
    match DIAMETER.called("moulds", "the ring diameter").check_rising(&read.rings_mm) {
        Ok(()) => Ok(read),
        Err(cause) => Err(cause.to_string().trim_end_matches('.').to_owned()),
    }
}

fn page(ctx: &Ctx, code: &str, form: ListForm, errors: Errors) -> Answer<ListNewPage> {
    let member = ctx.project(code)?;
    Ok(ListNewPage { chrome: ctx.chrome_in(member.project), code: member.code.clone(), form, errors })
}
