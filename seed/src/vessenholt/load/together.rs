//! What belongs together and what does not: groups, a piece taken out, sherds that join; filters kept, a gate lifted.
use super::progress::entry;
use super::{Placed, Site};
use crate::vessenholt::cast::{BEA, ODILE, PETRA, TOMAS};
use chrono::Duration;
use domain::stages::{Gate, Headline, Stage, StageState};
use store::finds::{Find, NewFind, quantity};
use store::journal::Entry;
use store::work::holds;
use store::{Result, Tx, groups, journal, saved_filters};

/// The first number of the contexts of the chapel begins so.
const CHAPEL: char = '2';
/// Pieces of a bag of bone out of which one is taken, at least.
const OUT_OF: i64 = 20;
/// Mass of the piece taken out, in g.
const PIECE_G: f64 = 6.4;

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    let chapel: Vec<&Placed> = site.finds.iter().filter(|find| lies_in(site, find, CHAPEL)).collect();
    let (mut pennies, mut panes) = (Vec::new(), Vec::new());
    for find in chapel {
        match find.material.as_str() {
            "coin" if find.object.starts_with("penny") => pennies.push(find),
            "glass" if find.object.starts_with("window") => panes.push(find),
            _ => {}
        }
    }
    let note = "Long cross, clipped alike, from the pit below up to the robber trench: one purse, scattered by digging?";
    group(tx, site, ("Pennies of the chapel", note), &pennies, 12).await?;
    let note = "The same potash glass, and trefoils that go on from one pane to the next.";
    group(tx, site, ("Window of the chancel, south side", note), &panes, 11).await?;
    keep_filters(tx, site).await?;
    take_out(tx, site).await?;
    join(tx, site).await?;
    lift(tx, site).await
}

/// Whether a find was dug in the contexts that begin with a digit.
fn lies_in(site: &Site, find: &Placed, area: char) -> bool {
    site.contexts.iter().any(|(number, id)| Some(*id) == find.context && number.starts_with(area))
}

async fn group(
    tx: &mut Tx,
    site: &Site,
    (name, note): (&str, &str),
    members: &[&Placed],
    days_ago: i64,
) -> Result<()> {
    let at = site.at_work(site.now - Duration::days(days_ago));
    let group = groups::insert(tx, site.project, name, note, at).await?;
    for find in members {
        groups::insert_member(tx, group, find.id).await?;
        let words = format!("laid to the group {name}");
        journal::append(tx, &Entry { verb: "grouped", ..entry(site, find, ODILE, words) }, at).await?;
    }
    Ok(())
}

/// One each, as the list of finds writes them into its address.
async fn keep_filters(tx: &mut Tx, site: &Site) -> Result<()> {
    let kept = [
        (ODILE, "Iron for the next plates", "stage=xray&material=iron&sort=waiting"),
        (PETRA, "With the specialists", "headline=review&sort=waiting"),
    ];
    for (who, name, query) in kept {
        let at = site.at_work(site.now - Duration::days(7));
        saved_filters::insert(tx, site.project, site.person(who), (name, query), at).await?;
    }
    Ok(())
}

/// A find as it is kept now, unless it is held, void or on somebody's bench.
async fn free(tx: &mut Tx, find: &Placed) -> Result<Option<Find>> {
    let known = store::finds::find_unguarded(tx, find.id).await?;
    Ok(known.filter(|find| !find.held && find.void_at.is_none() && find.assignee_id.is_none()))
}

/// A sawn piece turns up in a bag of kitchen waste.
async fn take_out(tx: &mut Tx, site: &Site) -> Result<()> {
    let at = site.at_work(site.now - Duration::days(5));
    let bags: Vec<&Placed> =
        site.finds.iter().filter(|find| !find.told && find.bulk && find.material == "animal_bone").collect();
    for bag in bags {
        let Some(from) = free(tx, bag).await? else { continue };
        if from.stage != Stage::FirstAid || from.quantity < OUT_OF {
            continue;
        }
        let piece = NewFind {
            number: store::finds::next_number(tx, site.project).await?,
            bulk: false,
            quantity: 1,
            weight_g: Some(PIECE_G),
            fragments: None,
            object_type: "bone, sawn at both ends".into(),
            ..from.as_new()
        };
        let reason = "sawn flat at both ends: a blank for a handle, to lie with the worked bone";
        quantity::split(tx, &from, &piece, reason, site.person(BEA), at).await?;
        let words = format!("took {} out as {}: {reason}", piece.quantity, piece.number);
        let told = Entry { verb: "split", ..entry(site, bag, BEA, words) };
        return journal::append(tx, &told, at).await;
    }
    Ok(())
}

/// Two sherds of one context fit; the second keeps its number as void.
async fn join(tx: &mut Tx, site: &Site) -> Result<()> {
    let at = site.at_work(site.now - Duration::days(4));
    let sherds: Vec<&Placed> =
        site.finds.iter().filter(|find| !find.told && !find.bulk && find.material == "ceramic").collect();
    for second in &sherds {
        let Some(other) = free(tx, second).await? else { continue };
        if other.stage != Stage::FirstAid {
            continue;
        }
        for first in &sherds {
            let alike = first.context == second.context && first.object == second.object;
            if first.id == second.id || !alike {
                continue;
            }
            let Some(into) = free(tx, first).await? else { continue };
            if into.headline >= Headline::Review {
                continue;
            }
            let reason = "the breaks fit along 4 cm, and the wear runs on over both";
            let others = std::slice::from_ref(&other);
            quantity::join(tx, &into, others, (1, reason), site.person(BEA), at).await?;
            let into_words = format!("joined with {}: {reason}", other.number);
            let other_words = format!("joined into {}: {reason}", into.number);
            let told = [
                Entry { verb: "joined", ..entry(site, first, BEA, into_words) },
                Entry { verb: "joined", ..entry(site, second, BEA, other_words) },
            ];
            return journal::append_all(tx, &told, at).await;
        }
    }
    Ok(())
}

/// Lead that no plate shows anything of is cleaned without one.
async fn lift(tx: &mut Tx, site: &Site) -> Result<()> {
    let at = site.at_work(site.now - Duration::days(3));
    let leads: Vec<&Placed> =
        site.finds.iter().filter(|find| !find.told && find.material == "lead").collect();
    for lead in leads {
        let Some(known) = free(tx, lead).await? else { continue };
        if (known.stage, known.stage_state) != (Stage::Xray, StageState::Waiting) {
            continue;
        }
        let gate = Gate::XrayFirst;
        let reason = "too thick for a plate to show anything; the soil may come off dry before";
        holds::insert_lift(tx, lead.id, gate, reason, site.person(TOMAS), at).await?;
        let words = format!("lifted the gate “{}”: {reason}", gate.label());
        let told = Entry { verb: "lifted", ..entry(site, lead, TOMAS, words) };
        return journal::append(tx, &told, at).await;
    }
    Ok(())
}
