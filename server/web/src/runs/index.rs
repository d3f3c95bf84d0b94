//! The runs of a project, and the line of a run on a find's page.
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::{show_day, show_moment};
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{RecordId, RunId};
use domain::stages::Stage;
use store::runs::RunLine;

/// Lines shown at most.
const MOST: i64 = 500;

/// A run in a list.
pub(crate) struct RunView {
    pub id: RunId,
    pub record: RecordId,
    pub running: bool,
    pub href: String,
    pub kind: &'static str,
    pub stage: Stage,
    pub finds: String,
    pub begun: String,
    pub readings: String,
    pub state: String,
}

#[derive(Template)]
#[template(path = "runs/index.html")]
struct RunsPage {
    chrome: Chrome,
    code: String,
    lines: Vec<RunView>,
    running: usize,
}

impl From<&RunLine> for RunView {
    fn from(line: &RunLine) -> Self {
        let reading = match line.kind {
            domain::runs::RunKind::Drying => "weighings",
            domain::runs::RunKind::Desalination => "baths",
        };
        let state = match (line.ended_at, line.ended_well) {
            (None, _) => "on".to_owned(),
            (Some(at), Some(true)) => format!("ended {}", show_day(at.date_naive())),
            (Some(at), _) => format!("broken off {}", show_day(at.date_naive())),
        };
        let finds = [&line.find_number, &line.find_words];
        Self {
            id: line.id,
            record: line.record_id,
            running: line.ended_at.is_none(),
            href: links::run(line.id),
            kind: line.kind.label(),
            stage: line.kind.stage(),
            finds: finds.into_iter().filter(|words| !words.is_empty()).cloned().collect::<Vec<_>>().join(" "),
            begun: show_moment(line.started_at),
            readings: format!("{} {reading}", line.readings),
            state,
        }
    }
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.read().await?;
    let all = store::runs::list_of_project(&mut tx, project, MOST).await?;
    let closed: Vec<RunId> = if ctx.actor.sees_restricted(project) {
        Vec::new()
    } else {
        all.iter().filter(|line| line.restricted).map(|line| line.id).collect()
    };
    let mut lines: Vec<RunView> = Vec::new();
    for line in all.iter().filter(|line| !closed.contains(&line.id)) {
        let view = RunView::from(line);
        match lines.last_mut().filter(|last| last.id == line.id) {
            Some(last) => last.finds = format!("{}; {}", last.finds, view.finds),
            None => lines.push(view),
        }
    }
    let running = lines.iter().filter(|line| line.running).count();
    Ok(ok(RunsPage { chrome: ctx.chrome_in(project), code, lines, running }).into_response())
}
