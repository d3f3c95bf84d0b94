//! Rounds of wet packs, drying runs and indicators, the limits they go by, the daily letter.
//! Limits and days between looks are those of the NAS guide p. 158 (derived) and common practice; they stand with their
//! sources in `domain::clocks`.
mod daily;
mod limits;
mod screen;
mod sheet;

use chrono::Duration;
use domain::clocks::ClockKind;
use domain::ids::{ClockId, FindId};
use store::clocks::Clock;
use tests::support::{Lab, noon};

/// A find recovered wet so many days ago.
async fn wet(lab: &Lab, number: &str, days_ago: i64) -> FindId {
    let recovered = (noon() - Duration::days(days_ago)).date_naive();
    let find = lab.site.find(number).material("wood_leather").object("turnshoe").wet();
    find.with(|find| find.recovered_on = Some(recovered)).add().await
}

/// The running clocks of a find.
async fn running(lab: &Lab, find: FindId) -> Vec<Clock> {
    let mut tx = lab.site.db.read().await.unwrap();
    store::clocks::list_running(&mut tx, find).await.unwrap()
}

/// The running clock of a find, the only one.
async fn clock(lab: &Lab, find: FindId) -> ClockId {
    let running = running(lab, find).await;
    assert_eq!(running.len(), 1);
    running[0].id
}

/// Starts a clock of a find at noon.
async fn start(lab: &Lab, find: FindId, kind: ClockKind) -> ClockId {
    let mut tx = lab.site.db.write().await.unwrap();
    let rule = store::clocks::rules::find_of(&mut tx, find, kind).await.unwrap();
    store::clocks::start(&mut tx, find, kind, rule, (noon(), noon())).await.unwrap();
    tx.commit().await.unwrap();
    let running = running(lab, find).await;
    running.iter().find(|clock| clock.kind == kind).unwrap().id
}
