//! The contexts and how they lie.
use super::Site;
use crate::vessenholt::ground::{AREAS, Area};
use domain::ids::ContextId;
use store::contexts::{self, NewContext};
use store::{Result, Tx};

pub(super) async fn load(tx: &mut Tx, site: &mut Site) -> Result<()> {
    for area in AREAS {
        let ids = enter(tx, site, area).await?;
        relate(tx, site, area, &ids).await?;
    }
    // The quay surface met the yard: one context with two numbers.
    let (a, b) = (site.contexts["111"], site.contexts["306"]);
    contexts::insert_relation(tx, site.project, a, b, "same_as").await
}

async fn enter(tx: &mut Tx, site: &mut Site, area: &Area) -> Result<Vec<ContextId>> {
    let mut ids = Vec::new();
    for (at, layer) in area.column.iter().enumerate() {
        let number = (area.first + at as u32).to_string();
        let new = NewContext {
            number: number.clone(),
            kind: layer.kind.into(),
            area: area.name.into(),
            phase: layer.phase.into(),
            interpretation: layer.interpretation.into(),
            description: String::new(),
            soil: layer.soil.into(),
            spot_date: String::new(),
        };
        let id = contexts::insert(tx, site.project, &new, site.now).await?;
        site.contexts.insert(number, id);
        ids.push(id);
    }
    Ok(ids)
}

/// From the top down each lies on the next; a fill lies in its cut, the cut goes through what is below.
async fn relate(tx: &mut Tx, site: &Site, area: &Area, ids: &[ContextId]) -> Result<()> {
    let mut order: Vec<usize> = (0..ids.len()).collect();
    for at in 0..order.len().saturating_sub(1) {
        if area.column[order[at]].cuts && area.column[order[at + 1]].kind == "fill" {
            order.swap(at, at + 1);
        }
    }
    for pair in order.windows(2) {
        let kind = if area.column[pair[0]].cuts { "cuts" } else { "above" };
        contexts::insert_relation(tx, site.project, ids[pair[0]], ids[pair[1]], kind).await?;
    }
    Ok(())
}
