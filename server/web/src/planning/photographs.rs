//! What waits on Today for whoever photographs: what the finds last worked on lack by the shot list.
use super::today::{Section, TodayLine};
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use domain::permission::Action;
use store::Tx;

/// Finds looked at, the last that moved on.
const LOOKED: i64 = 40;
/// Lines shown; the shot list shows all.
const MOST_LINES: usize = 15;

/// For people who photograph and do not work at the bench: whoever does has a shot list on each find.
pub(super) async fn lacking(ctx: &Ctx, tx: &mut Tx) -> Answer<Section> {
    let mut lines = Vec::new();
    let mut all = Vec::new();
    let photographs = ctx.actor.projects(Action::UploadImages);
    for member in photographs.filter(|member| !member.grants(Action::RecordWork)) {
        let rules = store::shots::find_list(tx, member.project).await?.rules;
        let finds = store::shots::list_recent(tx, member.project, member.restricted, LOOKED).await?;
        for find in finds {
            let lacks = crate::shots::lacking(tx, find.id, &find.material, &rules).await?;
            if lacks.is_empty() {
                continue;
            }
            lines.push(TodayLine {
                href: links::shots_of_find(find.id),
                number: find.number,
                what: find.object_type,
                why: lacks.join("; "),
                project: member.code.clone(),
                ..TodayLine::default()
            });
        }
        all.push((links::shots(&member.code), format!("The whole shot list of {}", member.code)));
    }
    lines.truncate(MOST_LINES);
    Ok(Section { title: "Photographs lacking on finds last worked on", lines, all })
}
