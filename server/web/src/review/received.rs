//! An opinion has come by letter, e-mail, PDF or spreadsheet: its original is kept, for whom it will be entered is said.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted, check_form_token, read_submission};
use crate::images::{disposition, patiently, plain_name, sentence, words};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::people::invite;
use crate::work::enter::find_entry;
use askama::Template;
use axum::body::Body;
use axum::extract::Multipart;
use axum::extract::multipart::{Field, MultipartRejection};
use axum::http::header;
use axum::response::IntoResponse;
use chrono::NaiveDate;
use domain::ids::{FindId, PersonId, ReceivedId};
use domain::review::CameAs;
use media::{Checksum, MediaError, Stored};
use store::Tx;
use store::finds::Find;
use store::people::{Colleague, NewPerson};
use store::review::assignments;
use store::review::received::{self, NewReceived};

/// Endings of files that are taken as an original; they are handed out as files, never opened here.
const ENDINGS: &[&str] = &[
    "pdf", "eml", "msg", "txt", "doc", "docx", "odt", "rtf", "xls", "xlsx", "ods", "csv", "jpg", "jpeg",
    "png", "tif", "tiff",
];

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
struct ReceivedForm {
    /// Id of a specialist of the project; empty for somebody else.
    author: String,
    name: String,
    email: String,
    qualification: String,
    came_as: String,
    came_on: String,
}

#[derive(Template)]
#[template(path = "review/received_new.html")]
struct ReceivedPage {
    chrome: Chrome,
    find: Find,
    specialists: Vec<Colleague>,
    ways: &'static [CameAs],
    form: ReceivedForm,
    errors: Errors,
    limit_mb: u64,
}

/// What the form comes to beside its file.
struct Said {
    author: Author,
    came_as: CameAs,
    came_on: NaiveDate,
}

enum Author {
    Known(PersonId),
    New(NewPerson),
}

/// What was sent.
#[derive(Default)]
struct Sent {
    fields: Vec<(String, String)>,
    file: Option<(String, Stored)>,
    errors: Errors,
}

pub(super) async fn new(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let form = ReceivedForm { came_on: ctx.now.date_naive().to_string(), ..ReceivedForm::default() };
    Ok(ok(page(&ctx, &mut tx, find, (form, Errors::default())).await?).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Path(id): Path<FindId>,
    parts: Result<Multipart, MultipartRejection>,
) -> Answer {
    let find = ctx.find(&mut ctx.read().await?, id).await?;
    let mut parts = parts.map_err(|_| AppError::Unreadable("The form could not be read.".into()))?;
    let sent = take(&ctx, &find, &mut parts).await?;
    let form = sent.form()?;
    let submission = read_submission(sent.field("submission"), ctx.now);
    let posted = Posted { form: (), submission, body: Default::default() };
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut errors = Errors::default();
    let said = form.parse(&ctx, &mut tx, &find, &mut errors).await?;
    errors.extend(sent.errors);
    if sent.file.is_none() {
        errors.add(
            "file",
            "Attach the original: a scan of the letter, the e-mail, the PDF or the spreadsheet.",
        );
    }
    let (Some(said), Some((file_name, stored)), true) = (said, sent.file, errors.is_empty()) else {
        return Ok(again(page(&ctx, &mut tx, find, (form, errors)).await?).into_response());
    };
    let author = match said.author {
        Author::Known(author) => author,
        Author::New(person) => store::people::insert(&mut tx, &person, ctx.now).await?,
    };
    let new = NewReceived {
        find: id,
        author,
        came_as: said.came_as,
        came_on: said.came_on,
        sha256: stored.checksum.to_string(),
        file_name,
        bytes: i64::try_from(stored.size_bytes).unwrap_or(i64::MAX),
    };
    let kept = received::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    let by = store::people::find(&mut tx, author).await?.ok_or(AppError::NotFound)?;
    let came = format!("kept {} from {} as the original of an opinion", new.came_as.label(), by.name);
    store::journal::append(&mut tx, &find_entry(&ctx, &find, "received", came), ctx.now).await?;
    ctx.finish(tx, &posted, &links::received(kept), "The original is kept. Now enter what it says.").await
}

/// Takes in the form; the words come before the file, and must be right before the file is kept.
async fn take(ctx: &Ctx, find: &Find, parts: &mut Multipart) -> Answer<Sent> {
    let mut sent = Sent::default();
    let mut admitted = false;
    while let Some(field) = patiently(parts.next_field()).await? {
        let name = field.name().unwrap_or_default().to_owned();
        match name.as_str() {
            "_token" => {
                check_form_token(&ctx.form_token, &words(field).await?)?;
                admitted = true;
            }
            "file" if admitted => {
                let file_name = plain_name(field.file_name().unwrap_or_default());
                let mut errors = Errors::default();
                sent.form()?.parse(ctx, &mut ctx.read().await?, find, &mut errors).await?;
                let wanted = !file_name.is_empty() && errors.is_empty();
                match receive(ctx, field, wanted.then_some(&file_name)).await? {
                    Ok(Some(stored)) => sent.file = Some((file_name, stored)),
                    Ok(None) if !file_name.is_empty() => {
                        sent.errors.add("file", "Choose the file once more; the rest was not right yet.");
                    }
                    Ok(None) => {}
                    Err(wrong) => sent.errors.add("file", wrong),
                }
            }
            "file" => return Err(AppError::StaleForm),
            _ => sent.fields.push((name, words(field).await?)),
        }
    }
    if admitted { Ok(sent) } else { Err(AppError::StaleForm) }
}

/// The file kept byte for byte, or the sentence that refuses it; read and forgotten when it is not wanted.
async fn receive(
    ctx: &Ctx,
    mut field: Field<'_>,
    name: Option<&String>,
) -> Answer<Result<Option<Stored>, String>> {
    let ending = name.and_then(|name| name.rsplit_once('.')).map(|(_, ending)| ending.to_ascii_lowercase());
    let known = ending.is_some_and(|ending| ENDINGS.contains(&ending.as_str()));
    let mut incoming = match name {
        Some(_) if known => match ctx.app.files.receive(ctx.app.config.max_upload_bytes).await {
            Ok(file) => Ok(Some(file)),
            Err(cause) => Err(sentence(&cause)),
        },
        Some(_) => Err(format!("This kind of file is not taken. These are: {}.", ENDINGS.join(", "))),
        None => Ok(None),
    };
    while let Some(chunk) = patiently(field.chunk()).await? {
        if let Ok(Some(file)) = &mut incoming
            && let Err(cause) = file.write(&chunk).await
        {
            incoming = Err(sentence(&cause));
        }
    }
    let file = match incoming {
        Ok(Some(file)) => file,
        Ok(None) => return Ok(Ok(None)),
        Err(wrong) => return Ok(Err(wrong)),
    };
    let arrived = match file.seal().await {
        Ok(arrived) => arrived,
        Err(cause) => return Ok(Err(sentence(&cause))),
    };
    Ok(arrived.keep().await.map(Some).map_err(|cause| sentence(&cause)))
}

impl Sent {
    fn field(&self, name: &str) -> &str {
        self.fields.iter().find(|(known, _)| known == name).map_or("", |(_, words)| words.as_str())
    }

    fn form(&self) -> Answer<ReceivedForm> {
        let mut query = form_urlencoded::Serializer::new(String::new());
        query.extend_pairs(&self.fields);
        serde_html_form::from_str(&query.finish()).map_err(AppError::inside)
    }
}

impl ReceivedForm {
    async fn parse(&self, ctx: &Ctx, tx: &mut Tx, find: &Find, errors: &mut Errors) -> Answer<Option<Said>> {
        let author = self.author(tx, find, errors).await?;
        let came_as: Option<CameAs> = errors.choice("came_as", &self.came_as);
        let came_on = errors.day("came_on", &self.came_on);
        match came_on {
            None => errors.add("came_on", "Say when it came, or what day it bears."),
            Some(day) if day > ctx.now.date_naive() => errors.add("came_on", "This day is still to come."),
            Some(_) => {}
        }
        Ok(match (author, came_as, came_on) {
            (Some(author), Some(came_as), Some(came_on)) => Some(Said { author, came_as, came_on }),
            _ => None,
        })
    }

    async fn author(&self, tx: &mut Tx, find: &Find, errors: &mut Errors) -> Answer<Option<Author>> {
        if !self.author.is_empty() {
            let specialists = assignments::list_specialists(tx, find.project_id).await?;
            let chosen = specialists.into_iter().find(|one| one.id.to_string() == self.author);
            if chosen.is_none() {
                errors.add("author", "Choose one of the list, or somebody else.");
            }
            return Ok(chosen.map(|one| Author::Known(one.id)));
        }
        let meant = invite::read(tx, &self.email, ("name", &self.name), errors).await?;
        let qualification = errors.line("qualification", &self.qualification);
        if let Some(known) = meant.known {
            return Ok(known.disabled_at.is_none().then_some(Author::Known(known.id)));
        }
        let whole = !meant.email.is_empty() && !meant.name.is_empty();
        Ok(whole.then_some(Author::New(NewPerson {
            email: meant.email,
            name: meant.name,
            qualification,
            password_hash: None,
            administrator: false,
        })))
    }
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    find: Find,
    (form, errors): (ReceivedForm, Errors),
) -> Answer<ReceivedPage> {
    Ok(ReceivedPage {
        chrome: ctx.chrome_in(find.project_id),
        specialists: assignments::list_specialists(tx, find.project_id).await?,
        ways: CameAs::ALL,
        limit_mb: ctx.app.config.max_upload_bytes / 1_000_000,
        find,
        form,
        errors,
    })
}

/// The original, as a file to be saved: no browser is told that it could be a page.
pub(super) async fn original(ctx: Ctx, Path(id): Path<ReceivedId>) -> Answer {
    let mut tx = ctx.read().await?;
    let kept = received::find(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    ctx.find(&mut tx, kept.find_id).await?;
    drop(tx);
    let checksum: Checksum = kept.sha256.parse().map_err(AppError::inside)?;
    let reading = match ctx.app.files.read(checksum).await {
        Err(MediaError::Missing(_)) => return Err(AppError::NotFound),
        other => other.map_err(AppError::inside)?,
    };
    let length = reading.size_bytes;
    let pieces = futures_util::stream::try_unfold(reading, |mut reading| async move {
        Ok::<_, MediaError>(reading.next_chunk().await?.map(|piece| (piece, reading)))
    });
    let headers = [
        (header::CONTENT_TYPE, "application/octet-stream".to_owned()),
        (header::CONTENT_DISPOSITION, disposition(&kept.file_name, ENDINGS)),
        (header::CACHE_CONTROL, "private, no-cache".to_owned()),
        (header::CONTENT_LENGTH, length.to_string()),
    ];
    Ok((headers, Body::from_stream(pieces)).into_response())
}
