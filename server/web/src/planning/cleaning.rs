//! What waits on Today because of cleaning: spots to be looked at again.
use super::today::{MOST, Section, TodayLine};
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_moment;
use crate::links;
use domain::permission::{Action, may_record};
use domain::stages::Stage;
use store::Tx;

/// Spots of tests that wait for their later look, for whoever may record tests.
pub(super) async fn later_looks(ctx: &Ctx, tx: &mut Tx) -> Answer<Section> {
    let mut found = Vec::new();
    for member in ctx.actor.projects(Action::RecordWork) {
        if may_record(&ctx.actor, member.project, Stage::SpotTest, false, "") {
            found.extend(
                store::work::spot_tests::list_due(tx, member.project, member.restricted, MOST).await?,
            );
        }
    }
    found.sort_by_key(|look| look.due_at);
    let line = |look: store::work::spot_tests::DueLook| TodayLine {
        href: links::recheck(look.record_id),
        number: look.find_number,
        what: [look.object_type, look.site]
            .into_iter()
            .filter(|w| !w.is_empty())
            .collect::<Vec<_>>()
            .join(", "),
        why: format!("tested with {}, look again {}", look.mixture, show_moment(look.due_at)),
        overdue: look.due_at < ctx.now,
        project: look.project_code,
        button: None,
    };
    let most = usize::try_from(MOST).unwrap_or(usize::MAX);
    let lines = found.into_iter().map(line).take(most).collect();
    Ok(Section { title: "Spots to look at again", lines, all: None, all_words: String::new() })
}
