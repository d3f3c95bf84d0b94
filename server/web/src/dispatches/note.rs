//! The note that travels with a dispatch, as PDF.
use super::Known;
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::path::Path;
use crate::report::show::paper;
use domain::ids::DispatchId;
use report::dispatch_note::{self, DispatchNote, NoteLine};
use store::dispatches::items::Item;

pub(super) async fn show(ctx: Ctx, Path(id): Path<DispatchId>) -> Answer {
    let mut tx = ctx.read().await?;
    let known = Known::load(&ctx, &mut tx, id).await?;
    let project = store::projects::find(&mut tx, known.dispatch.project_id).await?;
    drop(tx);
    let (note, today) =
        (note(&ctx, &known, project.map(|p| p.site).unwrap_or_default()), ctx.now.date_naive());
    let bytes = ctx.app.press.print(move || dispatch_note::pdf(&note, today)).await?;
    let name = format!("{}-D{}.pdf", known.dispatch.project_code, known.dispatch.serial);
    Ok(paper(&name, bytes))
}

fn note(ctx: &Ctx, known: &Known, site: String) -> DispatchNote {
    let dispatch = &known.dispatch;
    let line = |item: &Item| {
        let sent = known.account(item).sent;
        NoteLine {
            number: item.number.clone(),
            what: if item.object_type.is_empty() {
                item.material_name.clone()
            } else {
                item.object_type.clone()
            },
            material: item.material_name.clone(),
            pieces: sent.pieces,
            mass_g: sent.mass_g,
            condition: item.condition.clone(),
        }
    };
    DispatchNote {
        name: dispatch.name(),
        project: dispatch.project_name.clone(),
        site,
        recipient: dispatch.recipient.clone(),
        address: dispatch.address.clone(),
        purpose: dispatch.purpose.clone(),
        packing: dispatch.packing.clone(),
        carrier: dispatch.carrier.clone(),
        insurer: dispatch.insurer.clone(),
        sampling: dispatch.sampling.clone(),
        sent_on: dispatch.sent_on,
        due_on: dispatch.due_on,
        sent_by: dispatch.sent_by.clone(),
        lines: known.items.iter().map(line).collect(),
        left_out: known.hidden,
        url: format!("{}{}", ctx.app.config.base_url, links::dispatch(dispatch.id)),
    }
}
