//! What waits on Today because of cleaning: levels to answer, answers, spots to be looked at again, open records.
use super::today::{MOST, Section, TodayLine};
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::{show_day, show_moment};
use crate::links;
use chrono::Duration;
use domain::ids::ProjectId;
use domain::permission::{Action, may_record};
use domain::stages::Stage;
use domain::treatment::Need;
use store::Tx;
use store::work::levels::{self, Answered, Waiting};
use store::work::open::{self, Open};
use store::work::spot_tests::{self, DueLook};

/// How long an answer stands on Today.
const ANSWERED: Duration = Duration::days(7);

fn section(title: &'static str, lines: impl Iterator<Item = TodayLine>) -> Section {
    let most = usize::try_from(MOST).unwrap_or(usize::MAX);
    Section::whole(title, lines.take(most).collect())
}

/// Whether what this person once recorded may still be shown: people leave projects, finds become restricted.
fn still_sees(ctx: &Ctx, project: ProjectId, restricted: bool) -> bool {
    ctx.actor.may(Action::ListFinds, project) && (!restricted || ctx.actor.sees_restricted(project))
}

/// Levels that wait for this lead.
pub(super) async fn authorisations(ctx: &Ctx, tx: &mut Tx) -> Answer<Section> {
    let mut waiting = Vec::new();
    for member in ctx.actor.projects(Action::AuthoriseWork) {
        waiting.extend(levels::list_waiting(tx, member.project, member.restricted).await?);
    }
    let line = |level: Waiting| TodayLine {
        href: links::authorisation(level.record_id),
        number: level.find_number,
        what: level.object_type,
        why: format!("“{}”, stop-point: {}, by {}", level.level, level.stop_point, level.decided_by),
        project: level.project_code,
        button: Some((links::authorisation_at_once(level.record_id), "Authorise")),
        ..TodayLine::default()
    };
    Ok(section("Cleaning levels waiting for your answer", waiting.into_iter().map(line)))
}

/// Answers to levels this person proposed.
pub(super) async fn answers(ctx: &Ctx, tx: &mut Tx) -> Answer<Section> {
    let mut answered = levels::list_answered(tx, ctx.actor.person, ctx.now - ANSWERED, MOST).await?;
    answered.retain(|level| still_sees(ctx, level.project_id, level.restricted));
    let line = |level: Answered| {
        let said =
            if level.answer_words.is_empty() { String::new() } else { format!(": {}", level.answer_words) };
        TodayLine {
            href: links::find(level.find_id),
            number: level.find_number,
            what: level.object_type,
            why: format!(
                "“{}” {} by {}, {}{said}",
                level.level,
                level.answer,
                level.answered_by,
                show_moment(level.answered_at)
            ),
            project: level.project_code,
            ..TodayLine::default()
        }
    };
    Ok(section("Cleaning levels answered", answered.into_iter().map(line)))
}

/// Spots of tests that wait for their later look, for whoever may record tests.
pub(super) async fn later_looks(ctx: &Ctx, tx: &mut Tx) -> Answer<Section> {
    let mut found = Vec::new();
    for member in ctx.actor.projects(Action::RecordWork) {
        if may_record(&ctx.actor, member.project, Stage::SpotTest, false, "") {
            found.extend(spot_tests::list_due(tx, member.project, member.restricted, MOST).await?);
        }
    }
    found.sort_by_key(|look| look.due_at);
    let line = |look: DueLook| TodayLine {
        href: links::recheck(look.record_id),
        number: look.find_number,
        what: [look.object_type, look.site]
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect::<Vec<_>>()
            .join(", "),
        why: format!("tested with {}, look again {}", look.mixture, show_moment(look.due_at)),
        overdue: look.due_at < ctx.now,
        project: look.project_code,
        ..TodayLine::default()
    };
    Ok(section("Spots to look at again", found.into_iter().map(line)))
}

/// This person’s records that are not closed, with what they lack.
pub(super) async fn open_records(ctx: &Ctx, tx: &mut Tx) -> Answer<Section> {
    let mut open = open::list_of_person(tx, ctx.actor.person, MOST).await?;
    open.retain(|record| still_sees(ctx, record.project_id, record.restricted));
    let line = |record: Open| {
        let lacks: Vec<&str> = record.lacks().into_iter().map(Need::label).collect();
        let lacks =
            if lacks.is_empty() { "not closed".to_owned() } else { format!("lacks {}", lacks.join(", ")) };
        TodayLine {
            href: links::find(record.find_id),
            what: record.stage.label().to_owned(),
            why: format!("begun {}, {lacks}", show_day(record.done_on)),
            number: record.find_number,
            project: record.project_code,
            ..TodayLine::default()
        }
    };
    Ok(section("Your open records", open.into_iter().map(line)))
}
