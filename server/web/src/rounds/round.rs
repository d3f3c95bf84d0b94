//! A round on the screen: one tap a pack, exceptions in a line each, all of it one request.
use super::enter;
use super::form::{Faults, MOST_PACKS, RoundForm};
use super::pack::{PackRow, rows};
use super::words::advice;
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::{show_count, show_moment};
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use askama::Template;
use axum::response::IntoResponse;
use domain::clocks::ClockKind;
use domain::ids::{FindId, PlaceId};
use domain::permission::{Action, Membership};
use store::Tx;
use store::clocks::round::{self, Passed, Stop};

/// Sheets that wait to be typed in, as many as the page names.
const MOST_SHEETS: i64 = 5;

#[derive(Template)]
#[template(path = "rounds/round.html")]
struct RoundPage {
    chrome: Chrome,
    kind: ClockKind,
    advice: &'static str,
    kinds: Vec<KindChoice>,
    projects: Vec<(String, String)>,
    stops: Vec<(String, String)>,
    rows: Vec<PackRow>,
    /// What is not on the page because there is too much of it.
    left_out: Option<String>,
    form: RoundForm,
    errors: Errors,
    sheets: Vec<(String, String)>,
    rules: Vec<(String, String)>,
}

struct KindChoice {
    label: &'static str,
    href: String,
    count: String,
    here: bool,
}

/// Which packs a page is asked for.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Which {
    kind: String,
    project: String,
    place: String,
    order: String,
    find: String,
}

pub(super) async fn new(ctx: Ctx, Asked(which): Asked<Which>) -> Answer {
    let mut tx = ctx.read().await?;
    let kind = kind_of(&which.kind);
    let packs = ahead(&ctx, &mut tx, kind, &which).await?;
    let form = RoundForm {
        kind: kind.code().into(),
        project: which.project,
        place: which.place,
        order: which.order,
        done_by: ctx.actor.name.clone(),
        done_on: ctx.now.date_naive().to_string(),
        ..RoundForm::default()
    };
    Ok(ok(page(&ctx, &mut tx, packs, form, Faults::default()).await?).into_response())
}

pub(super) async fn create(ctx: Ctx, posted: Posted<RoundForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let packs = enter::load(&ctx, &mut tx, &posted.form.clocks()).await?;
    match enter::round(&ctx, &mut tx, &packs, &posted.form).await? {
        Ok(tally) => {
            let to = links::round(kind_of(&posted.form.kind), &posted.form.project, &posted.form.place);
            ctx.finish(tx, &posted, &to, &tally.sentence()).await
        }
        Err(faults) => {
            let page = page(&ctx, &mut tx, packs, posted.form, faults).await?;
            Ok(again(page).into_response())
        }
    }
}

pub(super) fn kind_of(word: &str) -> ClockKind {
    word.parse().ok().filter(|kind: &ClockKind| kind.is_of_rounds()).unwrap_or(ClockKind::Wet)
}

/// The projects of a round: all this person works in, or the one that was chosen.
fn projects<'a>(ctx: &'a Ctx, chosen: &'a str) -> impl Iterator<Item = &'a Membership> {
    ctx.actor.projects(Action::RecordWork).filter(move |m| chosen.is_empty() || m.code == chosen)
}

/// The packs that lie ahead, the most urgent first or by place.
async fn ahead(ctx: &Ctx, tx: &mut Tx, kind: ClockKind, which: &Which) -> Answer<Vec<Passed>> {
    let place: Option<PlaceId> = which.place.parse().ok();
    let only: Option<FindId> = which.find.parse().ok();
    let mut packs = Vec::new();
    for member in projects(ctx, &which.project) {
        packs.extend(
            round::list(tx, (member.project, kind), place, member.restricted, MOST_PACKS as i64).await?,
        );
    }
    packs.retain(|pack| only.is_none_or(|find| pack.find_id == find));
    packs.sort_by_key(Passed::due_at);
    packs.truncate(MOST_PACKS);
    if which.order == "place" {
        packs.sort_by_key(|pack| (pack.place_path.clone(), domain::finds::number::sort_key(&pack.number)));
    }
    Ok(packs)
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    packs: Vec<Passed>,
    form: RoundForm,
    faults: Faults,
) -> Answer<RoundPage> {
    let kind = kind_of(&form.kind);
    let mut kinds = Vec::new();
    let mut all = 0;
    for one in ClockKind::ROUNDS {
        let mut count = 0;
        for member in projects(ctx, &form.project) {
            count += round::count(tx, member.project, *one, member.restricted).await?;
        }
        if *one == kind {
            all = count;
        }
        kinds.push(KindChoice {
            label: one.plural(),
            href: links::round(*one, &form.project, ""),
            count: show_count(count),
            here: *one == kind,
        });
    }
    let stops = stops(ctx, tx, kind, &form.project).await?;
    let sheets = store::clocks::sheets::list_waiting(tx, ctx.actor.person, MOST_SHEETS).await?;
    let left_out = (packs.len() == MOST_PACKS && all > MOST_PACKS as i64).then(|| {
        format!(
            "These are the {MOST_PACKS} most urgent of {}. Choose a place for the others.",
            show_count(all)
        )
    });
    Ok(RoundPage {
        chrome: ctx.chrome(),
        kind,
        advice: advice(kind),
        kinds,
        projects: ctx
            .actor
            .projects(Action::RecordWork)
            .map(|m| (m.code.clone(), format!("{} {}", m.code, m.name)))
            .collect(),
        stops: stops.into_iter().map(|s| (s.id.to_string(), format!("{} ({})", s.path, s.clocks))).collect(),
        rows: rows(&packs, 1.., (&form, &faults), ctx.now),
        left_out,
        form,
        errors: faults.errors,
        sheets: sheets
            .into_iter()
            .map(|s| {
                (links::round_sheet(s.id), format!("{}, {}", s.kind.plural(), show_moment(s.printed_at)))
            })
            .collect(),
        rules: ctx
            .actor
            .projects(Action::ListFinds)
            .map(|m| (links::clock_rules(&m.code), m.code.clone()))
            .collect(),
    })
}

async fn stops(ctx: &Ctx, tx: &mut Tx, kind: ClockKind, chosen: &str) -> Answer<Vec<Stop>> {
    let mut stops = Vec::new();
    for member in projects(ctx, chosen) {
        stops.extend(round::list_stops(tx, member.project, kind, member.restricted).await?);
    }
    Ok(stops)
}
