//! Find labels and bench sheets of the ticked finds, as PDF.
use super::show::paper;
use crate::context::Ctx;
use crate::error::Answer;
use crate::finds::load_chosen;
use crate::form::Asked;
use crate::links;
use crate::path::Path;
use domain::stages::Stage;
use report::bench_sheet::{self, BenchSheet, OpenRecord, Room, RouteStep};
use report::labels::{self, FindLabel, Sheet};
use store::Tx;
use store::finds::Find;

/// Labels printed at once.
const MOST_LABELS: usize = 1_000;
/// Bench sheets printed at once.
const MOST_SHEETS: usize = 100;

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Ticked {
    find: Vec<String>,
    /// Places already used on the first sheet.
    used: usize,
}

pub(super) async fn labels(ctx: Ctx, Path(code): Path<String>, Asked(ticked): Asked<Ticked>) -> Answer {
    let project = ctx.project(&code)?.project;
    let finds = load_chosen(&ctx, &mut ctx.read().await?, project, &ticked.find, MOST_LABELS).await?;
    let labels: Vec<FindLabel> = finds.iter().map(|find| label(&ctx, find)).collect();
    let sheet = Sheet { used: ticked.used, ..Sheet::default() };
    let today = ctx.now.date_naive();
    let bytes = ctx.app.press.print(move || labels::pdf(&labels, &sheet, today)).await?;
    Ok(paper(&format!("{code}-labels.pdf"), bytes))
}

pub(super) async fn bench_sheets(ctx: Ctx, Path(code): Path<String>, Asked(ticked): Asked<Ticked>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.read().await?;
    let finds = load_chosen(&ctx, &mut tx, project, &ticked.find, MOST_SHEETS).await?;
    let mut sheets = Vec::with_capacity(finds.len());
    for find in &finds {
        sheets.push(sheet(&ctx, &mut tx, find).await?);
    }
    drop(tx);
    let today = ctx.now.date_naive();
    let bytes = ctx.app.press.print(move || bench_sheet::pdf(&sheets, Room::Page, today)).await?;
    Ok(paper(&format!("{code}-bench-sheets.pdf"), bytes))
}

fn url(ctx: &Ctx, find: &Find) -> String {
    format!("{}{}", ctx.app.config.base_url, links::find(find.id))
}

fn cautions(find: &Find) -> Vec<String> {
    Some(find.caution.clone()).filter(|c| !c.is_empty()).into_iter().collect()
}

fn label(ctx: &Ctx, find: &Find) -> FindLabel {
    FindLabel {
        site_code: find.project_code.clone(),
        number: find.number.clone(),
        context: find.context_number.clone(),
        material: find.material_name.clone(),
        object: find.object_type.clone(),
        date: find.recovered_on,
        state: find.recovered_state,
        cautions: cautions(find),
        url: url(ctx, find),
    }
}

async fn sheet(ctx: &Ctx, tx: &mut Tx, find: &Find) -> Answer<BenchSheet> {
    let progress = store::finds::progress::find_progress(tx, find.id).await?;
    let records = store::work::records::list_of_find(tx, find.id).await?;
    let level =
        records.iter().find(|r| r.level_answer.as_deref() == Some("authorised") && r.superseded_at.is_none());
    let agreed = level.map(|r| {
        format!(
            "{}, stop-point: {}",
            r.level.clone().unwrap_or_default(),
            r.stop_point.clone().unwrap_or_default()
        )
    });
    let still = |stage: &Stage| stage.takes_record() && !progress.is_settled(*stage);
    let open = progress.route.0.iter().map(|s| s.stage).filter(still).map(|stage| OpenRecord {
        stage,
        note: if stage == Stage::WetClean { agreed.clone().unwrap_or_default() } else { String::new() },
    });
    Ok(BenchSheet {
        site_code: find.project_code.clone(),
        number: find.number.clone(),
        identification: find.object_type.clone(),
        description: find.description.clone(),
        context: find.context_number.clone(),
        material: find.material_name.clone(),
        place: find.place_path.clone(),
        pieces: u32::try_from(find.quantity).ok(),
        state: find.recovered_state,
        cautions: cautions(find),
        open_records: open.collect(),
        route: progress
            .route
            .0
            .iter()
            .map(|s| RouteStep { stage: s.stage, state: progress.state(s.stage) })
            .collect(),
        thumbnail: None,
        thumbnail_alt: String::new(),
        url: url(ctx, find),
    })
}
