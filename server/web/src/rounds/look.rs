//! One pack looked at and found in order, straight from Today or from its find.
use super::enter;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Posted;
use crate::links;
use crate::path::Path;
use domain::ids::ClockId;

#[derive(Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct LookForm {
    /// `find` and `bench` lead back there, everything else to Today.
    back: String,
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<ClockId>, posted: Posted<LookForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let pack = enter::load_one(&ctx, &mut tx, id).await?;
    // a review is answered by an assessment, not by a tap
    let pack = pack.filter(|pack| pack.kind.is_of_rounds()).ok_or(AppError::NotFound)?;
    enter::well(&ctx, &mut tx, &pack).await?;
    let to = match posted.form.back.as_str() {
        "find" => links::find(pack.find_id),
        "bench" => links::BENCH.to_owned(),
        _ => links::TODAY.to_owned(),
    };
    let words = format!("{} looked at and in order.", pack.number);
    ctx.finish(tx, &posted, &to, &words).await
}
