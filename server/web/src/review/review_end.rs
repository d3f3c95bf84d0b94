//! Specialist review ends when everybody who was asked has answered.
use crate::context::Ctx;
use crate::error::Answer;
use domain::stages::{Stage, StageMark, StageState};
use store::Tx;
use store::finds::{Find, progress};
use store::review::{assignments, opinions};

/// Marks the stage as done if nobody is left to answer.
pub(super) async fn end(ctx: &Ctx, tx: &mut Tx, find: &Find) -> Answer<()> {
    let asked = assignments::list_of_find(tx, find.id).await?;
    let said = opinions::list_of_find(tx, find.id).await?;
    let progress = progress::find_progress(tx, find.id).await?;
    let all =
        asked.iter().all(|a| a.closed_at.is_some() || said.iter().any(|o| o.author_id == a.specialist_id));
    if all && progress.route.has(Stage::Review) && !progress.is_settled(Stage::Review) {
        let mark = StageMark {
            stage: Stage::Review,
            state: StageState::Done,
            quantity_done: find.quantity,
            reason: String::new(),
        };
        progress::mark(tx, find.id, &mark, ctx.now).await?;
    }
    Ok(())
}
