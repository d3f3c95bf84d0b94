//! The label of a box.
use super::Known;
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::path::Path;
use crate::report::show::paper;
use domain::ids::PlaceId;
use domain::packing;
use report::labels::{self, BoxLabel};

pub(super) async fn label(ctx: Ctx, Path(id): Path<PlaceId>) -> Answer {
    let known = Known::load(&ctx, &mut ctx.read().await?, id).await?;
    let sealing = known.sealing();
    let mut materials: Vec<String> =
        known.contents.iter().map(|content| content.material_name.clone()).collect();
    materials.sort();
    materials.dedup();
    let number = |content: &store::boxes::Content| match content.quantity {
        Some(pieces) => format!("{} ({pieces})", content.number),
        None => content.number.clone(),
    };
    let mut cautions: Vec<String> =
        sealing.and_then(|s| s.gross_kg).and_then(packing::handling).map(str::to_owned).into_iter().collect();
    if known.contents.iter().any(|content| content.material == "glass") {
        cautions.push("Glass: sharp.".into());
    }
    let label = BoxLabel {
        site_code: known.stored.project_code.clone(),
        name: known.stored.name.clone(),
        finds: known.contents.iter().map(number).collect(),
        materials,
        climate: sealing.and_then(|s| s.band()).map(packing::band_words).unwrap_or_default(),
        gel: sealing.map(super::form::gel_words).unwrap_or_default(),
        sealed_on: sealing.map(|s| s.sealed_on),
        next_check_on: sealing.and_then(|s| s.next_check_on),
        gross_kg: sealing.and_then(|s| s.gross_kg),
        cautions,
        url: format!("{}{}", ctx.app.config.base_url, links::stored_box(id)),
    };
    let file = format!("{}-box.pdf", label.site_code);
    let today = ctx.now.date_naive();
    let bytes = ctx.app.press.print(move || labels::box_pdf(&label, today)).await?;
    Ok(paper(&file, bytes))
}
