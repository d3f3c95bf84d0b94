//! Finds judged residual where they lie, a settlement that a later count opened again, rings measured on a stamp.
use super::Site;
use super::progress::entry;
use crate::vessenholt::cast::BEA;
use crate::vessenholt::stories::RESIDUAL;
use chrono::Duration;
use domain::dispatch::Change;
use domain::review::Origin;
use domain::rings::NewMould;
use store::dating::judgements::{self, NewJudgement};
use store::finds::quantity::{NewEvent, Part, insert_event};
use store::journal::{self, Entry};
use store::review::{reopenings, settlements};
use store::rings::NewRingSet;
use store::{Result, Tx};

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    let (number, reason) = RESIDUAL;
    let (find, at) = (site.find(number), site.at_work(site.now - Duration::days(5)));
    let Some(context) = find.context else { return Ok(()) };
    let new = NewJudgement { find: find.id, context, origin: Origin::Residual, reason: reason.into() };
    judgements::insert(tx, &new, site.person(BEA), at).await?;
    let words = format!("judged it residual in its context: {reason}");
    let entry = Entry { context: Some(context), verb: "judged", ..entry(site, find, BEA, words) };
    journal::append(tx, &entry, at).await?;
    open_again(tx, site).await?;
    rings(tx, site).await
}

/// The rings of a stamp measured, and an invented list of stamps to compare them with, two of them nearly alike.
async fn rings(tx: &mut Tx, site: &Site) -> Result<()> {
    let Some(jar) = site.finds.iter().find(|find| find.object == "jar, stamped") else { return Ok(()) };
    let at = site.at_work(site.now - Duration::days(3));
    let stamp = |name: &str, rings: &[f64]| NewMould { name: name.into(), rings_mm: rings.to_vec() };
    let stamps = [
        stamp("Kiln A, stamp 1", &[6.0, 12.0, 19.0, 26.0]),
        stamp("Kiln A, stamp 2", &[6.1, 12.2, 19.3, 26.2]),
        stamp("Kiln B, stamp 1", &[5.5, 12.5, 18.5, 27.0]),
        stamp("Kiln C, stamp 4", &[7.0, 11.0, 20.0, 25.5]),
        stamp("Kiln C, stamp 5", &[6.0, 12.0, 18.0]),
    ];
    let source = "Casts of stamps from the town kilns, measured by Bea Lisle-Okoro";
    let list = ("Stamps of the town kilns", source, &stamps[..]);
    store::rings::insert_list(tx, site.project, list, site.person(BEA), at).await?;
    let measured = NewRingSet {
        find: jar.id,
        rings_mm: vec![5.9, 11.8, 18.7, 25.4],
        u_mm: 0.15,
        scale_mean: 1.0,
        scale_sd: 0.02,
        measured_with: "callipers".into(),
        done_by: "Bea Lisle-Okoro".into(),
        done_on: at.date_naive(),
    };
    store::rings::insert_set(tx, &measured, site.person(BEA), at).await?;
    let words = "measured its rings: 5.9, 11.8, 18.7, 25.4 mm".to_owned();
    journal::append(tx, &entry(site, jar, BEA, words), at).await
}

/// A sherd more turns up after its find was settled. Of what happened before the demo began nobody is written to.
async fn open_again(tx: &mut Tx, site: &Site) -> Result<()> {
    let at = site.at_work(site.now - Duration::days(2));
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
