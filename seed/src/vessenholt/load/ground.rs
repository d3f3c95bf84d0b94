//! The contexts and how they lie.
use super::{Placed, Site};
use crate::vessenholt::cast::BEA;
use crate::vessenholt::ground::{AREAS, Area, BESIDE, FIXED, SAID_TWICE};
use chrono::Duration;
use domain::ids::ContextId;
use store::contexts::{self, NewContext};
use store::dating::fixed_years::{self, NewFixedYear};
use store::journal::{self, Entry};
use store::{Result, Tx};

pub(super) async fn load(tx: &mut Tx, site: &mut Site) -> Result<()> {
    for area in AREAS {
        let ids = enter(tx, site, area).await?;
        relate(tx, site, area, &ids).await?;
    }
    // The workshop waste of the quay ran on into the yard: one context with two numbers.
    let (a, b) = (site.contexts["110"], site.contexts["310"]);
    contexts::insert_relation(tx, site.project, a, b, "same_as").await?;
    for (later, earlier) in SAID_TWICE {
        let (later, earlier) = (site.contexts[*later], site.contexts[*earlier]);
        contexts::insert_relation(tx, site.project, later, earlier, "above").await?;
    }
    fix(tx, site).await
}

/// The year by which a floor was there.
async fn fix(tx: &mut Tx, site: &Site) -> Result<()> {
    let (number, year, reason) = FIXED;
    let (context, words) = (site.contexts[number], format!("AD {year}"));
    let told = format!("fixed {words} as the year by which context {number} was there: {reason}");
    let new = NewFixedYear { context, year, words, reason: reason.into() };
    let (bea, at) = (site.person(BEA), site.at_work(site.now - Duration::days(15)));
    fixed_years::insert(tx, &new, bea, at).await?;
    let entry = Entry {
        project: Some(site.project),
        context: Some(context),
        verb: "judged",
        words: told,
        by: Some(bea),
        ..Entry::default()
    };
    journal::append(tx, &entry, at).await
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
        let (cut, fill) = (area.column[order[at]], area.column[order[at + 1]]);
        if cut.cuts && fill.kind == "fill" && fill.phase == cut.phase {
            order.swap(at, at + 1);
        }
    }
    let number = |at: usize| area.first + order[at] as u32;
    let is_beside = |at: usize| BESIDE.contains(&(number(at), number(at + 1)));
    let mut pairs = Vec::new();
    for at in 0..order.len().saturating_sub(1) {
        if is_beside(at) {
            pairs.extend([(at - 1, at + 1), (at, at + 2)]);
        } else {
            pairs.push((at, at + 1));
        }
    }
    for (later, earlier) in pairs {
        let kind = if area.column[order[later]].cuts { "cuts" } else { "above" };
        contexts::insert_relation(tx, site.project, ids[order[later]], ids[order[earlier]], kind).await?;
    }
    Ok(())
}

impl Site {
    /// The number of the phase a find was dug in; without a context the last.
    pub(super) fn phase_of(&self, find: &Placed) -> u8 {
        let number =
            self.contexts.iter().find(|(_, id)| Some(**id) == find.context).map(|(number, _)| number);
        let number: Option<u32> = number.and_then(|number| number.parse().ok());
        let layer = number.and_then(|number| {
            let area = AREAS.iter().rfind(|area| area.first <= number)?;
            area.column.get((number - area.first) as usize)
        });
        layer.and_then(|layer| layer.phase.as_bytes().first()).map_or(6, |digit| digit.wrapping_sub(b'0'))
    }
}
