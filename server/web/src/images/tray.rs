//! The tray of a project: files of which no name told the find, to be laid to their finds by hand.
use super::picture::Picture;
use super::sorting::first_of;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{AttachmentId, ImageId, ProjectId};
use store::Tx;
use store::attachments::{self, Attachment};
use store::finds::Find;
use store::images::Image;
use store::journal;

/// Files of each kind shown at once.
const MOST: i64 = 60;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct TrayForm {
    /// Ids of the files, then the numbers typed for each.
    file: Vec<String>,
    numbers: Vec<String>,
}

#[derive(Template)]
#[template(path = "images/tray.html")]
struct TrayPage {
    chrome: Chrome,
    code: String,
    lines: Vec<Line>,
    errors: Errors,
    action: String,
    full: bool,
}

/// A file in the tray.
struct Line {
    id: String,
    name: String,
    href: String,
    picture: Option<Picture>,
    numbers: String,
}

/// A file that waits.
enum Waiting {
    Photograph(Box<Image>),
    Document(Box<Attachment>),
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let mut tx = ctx.read().await?;
    Ok(ok(page(&ctx, &mut tx, &code, &TrayForm::default()).await?).into_response())
}

pub(super) async fn update(ctx: Ctx, Path(code): Path<String>, posted: Posted<TrayForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut errors = Errors::default();
    let mut laid = 0;
    for waiting in waiting(&mut tx, project).await? {
        let typed = posted.form.numbers_of(&waiting.id());
        let finds = read_numbers(&ctx, &mut tx, project, (waiting.name(), &typed), &mut errors).await?;
        laid += usize::from(!finds.is_empty());
        for find in finds {
            lay(&ctx, &mut tx, &waiting, &find).await?;
        }
    }
    if laid == 0 {
        errors.add("numbers", "Write the number of its find beside at least one file.");
    }
    if !errors.is_empty() {
        // nothing is laid before every number is right
        drop(tx);
        let page = page(&ctx, &mut ctx.read().await?, &code, &posted.form).await?;
        return Ok(again(TrayPage { errors, ..page }).into_response());
    }
    let told = if laid == 1 {
        "1 file is laid to its find.".into()
    } else {
        format!("{laid} files are laid to their finds.")
    };
    ctx.finish(tx, &posted, &links::tray(&code), &told).await
}

async fn waiting(tx: &mut Tx, project: ProjectId) -> Answer<Vec<Waiting>> {
    let photographs = store::images::list_in_tray(tx, project, MOST).await?;
    let documents = attachments::list_in_tray(tx, project, MOST).await?;
    let photographs = photographs.into_iter().map(|image| Waiting::Photograph(Box::new(image)));
    Ok(photographs.chain(documents.into_iter().map(|file| Waiting::Document(Box::new(file)))).collect())
}

async fn lay(ctx: &Ctx, tx: &mut Tx, waiting: &Waiting, find: &Find) -> Answer<()> {
    let (fresh, verb, words) = match waiting {
        Waiting::Photograph(image) => {
            let fresh = store::images::insert_find(tx, ImageId(image.id.0), find.id).await?;
            (fresh, "photographed", format!("added the photograph {} from the tray", image.file_name))
        }
        Waiting::Document(file) => {
            let fresh = attachments::insert_find(tx, AttachmentId(file.id.0), find.id).await?;
            (fresh, "attached", format!("attached the file {} from the tray", file.file_name))
        }
    };
    if fresh {
        journal::append(tx, &find_entry(ctx, find, verb, words), ctx.now).await?;
    }
    Ok(())
}

async fn read_numbers(
    ctx: &Ctx,
    tx: &mut Tx,
    project: ProjectId,
    (name, typed): (&str, &str),
    errors: &mut Errors,
) -> Answer<Vec<Find>> {
    let mut finds = Vec::new();
    for number in typed.split([',', ';']).filter_map(domain::finds::number::normal) {
        match first_of(ctx, tx, project, std::slice::from_ref(&number)).await? {
            Some(find) => finds.push(find),
            None => errors.add("numbers", format!("{name}: there is no find {number} here.")),
        }
    }
    Ok(finds)
}

impl TrayForm {
    fn numbers_of(&self, id: &str) -> String {
        let at = self.file.iter().position(|file| file == id);
        at.and_then(|at| self.numbers.get(at)).cloned().unwrap_or_default()
    }
}

impl Waiting {
    fn id(&self) -> String {
        match self {
            Waiting::Photograph(image) => image.id.to_string(),
            Waiting::Document(file) => file.id.to_string(),
        }
    }

    fn name(&self) -> &str {
        match self {
            Waiting::Photograph(image) => &image.file_name,
            Waiting::Document(file) => &file.file_name,
        }
    }
}

async fn page(ctx: &Ctx, tx: &mut Tx, code: &str, form: &TrayForm) -> Answer<TrayPage> {
    let project = ctx.project(code)?.project;
    let waiting = waiting(tx, project).await?;
    let line = |one: &Waiting| Line {
        id: one.id(),
        name: one.name().to_owned(),
        href: match one {
            Waiting::Photograph(image) => links::image_page(image.id),
            Waiting::Document(file) => links::attachment(file.id),
        },
        picture: match one {
            Waiting::Photograph(image) => Some(Picture::of(image, &image.file_name)),
            Waiting::Document(_) => None,
        },
        numbers: form.numbers_of(&one.id()),
    };
    Ok(TrayPage {
        chrome: ctx.chrome_in(project),
        lines: waiting.iter().map(line).collect(),
        errors: Errors::default(),
        action: links::tray(code),
        full: waiting.len() >= usize::try_from(MOST).unwrap_or(usize::MAX),
        code: code.to_owned(),
    })
}
