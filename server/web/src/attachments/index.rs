//! The attachments of a find, and the form that adds more.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_moment;
use crate::form::{Errors, Posted};
use crate::images::{Aim, Answered, Reception, Typed, show_size};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::extract::Multipart;
use axum::extract::multipart::MultipartRejection;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::permission::Action;
use domain::review::share::Share;
use store::Tx;
use store::attachments::Attachment;
use store::finds::Find;

#[derive(Template)]
#[template(path = "attachments/index.html")]
pub(super) struct AttachmentsPage {
    chrome: Chrome,
    trail: (String, &'static str),
    find: Find,
    lines: Vec<Line>,
    withdrawn: Vec<Line>,
    may_upload: bool,
    typed: Typed,
    answered: Answered,
    nothing_chosen: bool,
    pub errors: Errors,
    limit_bytes: u64,
    action: String,
}

/// An attachment as the page shows it.
pub(super) struct Line {
    href: String,
    withdrawal: String,
    title: String,
    about: String,
    findspot: bool,
    reason: String,
}

pub(super) async fn index(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find_sharing(&mut tx, id, Share::Images).await?;
    Ok(ok(page(&ctx, &mut tx, find).await?).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Path(id): Path<FindId>,
    parts: Result<Multipart, MultipartRejection>,
) -> Answer {
    let find = ctx.find(&mut ctx.read().await?, id).await?;
    let mut parts = parts.map_err(|_| AppError::Unreadable("The form could not be read.".into()))?;
    let mut reception = Reception::new(&ctx, Aim::Documents(&find));
    reception.take(&mut parts).await?;
    let Reception { typed, errors, submission, answered, .. } = reception;
    let posted = Posted { form: (), submission, body: Default::default() };
    let to = links::attachments(id);
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    if !errors.is_empty() || answered.is_empty() || !answered.refused.is_empty() {
        if !answered.is_empty() {
            store::submissions::insert(&mut tx, submission, ctx.actor.person, &to, ctx.now).await?;
            tx.commit().await?;
            tx = ctx.read().await?;
        }
        let nothing_chosen = answered.is_empty() && errors.is_empty();
        let page = page(&ctx, &mut tx, find).await?;
        return Ok(again(AttachmentsPage { typed, errors, answered, nothing_chosen, ..page }).into_response());
    }
    let told = match (answered.added.len(), answered.known.first()) {
        (0, Some(known)) => format!("{}: {}", known.name, known.sentence),
        (1, _) => "1 file attached.".into(),
        (n, _) => format!("{n} files attached."),
    };
    ctx.finish(tx, &posted, &to, &told).await
}

pub(super) async fn page(ctx: &Ctx, tx: &mut Tx, find: Find) -> Answer<AttachmentsPage> {
    let may_upload = ctx.actor.may(Action::UploadImages, find.project_id);
    let sees_findspot = ctx.actor.sees_findspot(find.project_id);
    let all = store::attachments::list_of_find(tx, find.id).await?;
    let all = all.into_iter().filter(|file| sees_findspot || !file.findspot);
    let (withdrawn, standing): (Vec<Attachment>, Vec<Attachment>) =
        all.partition(|file| file.withdrawn_at.is_some());
    Ok(AttachmentsPage {
        chrome: ctx.chrome_in(find.project_id),
        trail: ctx.trail_of_finds(find.project_id, &find.project_code),
        lines: standing.iter().map(line).collect(),
        withdrawn: withdrawn.iter().filter(|_| may_upload).map(line).collect(),
        may_upload,
        typed: Typed::default(),
        answered: Answered::default(),
        nothing_chosen: false,
        errors: Errors::default(),
        limit_bytes: ctx.app.config.max_upload_bytes,
        action: links::attachments(find.id),
        find,
    })
}

fn line(file: &Attachment) -> Line {
    Line {
        href: links::attachment(file.id),
        withdrawal: links::attachment_withdrawal(file.id),
        title: if file.title.is_empty() { file.file_name.clone() } else { file.title.clone() },
        about: format!(
            "{}, {}, {}, by {}",
            file.file_name,
            show_size(file.bytes),
            show_moment(file.uploaded_at),
            file.uploaded_by
        ),
        findspot: file.findspot,
        reason: file.withdrawn_reason.clone(),
    }
}

impl AttachmentsPage {
    fn limit_mb(&self) -> u64 {
        self.limit_bytes / 1_000_000
    }
}
