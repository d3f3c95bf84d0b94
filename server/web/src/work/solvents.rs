//! The table of solvents with its sources.
use super::bench_view::BenchView;
use crate::context::Ctx;
use crate::error::Answer;
use crate::page::{Chrome, ok};
use askama::Template;
use axum::response::IntoResponse;
use domain::solvents::{self, Solvent};

#[derive(Template)]
#[template(path = "work/solvents.html")]
struct SolventsPage {
    chrome: Chrome,
    bench: BenchView,
    /// What a column is, and every source it has.
    sources: Vec<(&'static str, Vec<&'static str>)>,
}

pub(super) async fn index(ctx: Ctx) -> Answer {
    let page = SolventsPage {
        chrome: ctx.chrome(),
        bench: BenchView::empty(),
        sources: vec![
            ("Boiling point", distinct(|s| &s.boiling_source)),
            ("Flash point", distinct(|s| &s.flash_source)),
            ("Limit of exposure", distinct(|s| &s.wel_source)),
            ("Hazard statements", distinct(|s| &s.hazards_source)),
            ("What to mind", vec!["common practice, no source"]),
        ],
    };
    Ok(ok(page).into_response())
}

fn distinct(of: impl Fn(&'static Solvent) -> &'static String) -> Vec<&'static str> {
    let mut sources: Vec<&str> =
        solvents::all().iter().map(|s| of(s).as_str()).filter(|s| !s.is_empty()).collect();
    sources.sort_unstable();
    sources.dedup();
    sources
}
