//! The spot tests of a find side by side, with their sites on the photograph.
use super::bench_view::BenchView;
use super::test_words;
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_day;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::permission::may_record;
use domain::review::share::Share;
use domain::stages::Stage;
use store::work::spot_tests::{self, SpotTest};

#[derive(Template)]
#[template(path = "work/tests.html")]
struct TestsPage {
    chrome: Chrome,
    number: String,
    back: String,
    bench: BenchView,
    /// Number of each test, and where its later look is recorded.
    heads: Vec<(usize, Option<String>)>,
    /// What is compared, one cell for each test.
    rows: Vec<(&'static str, Vec<String>)>,
    corrected: usize,
    new: Option<String>,
}

pub(super) async fn index(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find_sharing(&mut tx, id, Share::Conservation).await?;
    let all = spot_tests::list_of_find(&mut tx, id).await?;
    let images = store::images::list_seen(&mut tx, &find).await?;
    let may = may_record(&ctx.actor, find.project_id, Stage::SpotTest, find.bulk, &find.material);
    let bench = BenchView::of(&find, &images, &all);
    let (standing, corrected): (Vec<SpotTest>, Vec<SpotTest>) =
        all.into_iter().partition(|test| test.row.superseded_at.is_none());
    let again = |test: &SpotTest| {
        let due = may && test.row.recheck_due_at.is_some();
        (test.number, due.then(|| links::recheck(test.row.record_id)))
    };
    let page = TestsPage {
        chrome: ctx.chrome_in(find.project_id),
        back: links::find(id),
        bench,
        heads: standing.iter().map(again).collect(),
        rows: rows(&standing),
        corrected: corrected.len(),
        new: may.then(|| links::record_of(&find.project_code, Stage::SpotTest, id)),
        number: find.number,
    };
    Ok(ok(page).into_response())
}

/// One row for each thing compared; rows that no test fills are left out.
fn rows(tests: &[SpotTest]) -> Vec<(&'static str, Vec<String>)> {
    let row =
        |name, say: &dyn Fn(&SpotTest) -> String| (name, tests.iter().map(say).collect::<Vec<String>>());
    let seconds = |s: Option<i64>| s.map(|s| format!("{s} s")).unwrap_or_default();
    let safety = |at: usize| move |t: &SpotTest| test_words::safety(t)[at].1.clone();
    let mut rows = vec![
        row("Site", &|t| t.row.site.clone()),
        row("Mixture", &|t| t.row.mixture.clone()),
        row("Carrier", &|t| t.carrier().map(|c| c.label().to_owned()).unwrap_or_default()),
        row("Swabs", &|t| t.row.swabs.map(|n| n.to_string()).unwrap_or_default()),
        row("Time on the surface", &|t| seconds(t.row.dwell_s)),
        row("Working time", &|t| seconds(t.row.working_time_s)),
        row("Effect on soiling", &|t| t.row.effect_on_soiling.clone()),
        row("Effect on the original", &|t| t.row.effect_on_original.label().to_owned()),
        row("Cleared with", &|t| t.row.cleared_with.clone()),
        row("Residue", &|t| t.row.residue.clone()),
        row("Decision", &|t| t.row.decision.label().to_owned()),
        row("Later look", &|t| test_words::looks(t)),
        row("Done", &|t| format!("{}, {}", show_day(t.row.done_on), t.row.done_by)),
        row("To mind", &safety(0)),
        row("Flash point", &safety(1)),
        row("Limit of exposure", &safety(2)),
    ];
    rows.retain(|(_, cells)| cells.iter().any(|words| !words.is_empty()));
    rows
}
