//! A box of iron with gel, opened once and sealed anew.
use super::progress::{entry, mark};
use super::{Placed, Site};
use crate::vessenholt::cast::ODILE;
use crate::vessenholt::stories::HINGE;
use chrono::Duration;
use domain::clocks::ClockKind;
use domain::packing::Sealing;
use domain::stages::Stage;
use domain::work::Detail;
use store::places::{NewMovement, NewPlace};
use store::work::records::{self, NewRecord};
use store::{Result, Tx, boxes, clocks, journal, places};

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    let find = site.find(HINGE).clone();
    let (first, again) = (site.now - Duration::days(15), site.now - Duration::days(4));
    let parent = site.places.get("metal1").copied();
    let new = NewPlace { project: site.project, parent, kind: boxes::KIND.into(), name: "Iron 3".into() };
    let place = places::insert(tx, &new, first).await?;
    let sealing = Sealing {
        sealed_on: first.date_naive(),
        done_by: "Odile Marchbank".into(),
        container: "clip-lid box, polypropylene, 12 L".into(),
        materials: "polyethylene foam cut-out, tissue".into(),
        band: "iron with akaganeite and ferrous chloride".into(),
        volume_l: Some(12.0),
        air_per_day: Some(1.0),
        air_words: "assumed".into(),
        sorbent: "silica gel, dried at 105 °C".into(),
        sorbent_g: Some(240.0),
        reservoir: Some(6.0),
        reservoir_words: "invented curve of the supplier, 5 to 25 %".into(),
        start_pct: Some(5.0),
        outside_pct: Some(52.0),
        t_c: Some(19.0),
        gross_kg: Some(1.9),
        next_check_on: Some((first + Duration::days(11)).date_naive()),
    };
    let record = packed(tx, site, &find, &sealing).await?;
    let movement = NewMovement {
        find: find.id,
        to: place,
        quantity: None,
        moved_at: first,
        moved_by: "Odile Marchbank".into(),
        reason: "packed".into(),
    };
    places::insert_movement(tx, &movement, site.person(ODILE), first).await?;
    boxes::insert_packed(tx, place, (find.id, None), record, first).await?;
    boxes::insert_sealing(tx, place, &sealing, site.person(ODILE), first).await?;
    let anew = Sealing {
        sealed_on: again.date_naive(),
        air_per_day: Some(0.38),
        air_words: "measured: 6 readings, 95 % between 0.35 and 0.41, r² 0.997".into(),
        next_check_on: Some((again + Duration::days(30)).date_naive()),
        ..sealing
    };
    boxes::insert_sealing(tx, place, &anew, site.person(ODILE), again).await?;
    let rule = clocks::rules::find_of(tx, find.id, ClockKind::Indicator).await?;
    clocks::start(tx, find.id, ClockKind::Indicator, rule, (again, again)).await?;
    mark(tx, site, &find, Stage::Packing, first).await?;
    let words = "sealed Iron 3 anew: gel dried, air exchange measured".to_owned();
    journal::append(tx, &entry(site, &find, ODILE, words), again).await
}

async fn packed(tx: &mut Tx, site: &Site, find: &Placed, sealing: &Sealing) -> Result<domain::ids::RecordId> {
    let at = site.now - Duration::days(15);
    let new = NewRecord {
        project: site.project,
        stage: Stage::Packing,
        done_by: sealing.done_by.clone(),
        done_on: sealing.sealed_on,
        method: String::new(),
        materials: sealing.materials.clone(),
        outcome: format!("packed in {}", sealing.container),
        note: String::new(),
        finished: true,
        standing: None,
        supersedes: None,
        detail: Detail::Package {
            container: sealing.container.clone(),
            microclimate: "at or below 12 % RH; 240 g silica gel".into(),
            sealed_on: Some(sealing.sealed_on),
            next_check_on: sealing.next_check_on,
        },
        finds: vec![(find.id, None)],
    };
    let id = records::insert(tx, &new, site.person(ODILE), at).await?;
    journal::append(tx, &entry(site, find, ODILE, "recorded packing: packed in Iron 3".into()), at).await?;
    Ok(id)
}
