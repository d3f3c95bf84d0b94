//! A run begins.
use super::start_form::{StartForm, Started};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_measure;
use crate::finds::{Chosen, cautions, load_chosen};
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::{self, Entered};
use crate::work::{StoppedLine, stopped_line};
use askama::Template;
use axum::response::IntoResponse;
use calc::drying::{Drying, Standard};
use domain::Instant;
use domain::clocks::ClockKind;
use domain::ids::{FindId, ProjectId};
use domain::runs::{Plan, RunKind};
use domain::work::Detail;
use store::Tx;
use store::finds::Find;
use store::runs::weighings::{self, NewWeighing};
use store::runs::{self, NewRun, steps};
use store::work::records::NewRecord;

/// Finds that one run follows.
const MOST_FINDS: usize = 50;

#[derive(Template)]
#[template(path = "runs/new.html")]
struct StartPage {
    chrome: Chrome,
    kind: RunKind,
    action: String,
    back: String,
    /// The plain record, for what is dried without weighing.
    plain: Option<String>,
    form: StartForm,
    errors: Errors,
    stopped: Vec<StoppedLine>,
    finds: Vec<Chosen>,
    cautions: Vec<String>,
    standards: Vec<Standard>,
}

pub(super) async fn new(
    ctx: Ctx,
    Path((code, kind)): Path<(String, String)>,
    Asked(mut form): Asked<StartForm>,
) -> Answer {
    let kind: RunKind = kind.parse().map_err(|_| AppError::NotFound)?;
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.read().await?;
    let finds = load_chosen(&ctx, &mut tx, project, &form.find, MOST_FINDS).await?;
    form.started_at = super::form::typed_moment(ctx.now);
    form.done_by = ctx.actor.name.clone();
    form.standard = usual(&finds).key.into();
    form.baths_in_row = calc::desalination::EndRule::USUAL_ROW.to_string();
    form.chamber_c = "20".into();
    Ok(ok(page(&ctx, &code, kind, form, &finds)?).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Path((code, kind)): Path<(String, String)>,
    posted: Posted<StartForm>,
) -> Answer {
    let kind: RunKind = kind.parse().map_err(|_| AppError::NotFound)?;
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let finds = load_chosen(&ctx, &mut tx, project, &posted.form.find, MOST_FINDS).await?;
    let mut parsed = posted.form.parse(kind, &finds, ctx.now);
    if let Some(sentence) = apart(kind, &finds) {
        let mut errors = parsed.err().unwrap_or_default();
        errors.add("find", sentence);
        parsed = Err(errors);
    }
    for find in &finds {
        if runs::find_running(&mut tx, find.id, kind).await?.is_some() {
            let mut errors = parsed.err().unwrap_or_default();
            errors.add("find", format!("A {kind} of {} is on already.", find.number));
            parsed = Err(errors);
        }
    }
    let started = match parsed {
        Ok(started) => started,
        Err(errors) => {
            let mut page = page(&ctx, &code, kind, posted.form, &finds)?;
            page.errors = errors;
            return Ok(again(page).into_response());
        }
    };
    let record = record(project, kind, &finds, &started);
    if kind == RunKind::Drying {
        start_clocks(&mut tx, &finds, (started.at, ctx.now)).await?;
    }
    match enter::record(&ctx, &mut tx, &finds, &record, None).await? {
        Entered::In(id) => {
            let run = keep(&ctx, &mut tx, (project, id), record.finds, started).await?;
            ctx.finish(tx, &posted, &links::run(run), &format!("The {kind} has begun.")).await
        }
        Entered::Stopped(stopped) => {
            let mut page = page(&ctx, &code, kind, posted.form, &finds)?;
            page.stopped = stopped.iter().map(|s| stopped_line(&ctx, &code, project, s)).collect();
            Ok(again(page).into_response())
        }
    }
}

fn apart(kind: RunKind, finds: &[Find]) -> Option<String> {
    let groups: Vec<(&str, &str)> =
        finds.iter().map(|find| (find.number.as_str(), find.material.as_str())).collect();
    domain::runs::not_in_one_bath(&groups).filter(|_| kind == RunKind::Desalination)
}

/// What dries has dried since the run began, which may be days ago.
async fn start_clocks(tx: &mut Tx, finds: &[Find], since_and_now: (Instant, Instant)) -> Answer<()> {
    for find in finds {
        let rule = store::clocks::rules::find_of(tx, find.id, ClockKind::Drying).await?;
        store::clocks::start(tx, find.id, ClockKind::Drying, rule, since_and_now).await?;
    }
    Ok(())
}

async fn keep(
    ctx: &Ctx,
    tx: &mut Tx,
    (project, record): (ProjectId, domain::ids::RecordId),
    finds: Vec<(FindId, Option<i64>)>,
    started: Started,
) -> Answer<domain::ids::RunId> {
    let Started { at, done_by, method, mass_g, plan, .. } = started;
    let scheduled = matches!(&plan, Plan::Drying(plan) if plan.schedule.is_some());
    let weighed = matches!(plan, Plan::Drying(_));
    let new = NewRun { project, started_at: at, done_by, method, plan, record, finds };
    let run = runs::insert(tx, &new, ctx.actor.person, ctx.now).await?;
    if weighed {
        let first = NewWeighing { weighed_at: at, mass_g, rh_pct: None, t_c: None, seen: String::new() };
        weighings::insert_many(tx, run, &[first], ctx.actor.person, ctx.now).await?;
    }
    if scheduled {
        let step = steps::Step { position: 0, begun_at: at, reason: String::new() };
        steps::insert(tx, run, &step).await?;
    }
    Ok(run)
}

fn record(project: ProjectId, kind: RunKind, finds: &[Find], started: &Started) -> NewRecord {
    let detail = match &started.plan {
        Plan::Drying(_) => Detail::Drying {
            start_mass_g: Some(started.mass_g),
            end_mass_g: None,
            end_rule: String::new(),
            checked_by: String::new(),
        },
        Plan::Desalination(_) => Detail::Plain,
    };
    NewRecord {
        project,
        stage: kind.stage(),
        done_by: started.done_by.clone(),
        done_on: started.at.date_naive(),
        method: method_of(&started.plan, &started.method),
        materials: String::new(),
        outcome: String::new(),
        note: String::new(),
        finished: false,
        standing: None,
        supersedes: None,
        detail,
        finds: finds.iter().map(|find| find.id).zip(started.quantities.iter().copied()).collect(),
    }
}

/// How a run goes, for the record of work: the rule, and what was typed.
pub(super) fn method_of(plan: &Plan, typed: &str) -> String {
    let rule = match plan {
        Plan::Drying(plan) => {
            let standard =
                Standard::named(&plan.standard).map_or(plan.standard.as_str(), |standard| standard.name);
            format!("drying run by {standard}, balance to {} g", show_measure(plan.balance_g))
        }
        Plan::Desalination(plan) => format!(
            "desalination run, clean at or below {} µS/cm · L/kg in {} baths",
            show_measure(plan.threshold),
            plan.baths_in_row
        ),
    };
    if typed.is_empty() { rule } else { format!("{rule}; {typed}") }
}

/// The usual standard of what is dried.
fn usual(finds: &[Find]) -> Standard {
    let two = ["ceramic", "stone", "plaster_cbm"];
    let all_two = finds.iter().all(|find| two.contains(&find.material.as_str()));
    Standard::usual_for(if all_two { Drying::CeramicOrStone } else { Drying::MetalOrOrganic })
}

fn page(ctx: &Ctx, code: &str, kind: RunKind, form: StartForm, finds: &[Find]) -> Answer<StartPage> {
    let project = ctx.project(code)?.project;
    let chosen: String = finds.iter().map(|find| format!("&find={}", find.id)).collect();
    let plain = format!("{}?{}", links::record_new(code, kind.stage()), chosen.trim_start_matches('&'));
    Ok(StartPage {
        chrome: ctx.chrome_in(project),
        kind,
        action: links::run_new(code, kind),
        back: match finds {
            [one] => links::find(one.id),
            _ => links::finds(code),
        },
        plain: (kind == RunKind::Drying).then_some(plain),
        finds: Chosen::lines(finds, &form.find, &form.quantity),
        form,
        errors: Errors::default(),
        stopped: Vec::new(),
        cautions: cautions(finds),
        standards: Standard::ALL.to_vec(),
    })
}
