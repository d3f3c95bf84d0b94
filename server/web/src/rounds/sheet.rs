//! A round on paper: the sheet is kept, printed, and typed in afterwards in the order of the paper, once.
use super::enter;
use super::form::{Faults, RoundForm};
use super::pack::{PackRow, rows};
use super::round::kind_of;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_moment;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::clocks::ClockKind;
use domain::ids::SheetId;
use store::clocks::round::Passed;
use store::clocks::sheets::{self, Sheet};
use store::{StoreError, Tx};

#[derive(Template)]
#[template(path = "rounds/sheet.html")]
struct SheetPage {
    chrome: Chrome,
    kind: ClockKind,
    action: String,
    paper: String,
    printed: String,
    /// Who typed it in and when.
    entered: Option<String>,
    /// Packs on the paper that run no more.
    gone: usize,
    rows: Vec<PackRow>,
    form: RoundForm,
    errors: Errors,
}

/// Keeps the packs of a page as a sheet and leads to it.
pub(super) async fn create(ctx: Ctx, posted: Posted<RoundForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let packs = enter::load(&ctx, &mut tx, &posted.form.clocks()).await?;
    if packs.is_empty() {
        return Err(AppError::Unreadable("Nothing stands on this sheet. Choose packs that run.".into()));
    }
    let clocks: Vec<_> = packs.iter().map(|pack| pack.id).collect();
    let kind = kind_of(&posted.form.kind);
    let id = sheets::insert(&mut tx, kind, &clocks, ctx.actor.person, ctx.now).await?;
    let words = format!("The sheet holds {} lines. Print it, then type it in here.", clocks.len());
    ctx.finish(tx, &posted, &links::round_sheet(id), &words).await
}

pub(super) async fn edit(ctx: Ctx, Path(id): Path<SheetId>) -> Answer {
    let mut tx = ctx.read().await?;
    let (sheet, packs, places) = load(&ctx, &mut tx, id).await?;
    let form = RoundForm { done_by: ctx.actor.name.clone(), ..RoundForm::default() };
    Ok(ok(page(&ctx, &sheet, (&packs, &places), (form, Faults::default()))).into_response())
}

pub(super) async fn update(ctx: Ctx, Path(id): Path<SheetId>, posted: Posted<RoundForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let (sheet, packs, places) = load(&ctx, &mut tx, id).await?;
    let faults = match enter::round(&ctx, &mut tx, &packs, &posted.form).await? {
        Ok(tally) => match sheets::update_entered(&mut tx, id, ctx.actor.person, ctx.now).await {
            Ok(()) => {
                let to = links::round(sheet.kind, "", "");
                return ctx.finish(tx, &posted, &to, &tally.sentence()).await;
            }
            Err(StoreError::Changed) => typed_before(),
            Err(other) => return Err(other.into()),
        },
        Err(faults) => faults,
    };
    Ok(again(page(&ctx, &sheet, (&packs, &places), (posted.form, faults))).into_response())
}

fn typed_before() -> Faults {
    let mut faults = Faults::default();
    faults.errors.add("packs", "This sheet was typed in before. What was recorded stands on each find.");
    faults
}

/// A sheet with those of its packs that still run and the line of each on the paper, that of the last one behind them;
/// there for who printed it and for who works with one of its packs.
pub(super) async fn load(ctx: &Ctx, tx: &mut Tx, id: SheetId) -> Answer<(Sheet, Vec<Passed>, Vec<usize>)> {
    let sheet = sheets::find(tx, id).await?.ok_or(AppError::NotFound)?;
    let clocks = sheets::list_clocks(tx, id).await?;
    let packs = enter::load(ctx, tx, &clocks).await?;
    if packs.is_empty() && sheet.printed_by_id != ctx.actor.person {
        return Err(AppError::NotFound);
    }
    let line = |pack: &Passed| clocks.iter().position(|clock| *clock == pack.id).map_or(0, |at| at + 1);
    let places = packs.iter().map(line).chain([clocks.len()]).collect();
    Ok((sheet, packs, places))
}

fn page(
    ctx: &Ctx,
    sheet: &Sheet,
    (packs, places): (&[Passed], &[usize]),
    (form, faults): (RoundForm, Faults),
) -> SheetPage {
    let entered = sheet.entered_at.map(|at| {
        format!("Typed in by {}, {}.", sheet.entered_by.as_deref().unwrap_or_default(), show_moment(at))
    });
    SheetPage {
        chrome: ctx.chrome(),
        kind: sheet.kind,
        action: links::round_sheet(sheet.id),
        paper: links::round_paper(sheet.id),
        printed: format!("{}, by {}", show_moment(sheet.printed_at), sheet.printed_by),
        entered,
        gone: places.last().map_or(0, |all| all - packs.len()),
        rows: rows(packs, places.iter().copied(), (&form, &faults), ctx.now),
        form,
        errors: faults.errors,
    }
}
