//! What a dry run found and would change: the first of it on the page, all of it as a table.
use super::plan::Plan;
use super::show::{contexts_plan, finds_plan, load};
use super::{Import, Outcome, apply_contexts, apply_finds};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::finds::{download, harmless};
use crate::links;
use crate::path::Path;
use axum::body::Body;
use domain::ids::ImportRunId;
use register::check::{DryRun, Severity};

/// Problems, and changes, that the page shows.
pub(crate) const SHOWN: usize = 200;

pub(super) struct ProblemView {
    pub place: String,
    pub stops: bool,
    pub sentence: String,
    pub remedy: String,
}

/// A field of a record that is there already.
pub(super) struct ChangeView {
    pub number: String,
    pub field: &'static str,
    pub before: String,
    pub after: String,
}

/// Every problem, those that stop first.
pub(super) fn problems<F>(dry: &DryRun<F>) -> Vec<ProblemView> {
    let problem = |problem: &register::check::Problem| {
        let row = problem.row.map(|row| format!("row {row}"));
        let parts: Vec<String> = [row, problem.column.clone()].into_iter().flatten().collect();
        ProblemView {
            place: parts.join(", "),
            stops: problem.trouble.severity() == Severity::Stops,
            sentence: problem.trouble.to_string(),
            remedy: problem.trouble.remedy(),
        }
    };
    let mut all: Vec<ProblemView> = dry.problems.iter().map(problem).collect();
    all.sort_by_key(|problem| !problem.stops);
    all
}

/// Every field that changes, in the order of the register.
pub(super) fn changes(outcome: &Outcome) -> impl Iterator<Item = ChangeView> {
    outcome.changes.iter().flat_map(|record| {
        let field = |(field, before, after): &(&'static str, String, String)| ChangeView {
            number: record.number.clone(),
            field,
            before: before.clone(),
            after: after.clone(),
        };
        let note = (!record.note.is_empty()).then(|| ChangeView {
            number: record.number.clone(),
            field: "",
            before: String::new(),
            after: record.note.clone(),
        });
        record.fields.iter().map(field).chain(note)
    })
}

pub(super) async fn csv(ctx: Ctx, Path(id): Path<ImportRunId>) -> Answer {
    let mut tx = ctx.read().await?;
    let run = load(&ctx, &mut tx, id).await?;
    if run.applied_at.is_some() {
        return Ok(ctx.lead_on(&links::import(id), "This register is imported; its dry run is over."));
    }
    let import = Import { project: run.project_id, run: None, by: None, now: ctx.now };
    let unreadable = |cause: register::table::Unreadable| AppError::Unreadable(cause.to_string());
    let written = if run.kind == "finds" {
        let plan = finds_plan(&ctx, &mut tx, &run).await?.map_err(unreadable)?;
        written(&plan, &apply_finds(&mut tx, &import, &plan.dry, true).await?)
    } else {
        let plan = contexts_plan(&ctx, &mut tx, &run).await?.map_err(unreadable)?;
        written(&plan, &apply_contexts(&mut tx, &import, &plan.dry, true).await?)
    };
    let bytes = written.map_err(AppError::inside)?;
    Ok(download("dry-run.csv", "text/csv; charset=utf-8", Body::from(bytes)))
}

fn written<F>(plan: &Plan<F>, outcome: &Outcome) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["What", "Where", "Field", "Before", "After or fault", "What to do"])?;
    let mut row = |cells: [String; 6]| writer.write_record(cells.map(harmless));
    for problem in problems(&plan.dry) {
        let weight = if problem.stops { "stops" } else { "warns" };
        let none = String::new;
        row([weight.into(), problem.place, none(), none(), problem.sentence, problem.remedy])?;
    }
    for change in changes(outcome) {
        let field = change.field.to_owned();
        row(["changes".into(), change.number, field, change.before, change.after, String::new()])?;
    }
    writer.into_inner().map_err(|cause| csv::Error::from(cause.into_error()))
}
