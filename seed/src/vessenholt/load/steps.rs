//! What the records of cleaning hold besides their words, a step that went too far, one left open, a level that waits.
use super::progress::{entry, in_hand};
use super::{Placed, Site};
use crate::vessenholt::cast::ODILE;
use crate::vessenholt::stories::PANEL;
use chrono::{Duration, Timelike};
use domain::Instant;
use domain::ids::RecordId;
use domain::stages::Stage;
use domain::treatment::{Basis, Material, Treatment};
use domain::work::Detail;
use store::journal;
use store::work::levels::{self, Reasons};
use store::work::records::{self, NewRecord};
use store::work::{spot_tests, treatments};
use store::{Result, Tx};

/// Adds aim, area, times and materials to a record of cleaning.
pub(super) async fn of_stage(tx: &mut Tx, id: RecordId, stage: Stage, at: Instant) -> Result<()> {
    let cleans = matches!(stage, Stage::DryClean | Stage::WetClean);
    if !cleans && stage != Stage::Drying {
        return Ok(());
    }
    // Written up when it was done.
    let ended = i64::from(at.hour() * 60 + at.minute());
    let lasted = 20 + at.timestamp().rem_euclid(7) * 15;
    let mut step = Treatment {
        begun_min: Some((ended - lasted).max(7 * 60).min(ended)),
        ended_min: Some(ended),
        people: 1,
        ..Treatment::default()
    };
    if cleans {
        step.aim =
            if stage == Stage::DryClean { "loose soil off" } else { "soil off to the agreed level" }.into();
        step.area = "whole".into();
        step.removed = "soil".into();
        step.kept = "sample kept with the find".into();
    }
    if stage == Stage::WetClean {
        step.materials = vec![material("deionised water", "lab tap, drawn the same day", None)];
    }
    treatments::insert(tx, id, &step).await
}

/// The steps and the level told one by one.
pub(super) async fn told(tx: &mut Tx, site: &Site) -> Result<()> {
    too_far(tx, site).await?;
    left_open(tx, site).await?;
    waiting_level(tx, site).await
}

fn material(name: &str, batch: &str, concentration: Option<(f64, Basis)>) -> Material {
    Material { name: name.into(), batch: batch.into(), concentration }
}

fn record(site: &Site, find: &Placed, stage: Stage, at: Instant) -> NewRecord {
    NewRecord {
        project: site.project,
        stage,
        done_by: "Odile Marchbank".into(),
        done_on: at.date_naive(),
        method: String::new(),
        materials: String::new(),
        outcome: String::new(),
        note: String::new(),
        finished: false,
        standing: None,
        supersedes: None,
        detail: Detail::Plain,
        finds: vec![(find.id, find.bulk.then_some(find.pieces))],
    }
}

/// The brooch: the crust under a terminal came away with the soil.
async fn too_far(tx: &mut Tx, site: &Site) -> Result<()> {
    let find = site.find("2").clone();
    let at = site.at_work(site.now - Duration::days(8));
    let new = NewRecord {
        method: "scalpel and pin vice at ×10".into(),
        outcome: "pin free, terminals clear".into(),
        finished: true,
        ..record(site, &find, Stage::DryClean, at)
    };
    let id = records::insert(tx, &new, site.person(ODILE), at).await?;
    let step = Treatment {
        aim: "free the pin".into(),
        area: "terminals and pin".into(),
        area_cm2: Some(3.5),
        begun_min: Some(13 * 60 + 10),
        ended_min: Some(15 * 60 + 40),
        people: 1,
        mass_before_g: Some(11.84),
        mass_after_g: Some(11.2),
        removed: "soil, 0.6 g, with crust of 2 mm²".into(),
        kept: "sample bag 2/1".into(),
        materials: vec![material(
            "acrylic copolymer in acetone",
            "stock jar 4",
            Some((5.0, Basis::WeightPerVolume)),
        )],
    };
    treatments::insert(tx, id, &step).await?;
    let words = "Crust under the left terminal came away with the soil; it was to stay. Stopped there.";
    treatments::insert_beyond(tx, id, find.id, words).await?;
    journal::append(tx, &entry(site, &find, ODILE, format!("recorded dry clean: {}", new.outcome)), at)
        .await?;
    journal::append(tx, &entry(site, &find, ODILE, format!("went beyond the agreed level: {words}")), at)
        .await
}

/// The window glass: begun this morning, to be written up.
async fn left_open(tx: &mut Tx, site: &Site) -> Result<()> {
    let find = site.find("90").clone();
    let at = site.now - Duration::hours(3);
    let new =
        NewRecord { method: "soft brush, piece by piece".into(), ..record(site, &find, Stage::DryClean, at) };
    let id = records::insert(tx, &new, site.person(ODILE), at).await?;
    let step = Treatment {
        aim: "soil off the edges".into(),
        begun_min: Some(9 * 60 + 40),
        people: 1,
        ..Treatment::default()
    };
    treatments::insert(tx, id, &step).await?;
    journal::append(tx, &entry(site, &find, ODILE, "began dry clean".into()), at).await?;
    in_hand(tx, &find, Stage::DryClean, at).await
}

/// The panel: proposed on the evidence of its tests, not answered yet.
async fn waiting_level(tx: &mut Tx, site: &Site) -> Result<()> {
    let find = site.find(PANEL).clone();
    let at = site.at_work(site.now - Duration::hours(20));
    let new = NewRecord {
        finished: true,
        detail: Detail::Level {
            level: "loose soil off dry, greyness off the ground with ethanol gel, all paint and gold kept"
                .into(),
            layers_to_keep: "red, gold, the preparation below them, the lime skin".into(),
            stop_point: "first tint on the swab".into(),
            decided_by: "Odile Marchbank".into(),
        },
        ..record(site, &find, Stage::CleaningLevel, at)
    };
    let id = records::insert(tx, &new, site.person(ODILE), at).await?;
    let tests = spot_tests::list_of_find(tx, find.id).await?;
    let reasons = Reasons {
        question: "How far can the ground be cleaned without touching the red?".into(),
        options: "Leave as it is; dry only; dry and gel on the bare ground.".into(),
        evidence: "Water lifts the red. Ethanol and the gel do nothing to it.".into(),
        consulted: "Prof. Ilka Varnsted, Maud Etherley".into(),
        tests: tests.iter().map(|test| test.row.record_id).collect(),
    };
    levels::update_reasons(tx, id, &reasons).await?;
    let words = "proposed a cleaning level: paint and gold kept; stop-point: first tint on the swab";
    journal::append(tx, &entry(site, &find, ODILE, words.into()), at).await?;
    in_hand(tx, &find, Stage::CleaningLevel, at).await
}
