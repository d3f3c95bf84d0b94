//! A register on its way in: columns matched by the person, the full dry run, and the one button that applies it.
use super::choices::{Choices, Pairs};
use super::dry_run::{ChangeView, ProblemView, SHOWN, changes, problems};
use super::plan::{self, Plan};
use super::{Counts, Outcome, apply_contexts, apply_finds};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters;
use crate::form::Posted;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::{IntoResponse, Response};
use domain::ids::ImportRunId;
use register::check::Missing;
use register::field::{ContextField, Field, FindField, Shape};
use register::matching::Match;
use register::table::{Encoding, Separator};
use register::values::{DateOrder, Decimal};
use std::collections::BTreeMap;
use store::Tx;
use store::imports::{self, Run};
use store::projects::Material;

/// Rows above the header offered for choice.
const HEADER_ROWS: usize = 12;

#[derive(Template)]
#[template(path = "registers/show.html")]
struct ImportPage {
    chrome: Chrome,
    run: Run,
    wrong: Option<String>,
    view: Option<PlanView>,
    materials: Vec<Material>,
    choices: Choices,
}

/// A plan with its words ready.
struct PlanView {
    notes: Vec<String>,
    readings: Vec<(String, String)>,
    sheets: Vec<(String, bool)>,
    header_rows: Vec<(usize, String, bool)>,
    /// How a text file may be read, empty for a spreadsheet: code, words, whether chosen.
    encodings: Vec<(&'static str, &'static str, bool)>,
    separators: Vec<(&'static str, &'static str, bool)>,
    columns: Vec<ColumnView>,
    fields: Vec<(&'static str, &'static str)>,
    counts: Counts,
    read: usize,
    stopped: usize,
    stops: usize,
    warnings: usize,
    problems: Vec<ProblemView>,
    /// The first of what changes.
    changes: Vec<ChangeView>,
    material_words: Vec<MaterialView>,
    missing_contexts: Vec<Missing>,
    missing_places: Vec<Missing>,
    may_apply: bool,
    /// Mark of the outcome that is shown.
    mark: String,
    doubts: Vec<String>,
}

/// A column with what it is taken for.
struct ColumnView {
    place: String,
    samples: String,
    chosen: &'static str,
    remembered: bool,
    /// Name and id of its field on the form.
    input: String,
    how: How,
}

/// What can be said of how a column is written: nothing, or the name of the choice with code, words and whether chosen.
struct How {
    input: String,
    label: &'static str,
    choices: Vec<(&'static str, &'static str, bool)>,
}

/// A word for a material nobody knows yet.
struct MaterialView {
    /// What the register says, and in how many rows it is not understood.
    label: String,
    /// What it may mean, for the person to decide.
    near: Option<String>,
    chosen: String,
    input: String,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<ImportRunId>) -> Answer {
    let mut tx = ctx.read().await?;
    let run = load(&ctx, &mut tx, id).await?;
    page(&ctx, &mut tx, run).await
}

pub(super) async fn update(ctx: Ctx, Path(id): Path<ImportRunId>, posted: Posted<Pairs>) -> Answer {
    let mut tx = ctx.write().await?;
    let run = load(&ctx, &mut tx, id).await?;
    let mut choices: Choices = serde_json::from_str(&run.settings).map_err(AppError::inside)?;
    choices.take(&posted.form);
    let words = serde_json::to_string(&choices).map_err(AppError::inside)?;
    imports::update_settings(&mut tx, id, &words).await?;
    tx.commit().await?;
    Ok(ctx.lead_on(&links::import(id), "Tried again with your choices; nothing is imported yet."))
}

/// What the page showed when its button was pressed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Shown {
    /// Mark of the outcome.
    shown: String,
}

pub(super) async fn apply(ctx: Ctx, Path(id): Path<ImportRunId>, posted: Posted<Shown>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let run = load(&ctx, &mut tx, id).await?;
    if run.applied_at.is_some() {
        return Ok(ctx.lead_on(&links::import(id), "This register was imported before."));
    }
    let import = super::apply_finds::Import {
        project: run.project_id,
        run: Some(id),
        by: Some(ctx.actor.person),
        now: ctx.now,
    };
    let outcome = if run.kind == "finds" {
        match finds_plan(&ctx, &mut tx, &run).await? {
            Ok(plan) if plan.dry.may_apply() => {
                remember(&mut tx, &run, &plan).await?;
                Some(apply_finds(&mut tx, &import, &plan.dry, false).await?)
            }
            _ => None,
        }
    } else {
        match contexts_plan(&ctx, &mut tx, &run).await? {
            Ok(plan) if plan.dry.may_apply() => {
                remember(&mut tx, &run, &plan).await?;
                Some(apply_contexts(&mut tx, &import, &plan.dry, false).await?)
            }
            _ => None,
        }
    };
    let Some(outcome) = outcome else {
        drop(tx);
        return Ok(ctx.lead_on(&links::import(id), "Nothing was imported: the problems below come first."));
    };
    if posted.form.shown != outcome.mark() {
        drop(tx);
        return Ok(ctx.lead_on(
            &links::import(id),
            "Nothing was imported: the project has changed since this register was tried. Below is what would happen now.",
        ));
    }
    let counts = outcome.counts;
    let told = format!(
        "Imported: {} added, {} changed, {} as they were.",
        counts.added, counts.changed, counts.unchanged
    );
    ctx.finish(tx, &posted, &links::import(id), &told).await
}

pub(super) async fn load(ctx: &Ctx, tx: &mut Tx, id: ImportRunId) -> Answer<Run> {
    let run = imports::find(tx, id).await?.ok_or(AppError::NotFound)?;
    ctx.allow(run.project_id)?;
    Ok(run)
}

pub(super) type Planned<F> = Result<Plan<F>, register::table::Unreadable>;

pub(super) async fn finds_plan(ctx: &Ctx, tx: &mut Tx, run: &Run) -> Answer<Planned<FindField>> {
    let bytes = plan::kept(&ctx.app.config, &run.sha256).await.map_err(AppError::inside)?;
    let choices: Choices = serde_json::from_str(&run.settings).map_err(AppError::inside)?;
    let known = plan::known(tx, run.project_id).await?;
    let remembered = plan::remembered::<FindField>(tx, run.project_id).await?;
    let (limits, today) = (plan::limits(&ctx.app.config), ctx.now.date_naive());
    ctx.app.press.run(move || plan::finds(&bytes, &choices, &limits, (&known, &remembered), today)).await
}

pub(super) async fn contexts_plan(ctx: &Ctx, tx: &mut Tx, run: &Run) -> Answer<Planned<ContextField>> {
    let bytes = plan::kept(&ctx.app.config, &run.sha256).await.map_err(AppError::inside)?;
    let choices: Choices = serde_json::from_str(&run.settings).map_err(AppError::inside)?;
    let known = plan::known(tx, run.project_id).await?;
    let remembered = plan::remembered::<ContextField>(tx, run.project_id).await?;
    let (limits, today) = (plan::limits(&ctx.app.config), ctx.now.date_naive());
    ctx.app.press.run(move || plan::contexts(&bytes, &choices, &limits, (&known, &remembered), today)).await
}

async fn remember<F: Field>(tx: &mut Tx, run: &Run, plan: &Plan<F>) -> Answer<()> {
    for matched in plan.matches.iter().filter(|m| !m.header.is_empty()) {
        if let Some(field) = matched.field {
            imports::update_match(tx, run.project_id, F::KIND.code(), &matched.header, field.code()).await?;
        }
    }
    Ok(())
}

async fn page(ctx: &Ctx, tx: &mut Tx, run: Run) -> Answer<Response> {
    let choices: Choices = serde_json::from_str(&run.settings).map_err(AppError::inside)?;
    let import = super::apply_finds::Import { project: run.project_id, run: None, by: None, now: ctx.now };
    let planned = match (run.applied_at, run.kind.as_str()) {
        (Some(_), _) => None,
        (None, "finds") => Some(match finds_plan(ctx, tx, &run).await? {
            Ok(plan) => Ok(view(&plan, &apply_finds(tx, &import, &plan.dry, true).await?, &choices)),
            Err(unreadable) => Err(unreadable.to_string()),
        }),
        (None, _) => Some(match contexts_plan(ctx, tx, &run).await? {
            Ok(plan) => Ok(view(&plan, &apply_contexts(tx, &import, &plan.dry, true).await?, &choices)),
            Err(unreadable) => Err(unreadable.to_string()),
        }),
    };
    let (view, wrong) = match planned {
        None => (None, None),
        Some(Ok(view)) => (Some(view), None),
        Some(Err(words)) => (None, Some(words)),
    };
    let page = ImportPage {
        chrome: ctx.chrome_in(run.project_id),
        materials: store::projects::list_materials(tx, run.project_id).await?,
        run,
        wrong,
        view,
        choices,
    };
    Ok(ok(page).into_response())
}

fn view<F: Field>(plan: &Plan<F>, outcome: &Outcome, choices: &Choices) -> PlanView {
    let dry = &plan.dry;
    let sheet =
        |(at, sheet): (usize, &register::table::Sheet)| (sheet.name.clone(), plan.table.sheet == Some(at));
    let row = |at: usize| {
        let cells =
            plan.table.rows[at].iter().map(|c| c.shown().into_owned()).filter(|c| !c.is_empty()).take(4);
        (at, cells.collect::<Vec<_>>().join(" · "), at == plan.header_row)
    };
    PlanView {
        notes: plan.table.notes.clone(),
        readings: dry.readings.clone(),
        sheets: plan.table.sheets.iter().enumerate().map(sheet).collect(),
        header_rows: (0..plan.table.rows.len().min(HEADER_ROWS)).map(row).collect(),
        columns: columns(plan, choices),
        encodings: of_text(
            plan.table.encoding,
            Encoding::ALL,
            choices.reading.encoding,
            Encoding::code,
            Encoding::label,
        ),
        separators: of_text(
            plan.table.separator,
            Separator::ALL,
            choices.reading.separator,
            Separator::code,
            Separator::label,
        ),
        fields: F::all().iter().map(|f| (f.code(), f.label())).collect(),
        counts: outcome.counts,
        changes: changes(outcome).take(SHOWN).collect(),
        read: dry.read,
        stopped: dry.stopped_rows(),
        stops: dry.stops,
        warnings: dry.warnings,
        problems: problems(dry).into_iter().take(SHOWN).collect(),
        material_words: material_words(&dry.unknown_materials, choices),
        missing_contexts: dry.missing_contexts.clone(),
        missing_places: dry.missing_places.clone(),
        may_apply: dry.may_apply(),
        mark: outcome.mark(),
        doubts: outcome.doubts.clone(),
    }
}

/// The choices of how a text file is read; none where it is no text file.
fn of_text<T: Copy + PartialEq>(
    read: Option<T>,
    all: &[T],
    chosen: Option<T>,
    code: fn(T) -> &'static str,
    label: fn(T) -> &'static str,
) -> Vec<(&'static str, &'static str, bool)> {
    let all = all.iter().filter(|_| read.is_some());
    all.map(|one| (code(*one), label(*one), chosen == Some(*one))).collect()
}

/// What can be said of a column of numbers or of days.
fn how<F: Field>(matched: &Match<F>, choices: &Choices) -> How {
    let at = matched.column;
    let shape = matched.field.map(|field| field.spec().shape);
    match shape {
        Some(Shape::Whole | Shape::Size(_) | Shape::Coordinate | Shape::Percent) => How {
            input: format!("decimal-{at}"),
            label: "Decimal mark",
            choices: of_text(
                Some(Decimal::Point),
                Decimal::ALL,
                choices.decimals.get(&at).copied(),
                Decimal::code,
                Decimal::label,
            ),
        },
        Some(Shape::Day) => How {
            input: format!("dates-{at}"),
            label: "Order of dates",
            choices: of_text(
                Some(DateOrder::DayFirst),
                DateOrder::ALL,
                choices.dates.get(&at).copied(),
                DateOrder::code,
                DateOrder::label,
            ),
        },
        _ => How { input: String::new(), label: "", choices: Vec::new() },
    }
}

fn columns<F: Field>(plan: &Plan<F>, choices: &Choices) -> Vec<ColumnView> {
    let samples = |column: usize| {
        let cells = plan.table.rows.iter().skip(plan.header_row + 1).filter_map(|row| row.get(column));
        let shown = cells.map(|cell| cell.shown().into_owned()).filter(|words| !words.is_empty()).take(3);
        shown.collect::<Vec<_>>().join(" · ")
    };
    let column = |(header, matched): (&register::header::Header, &Match<F>)| ColumnView {
        place: header.place(),
        samples: samples(header.column),
        chosen: matched.field.map_or("", Field::code),
        remembered: matched.remembered,
        input: format!("column-{}", header.column),
        how: how(matched, choices),
    };
    plan.headers.iter().zip(&plan.matches).map(column).collect()
}

/// The words nobody knows yet, then those that were decided, which can still be changed.
fn material_words(unknown: &[Missing], choices: &Choices) -> Vec<MaterialView> {
    let input = |folded: &str| format!("material-{folded}");
    let open = unknown.iter().map(|missing| MaterialView {
        label: format!(
            "“{}” in {} row{}",
            missing.word,
            missing.rows,
            if missing.rows == 1 { "" } else { "s" }
        ),
        near: missing.nearest.clone(),
        chosen: String::new(),
        input: input(&domain::words::fold(&missing.word)),
    });
    let decided: BTreeMap<&String, &String> = choices.materials.iter().collect();
    let decided = decided.into_iter().map(|(word, code)| MaterialView {
        label: format!("“{word}” means"),
        near: None,
        chosen: code.clone(),
        input: input(word),
    });
    open.chain(decided).collect()
}
