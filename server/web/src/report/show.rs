//! The interim report: one input, drawn on a page or printed.
use super::assemble;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::images::screen;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};
use domain::ids::{FindId, ImageId};
use domain::permission::Action;
use report::render;
use std::collections::HashMap;

#[derive(Template)]
#[template(path = "reports/show.html")]
struct ReportPage {
    chrome: Chrome,
    title: String,
    pdf: String,
    /// The rest of it, where this is the catalogue.
    rest: Option<String>,
    report: String,
}

pub(super) async fn show(ctx: Ctx, Path(code): Path<String>) -> Answer {
    page(ctx, &code, false).await
}

pub(super) async fn catalogue(ctx: Ctx, Path(code): Path<String>) -> Answer {
    page(ctx, &code, true).await
}

async fn page(ctx: Ctx, code: &str, catalogue: bool) -> Answer {
    let member = ctx.project(code)?;
    let mut tx = ctx.read().await?;
    let input = assemble::interim(&mut tx, member.project, ctx.now).await?;
    let opens = member.grants(Action::ViewFind);
    let ids: HashMap<String, FindId> = if opens {
        store::reporting::list_finds(&mut tx, member.project)
            .await?
            .into_iter()
            .map(|f| (f.number, f.id))
            .collect()
    } else {
        HashMap::new()
    };
    drop(tx);
    let find = |number: &str| ids.get(number).map(|id| links::find(*id));
    let photograph = |name: &str| links::report_photograph(code, name);
    let at = links::report_catalogue(code);
    let to = render::html::Links { photograph: &photograph, find: &find, catalogue: &at };
    let report = match catalogue {
        true => render::html::catalogue(&input, &to),
        false => render::html::interim(&input, &to),
    };
    let page = ReportPage {
        chrome: ctx.chrome_in(member.project),
        title: if catalogue { format!("{}: catalogue", input.title) } else { input.title.clone() },
        pdf: links::report_pdf(code),
        rest: catalogue.then(|| links::report(code)),
        report: report.map_err(AppError::inside)?,
    };
    Ok(ok(page).into_response())
}

pub(super) async fn pdf(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let member = ctx.project(&code)?;
    let mut tx = ctx.read().await?;
    let mut input = assemble::interim(&mut tx, member.project, ctx.now).await?;
    for plate in &mut input.photographs {
        plate.jpeg = print_of(&ctx, &mut tx, &plate.name).await?;
    }
    drop(tx);
    let name = format!("{}-interim-{}.pdf", member.code, input.reported_on);
    let bytes = ctx.app.press.print(move || render::pdf::interim(&input)).await?;
    Ok(paper(&name, bytes))
}

/// A photograph of the report, for whoever reads it; one that may not be printed is not there.
pub(super) async fn photograph(
    ctx: Ctx,
    Path((code, image)): Path<(String, ImageId)>,
    headers: HeaderMap,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let sha256 = store::reporting::find_photograph(&mut ctx.read().await?, project, image).await?;
    let checksum: media::Checksum = sha256.ok_or(AppError::NotFound)?.parse().map_err(AppError::inside)?;
    screen(&ctx, checksum, &headers).await
}

/// The print of a photograph at page size; empty where it cannot be had, which the report says in its place.
async fn print_of(ctx: &Ctx, tx: &mut store::Tx, id: &str) -> Answer<Vec<u8>> {
    let id: domain::ids::ImageId = id.parse().map_err(AppError::inside)?;
    let Some(sha256) = store::images::find_checksum(tx, id).await? else { return Ok(Vec::new()) };
    let checksum: media::Checksum = sha256.parse().map_err(AppError::inside)?;
    match ctx.app.files.derived(checksum, media::Variant::Screen).await {
        Ok(bytes) => Ok(bytes.to_vec()),
        Err(cause) => {
            tracing::warn!(%cause, %id, "a photograph is missing from the report");
            Ok(Vec::new())
        }
    }
}

/// A PDF as an answer, shown in the browser under a name of its own.
pub(crate) fn paper(name: &str, bytes: Vec<u8>) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "application/pdf".to_owned()),
        (header::CONTENT_DISPOSITION, format!("inline; filename=\"{name}\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    (headers, bytes).into_response()
}
