//! The find page: a lab notebook opened flat.
mod away;
mod belonging;
mod more_lines;
mod next_action;
mod record_line;
mod settled;

use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::{self, show_day};
use crate::images::Picture;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use crate::review::opinion_view::{OpinionView, view};
use crate::rounds::words::standing;
use crate::rows::of_find::{self, RowsOfFind};
use crate::runs::RunView;
use crate::work::{AssessmentView, ExaminationView, latest_assessment};
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::permission::Action;
use domain::review::share::Share;
use domain::shots::Light;
use domain::stages::{Facts, StageState};
use more_lines::MoreLines;
use next_action::NextAction;
use record_line::RecordLine;
use store::Tx;
use store::finds::Find;
use store::journal::Line;
use store::journal::Told;
use store::places::Movement;
use store::work::holds::{Hold, Lift};
use store::work::records::Record;

/// Journal lines shown on the page.
const LINES: i64 = 100;

#[derive(Template)]
#[template(path = "finds/show.html")]
struct FindPage {
    chrome: Chrome,
    find: Find,
    what: String,
    /// The address of its context, for who may open it.
    context: Option<String>,
    /// Where the next find from the same context is registered.
    another: String,
    facts: Vec<(&'static str, String)>,
    route: Vec<Step>,
    next: NextAction,
    clocks: Vec<ClockLine>,
    holds: Vec<Hold>,
    lifts: Vec<Lift>,
    assessed: Option<AssessmentView>,
    examined: Vec<ExaminationView>,
    records: Vec<RecordLine>,
    runs: Vec<RunView>,
    /// Whether there is a spot test among them.
    tested: bool,
    /// Every step that went beyond the agreed level, in words.
    beyond: Vec<String>,
    /// The working time noted in the records.
    hours: Option<String>,
    opinions: Vec<OpinionView>,
    settled: Option<settled::Settled>,
    /// Rows of specialists that are about it.
    rows: Vec<RowsOfFind>,
    /// Questions of specialists that nobody has answered.
    asked: i64,
    groups: Vec<belonging::GroupView>,
    quantity_events: Vec<String>,
    /// Where it is out, one sentence a dispatch, and every dispatch it was on: address and words.
    out: Vec<String>,
    dispatches: Vec<(String, String)>,
    pictures: Vec<Picture>,
    movements: Vec<Movement>,
    journal: Vec<Line>,
    may: May,
}

/// What this person may do here.
struct May {
    /// Of the project's own people, who see places, holds and the journal.
    team: bool,
    /// Sees the conservation record, photographs.
    conservation: bool,
    images: bool,
    record: bool,
    hold: bool,
    reroute: bool,
    relocate: bool,
    edit: bool,
    upload: bool,
    label: bool,
    authorise: bool,
    contexts: bool,
    read_opinions: bool,
    write_opinion: bool,
    compare_rings: bool,
    dispatch: bool,
    answer: bool,
}

/// One stage of the route with its word.
struct Step {
    stage: &'static str,
    state: &'static str,
    reason: String,
    current: bool,
}

/// A running clock in words.
struct ClockLine {
    words: String,
    overdue: bool,
    /// What the last look found wrong and nobody has put right.
    left_open: Option<String>,
    /// Where a look is recorded, and the round for what is not in order.
    look: Option<(String, String)>,
    /// The form of the assessment that a review waits for.
    assess: Option<String>,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let facts = store::finds::progress::find_facts(&mut tx, id).await?;
    let may = may(&ctx, &find);
    let holds = store::work::holds::list(&mut tx, id).await?;
    let runs: Vec<RunView> =
        store::runs::list_of_find(&mut tx, id).await?.iter().map(RunView::from).collect();
    let next = next_action::of(&ctx, &find, &facts, (&holds, &runs));
    let records =
        if may.conservation { store::work::records::list_of_find(&mut tx, id).await? } else { Vec::new() };
    let more = more_lines::of(&mut tx, id, &records).await?;
    let told = Told {
        opinions: may.read_opinions,
        findspot: ctx.actor.sees_findspot(find.project_id),
        ..Told::default()
    };
    let page = FindPage {
        chrome: ctx.chrome_in(find.project_id),
        what: what(&find),
        context: find.context_id.filter(|_| may.contexts).map(|id| links::context(id.into())),
        another: another(&find),
        facts: super::facts::lines(&ctx, &find),
        route: if may.conservation { route(&find, &facts) } else { Vec::new() },
        next,
        clocks: if may.conservation { clocks(&ctx, &mut tx, &find, may.record).await? } else { Vec::new() },
        holds,
        lifts: store::work::holds::list_lifts(&mut tx, id).await?,
        opinions: opinions(&mut tx, id, &may, &ctx).await?,
        settled: settled::of(&mut tx, &find, (&ctx, may.read_opinions)).await?,
        rows: of_find::all(&ctx, &mut tx, (&find, may.read_opinions)).await?,
        asked: if may.answer { store::review::threads::count_open(&mut tx, id).await? } else { 0 },
        groups: belonging::groups(&ctx, &mut tx, &find).await?,
        quantity_events: belonging::quantity_events(&mut tx, &find, may.team).await?,
        out: away::out(&mut tx, (&find, &may), ctx.now).await?,
        dispatches: away::dispatches(&mut tx, (&find, &may)).await?,
        assessed: if may.conservation { latest_assessment(&mut tx, id).await? } else { None },
        examined: ExaminationView::all_of(&mut tx, &find).await?,
        tested: records.iter().any(|record| record.stage == domain::stages::Stage::SpotTest),
        beyond: more.beyond(),
        hours: more.hours().filter(|_| may.team),
        records: record_lines(&mut tx, &find, (records, &more, &runs), may.authorise).await?,
        runs,
        pictures: Picture::all_of(&mut tx, &find).await?,
        movements: store::places::list_movements(&mut tx, id).await?,
        journal: store::journal::list_of_find(&mut tx, id, told, LINES).await?,
        may,
        find,
    };
    Ok(ok(page).into_response())
}

/// Submitted opinions: all of them for the project's people, the own ones for a specialist.
async fn opinions(tx: &mut Tx, id: FindId, may: &May, ctx: &Ctx) -> Answer<Vec<OpinionView>> {
    let said = store::review::opinions::list_of_find(tx, id).await?;
    let standing = said.iter().filter(|o| o.superseded_at.is_none());
    Ok(standing.filter(|o| may.read_opinions || o.author_id == ctx.actor.person).map(view).collect())
}

/// The records with the photographs that belong to them.
async fn record_lines(
    tx: &mut Tx,
    find: &Find,
    (records, more, runs): (Vec<Record>, &MoreLines, &[RunView]),
    may_authorise: bool,
) -> Answer<Vec<RecordLine>> {
    let images = store::images::list_of_records(tx, find.id).await?;
    let hidden = store::images::list_hidden(tx, find).await?;
    let boxes = store::boxes::list_of_find(tx, find.id).await?;
    let line = |record: Record| {
        let of_it = images.iter().filter(|image| image.record == record.id && !hidden.contains(&image.image));
        let of_it = of_it.filter(|image| find.seen.shows(Light::of_words(&image.light) == Light::Xray));
        let pictures = of_it.map(|image| Picture::of_record(image, &find.number)).collect();
        let id = record.id;
        let mut line = RecordLine { pictures, ..RecordLine::new(record, may_authorise) };
        more.add_to(id, &mut line);
        let run = runs.iter().find(|run| run.record == id).map(|run| (run.href.clone(), "run"));
        let in_box = boxes.iter().find(|packed| packed.record == id);
        line.told_by = run.or(in_box.map(|packed| (links::stored_box(packed.place), "box")));
        line
    };
    // what only looks has sections of its own
    Ok(records.into_iter().filter(|record| !record.stage.only_looks()).map(line).collect())
}

fn may(ctx: &Ctx, find: &Find) -> May {
    let may = |action| ctx.actor.may(action, find.project_id);
    // a void number stays on record as it is
    let change = |action| find.void_at.is_none() && may(action);
    May {
        team: find.seen.is_of_the_team(),
        conservation: find.seen.has(Share::Conservation),
        images: find.seen.has(Share::Images),
        record: change(Action::RecordWork),
        hold: change(Action::HoldFinds),
        reroute: change(Action::EditRoutes),
        relocate: change(Action::MoveFinds),
        edit: change(Action::RegisterFinds),
        upload: change(Action::UploadImages),
        label: may(Action::PrintLabels),
        authorise: change(Action::AuthoriseWork),
        contexts: may(Action::ViewContexts),
        read_opinions: may(Action::ViewOpinions),
        write_opinion: may(Action::WriteOpinion),
        compare_rings: may(Action::CompareRings) && find.seen.has(Share::Measurements),
        dispatch: change(Action::DispatchFinds),
        answer: may(Action::AnswerQuestions),
    }
}

fn another(find: &Find) -> String {
    match &find.context_number {
        Some(number) => links::find_new_from(&find.project_code, number),
        None => links::find_new(&find.project_code),
    }
}

/// What the find is now thought to be.
fn what(find: &Find) -> String {
    [&find.object_type, &find.description, &find.material_name]
        .into_iter()
        .find(|words| !words.is_empty())
        .cloned()
        .unwrap_or_default()
}

fn route(find: &Find, facts: &Facts) -> Vec<Step> {
    let progress = &facts.progress;
    let current = progress.current().0;
    let step = |stage: domain::stages::Stage| {
        let mark = progress.marks.iter().find(|m| m.stage == stage);
        let state = progress.state(stage);
        let partly = mark.filter(|m| find.bulk && m.quantity_done > 0 && state == StageState::InHand);
        let reason = match partly {
            Some(mark) => format!("{} of {} pieces", mark.quantity_done, find.quantity),
            None => mark.map(|m| m.reason.clone()).unwrap_or_default(),
        };
        let held = find.held && stage == current;
        let state = if held { StageState::Held.label() } else { state.label() };
        Step { stage: stage.label(), state, reason, current: stage == current }
    };
    progress.route.0.iter().map(|s| step(s.stage)).collect()
}

async fn clocks(ctx: &Ctx, tx: &mut Tx, find: &Find, may_look: bool) -> Answer<Vec<ClockLine>> {
    let running = store::clocks::list_running(tx, find.id).await?;
    let line = |clock: store::clocks::Clock| {
        let stands = standing(clock.limit_at, clock.next_check_at, ctx.now);
        let since = show_day(clock.started_at.date_naive());
        ClockLine {
            words: format!("{} since {since}, {}", clock.kind, stands.words),
            overdue: stands.overdue,
            left_open: clock.left_open.filter(|words| !words.is_empty()),
            look: (may_look && clock.kind.is_of_rounds())
                .then(|| (links::clock_look(clock.id), links::round_of(clock.kind, find.id))),
            assess: (may_look && !clock.kind.is_of_rounds())
                .then(|| links::condition_of(&find.project_code, find.id)),
        }
    };
    Ok(running.into_iter().map(line).collect())
}
