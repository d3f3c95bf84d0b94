//! The four groups of the bench across a person's projects: due now, in hand, waiting for authorisation, next.
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::rounds::what;
use crate::rounds::words::standing;
use chrono::{Duration, NaiveTime};
use domain::permission::{Action, Membership};
use domain::stages::{Attempt, Stage, StageState};
use std::collections::HashSet;
use store::Tx;
use store::clocks::round::{self, Passed};
use store::planning::WaitingFind;

/// Lines of one group.
const MOST: usize = 12;

/// One group.
pub(super) struct Group {
    pub title: &'static str,
    pub lines: Vec<BenchLine>,
    /// Said when there are none.
    pub empty: &'static str,
    /// The whole of it, where the group shows only the beginning.
    pub all: Option<(String, String)>,
}

/// One find with what there is to do.
pub(super) struct BenchLine {
    pub href: String,
    pub number: String,
    pub what: String,
    pub why: String,
    pub overdue: bool,
    pub project: String,
    /// A form to go to: address and words.
    pub way_on: Option<(String, String)>,
    /// A look that can be recorded on the spot.
    pub look: Option<String>,
}

/// The four groups, in the order of the page.
pub(super) async fn groups(ctx: &Ctx, tx: &mut Tx) -> Answer<Vec<Group>> {
    let (in_hand, seen) = in_hand(ctx, tx).await?;
    let (waiting, also) = waiting(ctx, tx).await?;
    let seen: HashSet<String> = seen.into_iter().chain(also).collect();
    Ok(vec![due(ctx, tx).await?, in_hand, waiting, next(ctx, tx, &seen).await?])
}

fn projects(ctx: &Ctx) -> impl Iterator<Item = &Membership> {
    ctx.actor.projects(Action::RecordWork)
}

/// Clocks that are overdue or due before the day ends.
async fn due(ctx: &Ctx, tx: &mut Tx) -> Answer<Group> {
    let tomorrow = (ctx.now.date_naive() + Duration::days(1)).and_time(NaiveTime::MIN).and_utc();
    let mut due: Vec<Passed> = Vec::new();
    for member in projects(ctx) {
        let until = (tomorrow, ctx.now);
        due.extend(round::list_due(tx, member.project, until, member.restricted, 100).await?);
    }
    due.retain(|pack| pack.due_at().is_some_and(|at| at < tomorrow));
    due.sort_by_key(Passed::due_at);
    let all = due.iter().filter(|pack| pack.kind.is_of_rounds()).count();
    let line = |pack: &Passed| {
        let stands = standing(pack.limit_at, pack.next_check_at, ctx.now);
        let tapped = pack.kind.is_of_rounds();
        BenchLine {
            href: links::find(pack.find_id),
            number: pack.number.clone(),
            what: what(pack),
            why: format!("{}: {}", pack.kind, stands.words),
            overdue: stands.overdue,
            project: pack.project_code.clone(),
            // A review is answered by an assessment, not by a tap.
            way_on: (!tapped).then(|| assess_again(pack)),
            look: tapped.then(|| links::clock_look(pack.id)),
        }
    };
    Ok(Group {
        title: "Due now",
        lines: due.iter().take(MOST / 2).map(line).collect(),
        empty: "Nothing is due.",
        all: (all > 0).then(|| (links::ROUNDS.to_owned(), format!("Go round: {all} due"))),
    })
}

/// To the form of a new assessment.
fn assess_again(pack: &Passed) -> (String, String) {
    (links::condition_of(&pack.project_code, pack.find_id), "Assess again".to_owned())
}

/// What this person has begun, the longest begun first; and the addresses of the finds.
async fn in_hand(ctx: &Ctx, tx: &mut Tx) -> Answer<(Group, Vec<String>)> {
    let mut found = Vec::new();
    for member in projects(ctx) {
        found.extend(
            store::planning::list_in_hand(tx, member.project, ctx.actor.person, member.restricted, 60)
                .await?,
        );
    }
    // A level in hand waits for its lead, not for the bench.
    found.retain(|find| find.stage != Stage::CleaningLevel);
    found.sort_by_key(|find| find.stage_since);
    let seen = found.iter().map(|find| links::find(find.id)).collect();
    let lines = found.iter().take(MOST).map(|find| {
        let why = format!("{}, {}", find.stage.label(), since((ctx.now - find.stage_since).num_days()));
        BenchLine { way_on: way_on(find), ..line(find, why) }
    });
    let group = Group { title: "In hand", lines: lines.collect(), empty: "Nothing is begun.", all: None };
    Ok((group, seen))
}

async fn waiting(ctx: &Ctx, tx: &mut Tx) -> Answer<(Group, Vec<String>)> {
    let mut lines = Vec::new();
    for member in projects(ctx) {
        let levels =
            store::work::levels::list_waiting_of(tx, member.project, ctx.actor.person, member.restricted)
                .await?;
        lines.extend(levels.into_iter().map(|level| BenchLine {
            href: links::find(level.find_id),
            number: level.find_number,
            what: level.object_type,
            why: format!("“{}”, stop point: {}", level.level, level.stop_point),
            overdue: false,
            project: level.project_code,
            way_on: None,
            look: None,
        }));
    }
    let seen = lines.iter().map(|line| line.href.clone()).collect();
    lines.truncate(MOST);
    let empty = "No cleaning level of yours waits for an answer.";
    Ok((Group { title: "Waiting for authorisation", lines, empty, all: None }, seen))
}

/// What is on the bench and not begun, with the record that comes next or what stands in its way.
async fn next(ctx: &Ctx, tx: &mut Tx, seen: &HashSet<String>) -> Answer<Group> {
    let mut found = Vec::new();
    for member in projects(ctx) {
        let bench = store::planning::list_bench(tx, member.project, ctx.actor.person, 100).await?;
        found.extend(bench.into_iter().filter(|find| !seen.contains(&links::find(find.id))));
    }
    found.retain(|find| find.stage_state != StageState::InHand);
    found.sort_by_key(|find| find.stage_since);
    let mut lines = Vec::new();
    for find in found.iter().take(MOST) {
        let facts = store::finds::progress::find_facts(tx, find.id).await?;
        let shut = Attempt::plain(find.stage).stopped_by(&facts);
        let held = find.stage_state == StageState::Held;
        let (why, way_on) = match shut.first() {
            _ if held => ("on hold".to_owned(), None),
            Some(gate) => (format!("{}: {}", find.stage.label(), gate.sentence()), None),
            None => (format!("ready for {}", find.stage.label()), way_on(find)),
        };
        lines.push(BenchLine { way_on, ..line(find, why) });
    }
    let empty = "Nothing more is on your bench. Finds are given to you from the list.";
    Ok(Group { title: "Next", lines, empty, all: None })
}

fn since(days: i64) -> String {
    match days {
        0 => "begun today".into(),
        1 => "for 1 day".into(),
        n => format!("for {n} days"),
    }
}

fn line(find: &WaitingFind, why: String) -> BenchLine {
    let words = [find.object_type.as_str(), find.material_name.as_str()];
    BenchLine {
        href: links::find(find.id),
        number: find.number.clone(),
        what: words.iter().filter(|w| !w.is_empty()).copied().collect::<Vec<_>>().join(", "),
        why,
        overdue: false,
        project: find.project_code.clone(),
        way_on: None,
        look: None,
    }
}

/// The form of the stage a find is at, where the bench has one.
fn way_on(find: &WaitingFind) -> Option<(String, String)> {
    let (code, stage) = (&find.project_code, find.stage);
    match stage {
        stage if stage.takes_record() => {
            let href = format!("{}&from=bench", links::record_of(code, stage, find.id));
            Some((href, format!("Record {}", stage.label())))
        }
        Stage::Desalination => {
            Some((links::mark_of(code, stage, find.id), format!("Mark {}", stage.label())))
        }
        _ => None,
    }
}
