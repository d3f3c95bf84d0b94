//! What specialists ask of finds and nobody has answered.
use super::today::{MOST, Section, TodayLine};
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use domain::permission::Action;
use store::Tx;
use store::review::threads;

pub(super) async fn section(ctx: &Ctx, tx: &mut Tx) -> Answer<Section> {
    let mut lines = Vec::new();
    for member in ctx.actor.projects(Action::AnswerQuestions) {
        for open in threads::list_open(tx, member.project, member.restricted, MOST).await? {
            let days = (ctx.now - open.written_at).num_days();
            let since = match days {
                0 => "today".to_owned(),
                1 => "since yesterday".to_owned(),
                n => format!("for {n} days"),
            };
            let line = TodayLine {
                href: links::find(open.find_id),
                number: open.number,
                what: open.words,
                why: format!("{}, by {}, {since}", open.kind.label(), open.specialist_name),
                project: member.code.clone(),
                step: Some((links::questions(open.find_id), "Answer".into())),
                ..TodayLine::default()
            };
            lines.push((open.written_at, line));
        }
    }
    lines.sort_by_key(|(at, _)| *at);
    let lines = lines.into_iter().map(|(_, line)| line).collect();
    Ok(Section::whole("Asked by specialists", lines))
}
