//! Finds judged residual where they lie, and a settlement that a later count opened again.
use super::Site;
use super::progress::entry;
use crate::vessenholt::cast::BEA;
use crate::vessenholt::stories::RESIDUAL;
use chrono::Duration;
use domain::dispatch::Change;
use domain::review::Origin;
use store::dating::judgements::{self, NewJudgement};
use store::finds::quantity::{NewEvent, Part, insert_event};
use store::journal::{self, Entry};
use store::review::{reopenings, settlements};
use store::{Result, Tx};

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    let (number, reason) = RESIDUAL;
    let (find, at) = (site.find(number), site.now - Duration::days(5));
    let Some(context) = find.context else { return Ok(()) };
    let new = NewJudgement { find: find.id, context, origin: Origin::Residual, reason: reason.into() };
    judgements::insert(tx, &new, site.person(BEA), at).await?;
    let words = format!("judged it residual in its context: {reason}");
    let entry = Entry { context: Some(context), verb: "judged", ..entry(site, find, BEA, words) };
    journal::append(tx, &entry, at).await?;
    open_again(tx, site).await
}

/// A sherd more turns up after its find was settled. Of what happened before the demo began nobody is written to.
async fn open_again(tx: &mut Tx, site: &Site) -> Result<()> {
    let at = site.now - Duration::days(2);
    for placed in &site.finds {
        let settled = settlements::list_of_find(tx, placed.id).await?;
        let Some(find) = store::finds::find_unguarded(tx, placed.id).await? else { continue };
        if settled.is_empty() || find.void_at.is_some() || find.restricted || find.quantity < 2 {
            continue;
        }
        let event = NewEvent {
            project: site.project,
            change: Change::Found,
            reason: "One more lay in the residue of the sieve.".into(),
            parts: vec![Part {
                find: find.id,
                quantity: (find.quantity, find.quantity + 1),
                weight_g: (find.weight_g, find.weight_g),
            }],
            line: None,
        };
        insert_event(tx, &event, site.person(BEA), at).await?;
        break;
    }
    for untold in reopenings::list_untold(tx).await? {
        reopenings::update_told(tx, &untold, site.now).await?;
    }
    Ok(())
}
