//! The finds that one entry covers, as its form lists them.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::links;
use domain::ids::{FindId, ProjectId};
use store::Tx;
use store::finds::Find;

/// A find on the form, with the pieces meant of it.
pub(crate) struct Chosen {
    pub id: FindId,
    pub number: String,
    pub href: String,
    pub words: String,
    pub bulk: bool,
    pub pieces: i64,
    /// As typed; empty means all.
    pub quantity: String,
}

impl Chosen {
    /// A line for each of `finds`; `ids` and `quantities` are the columns as they were typed, row by row.
    pub fn lines(finds: &[Find], ids: &[String], quantities: &[String]) -> Vec<Self> {
        finds.iter().map(|find| Self::of(find, ids, quantities)).collect()
    }

    fn of(find: &Find, ids: &[String], quantities: &[String]) -> Self {
        let at = ids.iter().position(|id| *id == find.id.to_string());
        let words = [&*find.object_type, &*find.material_name];
        Self {
            id: find.id,
            number: find.number.clone(),
            href: links::find(find.id),
            words: words.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", "),
            bulk: find.bulk,
            pieces: find.quantity,
            quantity: at.and_then(|at| quantities.get(at)).cloned().unwrap_or_default(),
        }
    }
}

/// The cautions of all of them, each once.
pub(crate) fn cautions(finds: &[Find]) -> Vec<String> {
    let mut cautions: Vec<String> =
        finds.iter().map(|find| find.caution.clone()).filter(|words| !words.is_empty()).collect();
    cautions.sort();
    cautions.dedup();
    cautions
}

/// Used by every form that carries ticked finds.
pub(crate) async fn load_chosen(
    ctx: &Ctx,
    tx: &mut Tx,
    project: ProjectId,
    ticked: &[String],
    most: usize,
) -> Answer<Vec<Find>> {
    let mut ids: Vec<FindId> = Vec::new();
    for id in ticked.iter().filter_map(|text| text.parse().ok()) {
        if !ids.contains(&id) {
            ids.push(id);
        }
    }
    if ids.is_empty() || ids.len() > most {
        let code = &ctx.actor.membership(project).ok_or(AppError::NotFound)?.code;
        let notice =
            format!("Tick between 1 and {most} finds in the list first, then say what to do with them.");
        return Err(ctx.lead_back(links::finds(code), &notice));
    }
    let mut finds = Vec::with_capacity(ids.len());
    for id in ids {
        let find = ctx.find(tx, id).await?;
        if find.project_id != project {
            return Err(AppError::NotFound);
        }
        finds.push(find);
    }
    Ok(finds)
}
