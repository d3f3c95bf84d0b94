//! Which finds a photograph shows.
use super::show;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::again;
use crate::path::Path;
use crate::work::enter::find_entry;
use axum::response::IntoResponse;
use domain::ids::{FindId, ImageId};
use store::Tx;
use store::finds::Find;
use store::images::Image;

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct FindsForm {
    numbers: String,
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<ImageId>, posted: Posted<FindsForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let image = ctx.image(&mut tx, id).await?;
    let mut errors = Errors::default();
    let finds = read_numbers(&ctx, &mut tx, &image, &posted.form.numbers, &mut errors).await?;
    if !errors.is_empty() {
        let mut page = show::page(&ctx, &mut tx, image).await?;
        page.numbers = posted.form.numbers;
        page.errors = errors;
        return Ok(again(page).into_response());
    }
    for find in &finds {
        if store::images::insert_find(&mut tx, id, find.id).await? {
            let words = format!("added the photograph {}", image.file_name);
            store::journal::append(&mut tx, &find_entry(&ctx, find, "photographed", words), ctx.now).await?;
        }
    }
    let numbers: Vec<&str> = finds.iter().map(|find| find.number.as_str()).collect();
    ctx.finish(
        tx,
        &posted,
        &links::image_page(id),
        &format!("The photograph shows {} too.", numbers.join(", ")),
    )
    .await
}

async fn read_numbers(
    ctx: &Ctx,
    tx: &mut Tx,
    image: &Image,
    typed: &str,
    errors: &mut Errors,
) -> Answer<Vec<Find>> {
    let mut finds: Vec<Find> = Vec::new();
    for number in typed.split([',', ';', '\n']).filter_map(domain::finds::number::normal) {
        let found = match store::finds::find_by_number(tx, image.project_id, &number).await? {
            Some(id) => store::finds::find_visible(tx, &ctx.actor, id).await?,
            None => None,
        };
        match found {
            None => {
                errors.add("numbers", format!("There is no find {number} here. Part the numbers by commas."))
            }
            Some(find) => finds.push(find),
        }
    }
    if finds.is_empty() {
        errors.add("numbers", "Give the numbers of the finds it shows.");
    }
    Ok(finds)
}

pub(super) async fn remove(
    ctx: Ctx,
    Path((id, of)): Path<(ImageId, FindId)>,
    posted: Posted<FindsForm>,
) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let image = ctx.image(&mut tx, id).await?;
    let find = ctx.find(&mut tx, of).await?;
    let shown = store::images::list_finds(&mut tx, id).await?;
    if !shown.iter().any(|line| line.id == of) {
        return Err(AppError::NotFound);
    }
    if shown.len() == 1 {
        let mut page = show::page(&ctx, &mut tx, image).await?;
        page.errors.add(
            "numbers",
            format!(
                "{} is the only find it shows. Add the right one first, or withdraw the photograph.",
                find.number
            ),
        );
        return Ok(again(page).into_response());
    }
    store::images::delete_find(&mut tx, id, of).await?;
    let words = format!("took the photograph {} off: it does not show this find", image.file_name);
    store::journal::append(&mut tx, &find_entry(&ctx, &find, "photographed", words), ctx.now).await?;
    let still_seen = store::images::find_visible(&mut tx, &ctx.actor, id).await?.is_some();
    let to = if still_seen { links::image_page(id) } else { links::images_of_find(of) };
    ctx.finish(tx, &posted, &to, &format!("It is no longer a photograph of {}.", find.number)).await
}
