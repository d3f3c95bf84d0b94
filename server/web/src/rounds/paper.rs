//! The sheet of a round as PDF.
use super::pack::what;
use super::sheet;
use super::words::{advice, standing};
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::path::Path;
use crate::report::show::paper;
use domain::clocks::ClockKind;
use domain::ids::SheetId;
use report::round_sheet::{self, RoundLine, RoundSheet};
use store::clocks::round::Passed;

pub(super) async fn show(ctx: Ctx, Path(id): Path<SheetId>) -> Answer {
    let mut tx = ctx.read().await?;
    let (sheet, packs, places) = sheet::load(&ctx, &mut tx, id).await?;
    drop(tx);
    let base = ctx.app.config.base_url.clone();
    let line = |(pack, at): (&Passed, &usize)| {
        let stands = standing(pack.limit_at, pack.next_check_at, ctx.now);
        RoundLine {
            at: *at,
            site_code: pack.project_code.clone(),
            number: pack.number.clone(),
            what: what(pack),
            place: pack.place_path.clone().unwrap_or_default(),
            stands: stands.words,
            overdue: stands.overdue,
            left_open: pack.left_open.clone().unwrap_or_default(),
            url: format!("{base}{}", links::find(pack.find_id)),
        }
    };
    let printed = RoundSheet {
        kind: sheet.kind.plural().to_owned(),
        advice: advice(sheet.kind).to_owned(),
        readings: sheet.kind == ClockKind::Indicator,
        url: format!("{base}{}", links::round_sheet(id)),
        lines: packs.iter().zip(&places).map(line).collect(),
    };
    let today = ctx.now.date_naive();
    let bytes = ctx.app.press.print(move || round_sheet::pdf(&printed, today)).await?;
    Ok(paper("round.pdf", bytes))
}
