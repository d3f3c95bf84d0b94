//! The imports of a project, and a new register sent in.
use super::plan::Choices;
use crate::context::{Ctx, Visitor};
use crate::error::{Answer, AppError};
use crate::form::{Posted, check_token, read_submission};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::Extension;
use axum::extract::Multipart;
use axum::response::IntoResponse;
use domain::ids::SubmissionId;
use register::field::Kind;
use register::table::{Reading, read};
use store::imports::{self, NewRun, Run};

#[derive(Template)]
#[template(path = "registers/index.html")]
struct ImportsPage {
    chrome: Chrome,
    code: String,
    runs: Vec<RunLine>,
    kind: Kind,
    wrong: Option<String>,
    most_mb: u64,
}

/// An import in the list.
struct RunLine {
    href: String,
    file_name: String,
    kind: String,
    at: String,
    state: String,
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let page = page(&ctx, &code, Kind::Finds, None).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Extension(visitor): Extension<Option<Visitor>>,
    Path(code): Path<String>,
    mut sent: Multipart,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut kind = Kind::Finds;
    let mut admitted = false;
    let mut posted = Posted { form: (), submission: SubmissionId::new(ctx.now), body: Default::default() };
    let mut file: Option<(String, Vec<u8>)> = None;
    while let Some(mut part) = sent.next_field().await.map_err(unreadable)? {
        match part.name().unwrap_or_default() {
            "_token" => {
                check_token(visitor.as_ref(), &part.text().await.map_err(unreadable)?)?;
                admitted = true;
            }
            "submission" => {
                posted.submission = read_submission(&part.text().await.map_err(unreadable)?, ctx.now);
            }
            "kind" => kind = part.text().await.map_err(unreadable)?.parse().unwrap_or(Kind::Finds),
            "file" if admitted => {
                let name = part.file_name().unwrap_or("register").to_owned();
                let most = usize::try_from(ctx.app.config.max_upload_bytes).unwrap_or(usize::MAX);
                let mut bytes = Vec::new();
                while let Some(chunk) = part.chunk().await.map_err(unreadable)? {
                    if bytes.len() + chunk.len() > most {
                        return Err(unreadable("larger than the limit"));
                    }
                    bytes.extend_from_slice(&chunk);
                }
                file = Some((name, bytes));
            }
            _ => {}
        }
    }
    if !admitted {
        return Err(AppError::StaleForm);
    }
    let Some((name, bytes)) = file.filter(|(name, _)| !name.is_empty()) else {
        let words = "Choose the file of the register first.".to_owned();
        return Ok(again(page(&ctx, &code, kind, Some(words)).await?).into_response());
    };
    if bytes.is_empty() {
        let words = format!("{name} is empty. Save the register again and send that file.");
        return Ok(again(page(&ctx, &code, kind, Some(words)).await?).into_response());
    }
    let limits = super::plan::limits(&ctx.app.config);
    let first = ctx.app.press.run(move || read(&bytes, &Reading::default(), &limits).map(|_| bytes)).await?;
    let bytes = match first {
        Ok(bytes) => bytes,
        Err(unreadable) => {
            let words = format!("{name}: {unreadable}");
            return Ok(again(page(&ctx, &code, kind, Some(words)).await?).into_response());
        }
    };
    let sha256 = super::plan::keep(&ctx.app.config, &bytes).await.map_err(AppError::inside)?;
    let settings = serde_json::to_string(&Choices::default()).map_err(AppError::inside)?;
    let new = NewRun { project, kind: kind.code(), file_name: name, sha256, settings };
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let id = imports::insert(&mut tx, &new, Some(ctx.actor.person), ctx.now).await?;
    ctx.finish(tx, &posted, &links::import(id), "The register was read; nothing is imported yet.").await
}

fn unreadable(cause: impl std::fmt::Display) -> AppError {
    tracing::debug!(%cause, "unreadable upload");
    AppError::Unreadable("The file did not arrive whole, or is larger than this installation accepts.".into())
}

async fn page(ctx: &Ctx, code: &str, kind: Kind, wrong: Option<String>) -> Answer<ImportsPage> {
    let project = ctx.project(code)?.project;
    let runs = imports::list(&mut ctx.read().await?, project).await?;
    let line = |run: Run| RunLine {
        href: links::import(run.id),
        state: match (run.applied_at, run.undone_at) {
            (None, _) => "not imported yet".into(),
            (Some(_), None) => format!("imported: {} added, {} changed", run.added, run.changed),
            (Some(_), Some(_)) => "undone".into(),
        },
        at: crate::filters::show_moment(run.uploaded_at),
        file_name: run.file_name,
        kind: run.kind,
    };
    Ok(ImportsPage {
        chrome: ctx.chrome_in(project),
        code: code.to_owned(),
        runs: runs.into_iter().map(line).collect(),
        kind,
        wrong,
        most_mb: ctx.app.config.max_upload_bytes / 1_000_000,
    })
}
