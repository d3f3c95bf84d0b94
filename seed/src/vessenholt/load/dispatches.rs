//! What left the house: sherds that are late, glass of which a piece did not come back, a coin that did, a sample on its way.
use super::progress::entry;
use super::{Placed, Site};
use crate::vessenholt::cast::{BEA, SABINE};
use chrono::{Duration, NaiveDate};
use domain::Instant;
use domain::dispatch::{Amount, Way};
use domain::ids::DispatchId;
use store::dispatches::receipts::{self, NewLine, NewReceipt};
use store::dispatches::{self, NewDispatch, NewItem, items};
use store::{Result, Tx, journal};

/// A dispatch as it is told.
struct Sent {
    numbers: &'static [&'static str],
    /// To Sabine, or to somebody without an account.
    to: Option<&'static str>,
    purpose: &'static str,
    packing: &'static str,
    carrier: &'static str,
    sampling: &'static str,
    condition: &'static str,
    days_ago: i64,
    due_in_days: i64,
}

const SENT: &[Sent] = &[
    Sent {
        numbers: &["5"],
        to: None,
        purpose: "identification and date",
        packing: "coin envelope in a rigid box",
        carrier: "by hand",
        sampling: "",
        condition: "stable, legend partly legible",
        days_ago: 34,
        due_in_days: -6,
    },
    Sent {
        numbers: &["90"],
        to: None,
        purpose: "joins and type of glazing",
        packing: "foam cut-outs, one layer, 42 % RH",
        carrier: "by hand",
        sampling: "",
        condition: "stable if conditions are held, iridescent",
        days_ago: 26,
        due_in_days: 2,
    },
    Sent {
        numbers: &["4"],
        to: None,
        purpose: "form and date",
        packing: "sealed bag in a padded crate",
        carrier: "Tidewater Couriers",
        sampling: "",
        condition: "good, stable",
        days_ago: 19,
        due_in_days: -4,
    },
    Sent {
        numbers: &["91"],
        to: Some("Weir Lane Metallurgy"),
        purpose: "section of one nail, slag inclusions",
        packing: "sealed box with gel, indicator 12 %",
        carrier: "Tidewater Couriers",
        sampling: "one nail",
        condition: "fair, unstable",
        days_ago: 9,
        due_in_days: 33,
    },
];

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    for sent in SENT {
        let at = site.now - Duration::days(sent.days_ago);
        let (id, finds) = send(tx, site, sent, site.at_work(at)).await?;
        match sent.numbers {
            ["91"] => {}
            ["4"] => {
                let arrived = site.at_work(at + Duration::days(2));
                count(tx, site, (id, &finds[0]), (Way::There, 12), arrived).await?;
            }
            [number] => {
                let pieces = finds[0].pieces;
                let back = if *number == "90" { pieces - 1 } else { pieces };
                let arrived = site.at_work(at + Duration::days(1));
                count(tx, site, (id, &finds[0]), (Way::There, pieces), arrived).await?;
                let home = site.at_work(at + Duration::days(sent.days_ago - 3));
                dispatches::update_complete(tx, id, Some(home)).await?;
                count(tx, site, (id, &finds[0]), (Way::Back, back), home).await?;
            }
            _ => {}
        }
        dispatches::refresh(tx, id, site.now).await?;
    }
    Ok(())
}

async fn send(tx: &mut Tx, site: &Site, sent: &Sent, at: Instant) -> Result<(DispatchId, Vec<Placed>)> {
    let finds: Vec<Placed> = sent.numbers.iter().map(|number| site.find(number).clone()).collect();
    let item = |find: &Placed| NewItem {
        find: find.id,
        amount: Amount { pieces: find.pieces, mass_g: Some(find.mass_g) },
        condition: sent.condition.into(),
    };
    let new = NewDispatch {
        project: site.project,
        recipient_id: sent.to.is_none().then(|| site.person(SABINE)),
        recipient: sent.to.unwrap_or("Sabine Okafor-Lind").into(),
        address: String::new(),
        purpose: sent.purpose.into(),
        packing: sent.packing.into(),
        carrier: sent.carrier.into(),
        insurer: String::new(),
        sampling: sent.sampling.into(),
        lifted: String::new(),
        sent_on: at.date_naive(),
        due_on: day(site.now + Duration::days(sent.due_in_days)),
        sent_by: "Bea Lisle-Okoro".into(),
        items: finds.iter().map(item).collect(),
    };
    let (id, serial) = dispatches::insert(tx, &new, site.person(BEA), at).await?;
    for find in &finds {
        let words =
            format!("dispatched {} pieces, {} g, to {} (D{serial})", find.pieces, find.mass_g, new.recipient);
        journal::append(tx, &entry(site, find, BEA, words), at).await?;
    }
    Ok((id, finds))
}

async fn count(
    tx: &mut Tx,
    site: &Site,
    (id, find): (DispatchId, &Placed),
    (way, pieces): (Way, i64),
    at: Instant,
) -> Result<()> {
    let (who, name) = match way {
        Way::There => (SABINE, "Sabine Okafor-Lind"),
        Way::Back => (BEA, "Bea Lisle-Okoro"),
    };
    let amount = Amount { pieces, mass_g: Some(find.mass_g) };
    let lines = items::list(tx, id).await?.into_iter().map(|item| NewLine {
        item: item.id,
        amount,
        condition: String::new(),
    });
    let new = NewReceipt {
        dispatch: id,
        way,
        received_on: day(at),
        received_by: name.into(),
        note: String::new(),
        lines: lines.collect(),
        supersedes: None,
    };
    receipts::insert(tx, &new, site.person(who), at).await?;
    let words = format!("{}: {pieces} pieces, {} g", way.label(), find.mass_g);
    journal::append(tx, &entry(site, find, who, words), at).await
}

fn day(at: Instant) -> NaiveDate {
    at.date_naive()
}
