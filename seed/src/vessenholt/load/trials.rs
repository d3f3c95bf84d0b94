//! The trials of the carved panel: what carried each mixture, what stayed, what a day later showed.
use super::hours::day_after;
use super::progress::entry;
use super::{Placed, Site};
use crate::vessenholt::cast::ODILE;
use chrono::Duration;
use domain::Instant;
use domain::ids::RecordId;
use domain::solvents::Mixture;
use domain::spot_tests::{Carrier, Trial, recheck_due};
use domain::stages::Stage;
use domain::work::{Detail, EffectOnOriginal, TestDecision};
use store::journal;
use store::work::records::{self, NewRecord};
use store::work::spot_tests::{self, NewLook};
use store::{Result, Tx};

/// Adds the trial to a test of the panel, and the look on the day after.
pub(super) async fn of_panel(
    tx: &mut Tx,
    site: &Site,
    (id, detail): (RecordId, &Detail),
    at: Instant,
) -> Result<()> {
    let Detail::SpotTest { mixture, effect_on_original, .. } = detail else { return Ok(()) };
    spot_tests::update_trial(tx, id, &trial(mixture, Carrier::Swab), recheck_due(at), None).await?;
    let harmed = *effect_on_original != EffectOnOriginal::None;
    let look = NewLook {
        record: id,
        effect_on_original: *effect_on_original,
        seen: if harmed { "dull ring of 5 mm, no further spread".into() } else { "no change".into() },
        looked_by: "Odile Marchbank".into(),
    };
    spot_tests::insert_look(tx, &look, site.person(ODILE), day_after(at)).await?;
    Ok(())
}

/// One more test, yesterday, that is to be looked at again today.
pub(super) async fn yesterday(tx: &mut Tx, site: &Site, find: &Placed) -> Result<()> {
    let at = site.at_work(site.now - Duration::hours(25));
    let mixture = "ethanol 70 % + water 30 %";
    let new = NewRecord {
        project: site.project,
        stage: Stage::SpotTest,
        done_by: "Odile Marchbank".into(),
        done_on: at.date_naive(),
        method: "gel laid on tissue".into(),
        materials: "rigid gel, 2 mm".into(),
        outcome: "greyness taken, colour steady".into(),
        note: String::new(),
        finished: true,
        standing: None,
        supersedes: None,
        detail: Detail::SpotTest {
            site: "hem of the robe, 6 mm".into(),
            mixture: mixture.into(),
            dwell_s: Some(60),
            effect_on_soiling: "greyness comes off".into(),
            effect_on_original: EffectOnOriginal::None,
            decision: TestDecision::Accepted,
        },
        finds: vec![(find.id, None)],
    };
    let id = records::insert(tx, &new, site.person(ODILE), at).await?;
    spot_tests::update_trial(tx, id, &trial(mixture, Carrier::Gel), recheck_due(at), None).await?;
    journal::append(tx, &entry(site, find, ODILE, format!("tested {mixture}: accepted")), at).await
}

fn trial(mixture: &str, carrier: Carrier) -> Trial {
    let parts = Mixture::read(mixture).map(|m| m.parts).unwrap_or_default();
    Trial {
        parts: parts.iter().map(|part| (part.solvent.name.clone(), part.percent)).collect(),
        carrier: Some(carrier),
        swabs: (carrier == Carrier::Swab).then_some(1),
        working_time_s: Some(40),
        cleared_with: if carrier == Carrier::Gel { "dry swab".into() } else { String::new() },
        residue: "none seen".into(),
        ..Trial::default()
    }
}
