//! The page of a run, also where one of its forms could not be saved.
use super::Known;
use super::desalination::{self, DesalinationView};
use super::drying::{self, DryingView};
use super::form::{RunForm, typed_moment};
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::{show_measure, show_moment};
use crate::form::{Asked, Errors};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::StoppedLine;
use askama::Template;
use axum::response::{IntoResponse, Response};
use domain::ids::RunId;
use domain::permission::Action;
use domain::runs::{Plan, RunKind};
use store::Tx;

#[derive(Template)]
#[template(path = "runs/show.html")]
struct RunPage {
    chrome: Chrome,
    kind: RunKind,
    numbers: String,
    trail: (String, &'static str),
    /// Address, number and words of each find.
    finds: Vec<(String, String, String)>,
    about: Vec<(&'static str, String)>,
    running: bool,
    ended: Option<String>,
    may: bool,
    drying: Option<DryingView>,
    desalination: Option<DesalinationView>,
    from: usize,
    address: String,
    form: RunForm,
    errors: Errors,
    faults: Vec<String>,
    stopped: Vec<StoppedLine>,
}

/// Which weighings the curve goes through.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct View {
    from: String,
}

/// What went wrong with a form of the page.
#[derive(Default)]
pub(super) struct Wrong {
    pub errors: Errors,
    /// Lines of a pasted list that could not be read.
    pub faults: Vec<String>,
    pub stopped: Vec<StoppedLine>,
}

impl From<Errors> for Wrong {
    fn from(errors: Errors) -> Self {
        Self { errors, ..Self::default() }
    }
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<RunId>, Asked(view): Asked<View>) -> Answer {
    let mut tx = ctx.read().await?;
    let known = Known::load(&ctx, &mut tx, id).await?;
    let mut form = RunForm {
        weighed_at: typed_moment(ctx.now),
        read_at: typed_moment(ctx.now),
        done_by: ctx.actor.name.clone(),
        checked_by: ctx.actor.name.clone(),
        ..RunForm::default()
    };
    if known.run.kind == RunKind::Desalination {
        let baths = store::runs::baths::list(&mut tx, id).await?;
        if let Some(last) = baths.iter().rev().find(|bath| bath.withdrawn_why.is_none()) {
            form.volume_l = show_measure(last.volume_l);
            form.blank_us_cm = show_measure(last.blank_us_cm);
        }
    }
    let from = view.from.parse().unwrap_or(1);
    let page = page(&ctx, &mut tx, &known, form, from).await?;
    Ok(ok(page).into_response())
}

/// The page once more, with what was typed and what is wrong with it.
pub(super) async fn wrong(
    ctx: &Ctx,
    tx: &mut Tx,
    known: &Known,
    form: RunForm,
    wrong: Wrong,
) -> Answer<Response> {
    let mut page = page(ctx, tx, known, form, 1).await?;
    (page.errors, page.faults, page.stopped) = (wrong.errors, wrong.faults, wrong.stopped);
    Ok(again(page).into_response())
}

/// A drying run judged.
pub(super) async fn drying_view(
    ctx: &Ctx,
    tx: &mut Tx,
    known: &Known,
    from: usize,
) -> Answer<Option<DryingView>> {
    let Plan::Drying(plan) = &known.plan else { return Ok(None) };
    let weighings = store::runs::weighings::list(tx, known.run.id).await?;
    let steps = store::runs::steps::list(tx, known.run.id).await?;
    let now = known.run.ended_at.unwrap_or(ctx.now);
    Ok(Some(drying::Readings { plan, weighings: &weighings, steps: &steps, now, from }.view()))
}

/// A desalination run judged.
pub(super) async fn desalination_view(tx: &mut Tx, known: &Known) -> Answer<Option<DesalinationView>> {
    let Plan::Desalination(plan) = &known.plan else { return Ok(None) };
    let baths = store::runs::baths::list(tx, known.run.id).await?;
    Ok(Some(desalination::Readings { plan, baths: &baths, started_at: known.run.started_at }.view()))
}

async fn page(ctx: &Ctx, tx: &mut Tx, known: &Known, form: RunForm, from: usize) -> Answer<RunPage> {
    let run = &known.run;
    let code = known.finds.first().map(|(find, _)| find.project_code.clone()).unwrap_or_default();
    let lists = ctx.actor.may(Action::ListFinds, run.project_id);
    let find = |find: &store::finds::Find| {
        let words = if find.object_type.is_empty() { &find.material_name } else { &find.object_type };
        (links::find(find.id), find.number.clone(), words.clone())
    };
    let ended = run.ended_at.map(|at| {
        let how = if run.ended_well == Some(true) { "Ended" } else { "Broken off" };
        format!("{how} {}: {}", show_moment(at), run.end_words.clone().unwrap_or_default())
    });
    let may = known.may_record(ctx) && ctx.actor.may(Action::RecordWork, run.project_id);
    Ok(RunPage {
        chrome: ctx.chrome_in(run.project_id),
        kind: run.kind,
        numbers: known.numbers(),
        trail: if lists { (links::runs(&code), "Runs") } else { (links::MY_FINDS.into(), "My finds") },
        finds: known.finds.iter().map(|(f, _)| find(f)).collect(),
        about: about(known),
        running: run.ended_at.is_none(),
        ended,
        may,
        drying: drying_view(ctx, tx, known, from).await?,
        desalination: desalination_view(tx, known).await?,
        from,
        address: links::run(run.id),
        form,
        errors: Errors::default(),
        faults: Vec::new(),
        stopped: Vec::new(),
    })
}

fn about(known: &Known) -> Vec<(&'static str, String)> {
    let run = &known.run;
    let mut about = vec![
        ("Begun", show_moment(run.started_at)),
        ("Done by", run.done_by.clone()),
        ("How", run.method.clone()),
    ];
    match &known.plan {
        Plan::Drying(plan) => about.push(("Balance", format!("reads to {} g", show_measure(plan.balance_g)))),
        Plan::Desalination(plan) => about.push(("In the bath", format!("{} g", show_measure(plan.mass_g)))),
    }
    let pieces: Vec<String> =
        known.finds.iter().filter_map(|(f, n)| n.map(|n| format!("{n} pieces of {}", f.number))).collect();
    about.push(("Pieces", pieces.join(", ")));
    about.retain(|(_, words)| !words.is_empty());
    about
}
