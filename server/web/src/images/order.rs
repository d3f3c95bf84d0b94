//! A photograph moves forward or back among those of its find.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Posted;
use crate::links;
use crate::path::Path;
use crate::work::enter::find_entry;
use domain::ids::{FindId, ImageId};

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct OrderForm {
    image: String,
    /// `forward` or `back`
    to: String,
}

pub(super) async fn update(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<OrderForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let mut order: Vec<ImageId> =
        store::images::list_of_find(&mut tx, id).await?.iter().map(|image| image.id).collect();
    let at = order.iter().position(|image| image.to_string() == posted.form.image);
    let gone = || AppError::Unreadable("That photograph no longer shows this find. Reload the page.".into());
    let at = at.ok_or_else(gone)?;
    let to = if posted.form.to == "forward" { at.saturating_sub(1) } else { (at + 1).min(order.len() - 1) };
    order.swap(at, to);
    store::images::update_order(&mut tx, id, &order).await?;
    let entry = find_entry(&ctx, &find, "ordered", "put the photographs in another order".into());
    store::journal::append(&mut tx, &entry, ctx.now).await?;
    let told = format!("The photograph is now number {} of {}.", to + 1, order.len());
    ctx.finish(tx, &posted, &links::images_of_find(id), &told).await
}
