//! Settlements that are open again, on Today of whoever settles.
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_day;
use crate::links;
use crate::planning::today::{Section, TodayLine};
use domain::permission::Action;
use store::Tx;
use store::review::reopenings;

/// Most lines of the section.
const MOST: i64 = 30;

/// What was settled and is open again, the longest open first.
pub(crate) async fn section(ctx: &Ctx, tx: &mut Tx) -> Answer<Section> {
    let mut lines: Vec<TodayLine> = Vec::new();
    for member in ctx.actor.projects(Action::Settle) {
        for open in reopenings::list_open(tx, member.project, member.restricted, MOST).await? {
            let href = links::opinions(open.find_id);
            let why = format!("since {}: {}", show_day(open.happened_at.date_naive()), open.cause);
            match lines.iter_mut().find(|line| line.href == href) {
                // the same find opened more than once
                Some(line) => line.why = format!("{}; {}", line.why, open.cause),
                None => lines.push(TodayLine {
                    href,
                    number: open.number,
                    what: open.object_type,
                    why,
                    project: member.code.clone(),
                    ..TodayLine::default()
                }),
            }
        }
    }
    Ok(Section::whole("Settlements open again", lines))
}
