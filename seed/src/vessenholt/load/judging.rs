//! Finds judged residual where they lie.
use super::Site;
use super::progress::entry;
use crate::vessenholt::cast::BEA;
use crate::vessenholt::stories::RESIDUAL;
use chrono::Duration;
use domain::review::Origin;
use store::dating::judgements::{self, NewJudgement};
use store::journal::{self, Entry};
use store::{Result, Tx};

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    let (number, reason) = RESIDUAL;
    let (find, at) = (site.find(number), site.now - Duration::days(5));
    let Some(context) = find.context else { return Ok(()) };
    let new = NewJudgement { find: find.id, context, origin: Origin::Residual, reason: reason.into() };
    judgements::insert(tx, &new, site.person(BEA), at).await?;
    let words = format!("judged it residual in its context: {reason}");
    let entry = Entry { context: Some(context), verb: "judged", ..entry(site, find, BEA, words) };
    journal::append(tx, &entry, at).await
}
