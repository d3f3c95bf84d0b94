//! The ends of some ways: finds that were handed over, and when specialists were last here.
use super::progress::{entry, mark};
use super::{Placed, Site};
use crate::vessenholt::cast::{ILKA, JOSS, MAREN, SABINE};
use chrono::Duration;
use domain::clocks::ClockKind;
use domain::stages::{Stage, StageState};
use std::collections::HashMap;
use store::finds::progress;
use store::review::assignments;
use store::sessions::{self, NewSession};
use store::{Result, Tx, clocks, journal};

/// Finds that were handed over, and how many of one material at most.
const HANDED_OVER: usize = 12;
const OF_A_MATERIAL: usize = 2;
/// Who takes them for the archive.
const ARCHIVIST: &str = "cyril";
/// Specialists with the days since they were last here.
const LAST_HERE: &[(&str, i64)] = &[(ILKA, 1), (JOSS, 2), (MAREN, 6), (SABINE, 1)];

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    let mut handed = 0;
    let mut of_material: HashMap<&str, usize> = HashMap::new();
    for find in site.finds.iter().filter(|find| !find.told) {
        let count = of_material.entry(find.material.as_str()).or_default();
        if handed == HANDED_OVER || *count == OF_A_MATERIAL || !hand_over(tx, site, find).await? {
            continue;
        }
        *count += 1;
        handed += 1;
    }
    last_here(tx, site).await
}

/// Hands a find over that waits for nothing else; nobody looks at its clocks here any more.
async fn hand_over(tx: &mut Tx, site: &Site, find: &Placed) -> Result<bool> {
    let Some(known) = store::finds::find_unguarded(tx, find.id).await? else { return Ok(false) };
    let asked = assignments::list_of_find(tx, find.id).await?;
    let waits = (known.stage, known.stage_state) == (Stage::Deposit, StageState::Waiting);
    let late = known.stage_since + Duration::days(3);
    let is_out = asked.iter().any(|asked| asked.closed_at.is_none());
    if !waits || known.restricted || is_out || late > site.now - Duration::hours(3) {
        return Ok(false);
    }
    let at = site.at_work(late);
    for kind in [ClockKind::Indicator, ClockKind::Review] {
        clocks::stop(tx, find.id, kind, at).await?;
    }
    store::finds::update_assignee(tx, find.id, None).await?;
    mark(tx, site, find, Stage::Deposit, at).await?;
    let words = format!("marked {} as done", Stage::Deposit.label());
    journal::append(tx, &entry(site, find, ARCHIVIST, words), at).await?;
    let (stage, _) = progress::find_progress(tx, find.id).await?.current();
    Ok(stage == Stage::Finished)
}

/// They signed in once and out again.
async fn last_here(tx: &mut Tx, site: &Site) -> Result<()> {
    for (who, days_ago) in LAST_HERE {
        let at = site.at_work(site.now - Duration::days(*days_ago));
        let token = format!("{who} was here");
        let session = NewSession {
            token_hash: token.as_bytes(),
            person: site.person(who),
            form_token: &token,
            expires_at: at + Duration::hours(1),
        };
        sessions::insert(tx, &session, at).await?;
        sessions::delete(tx, token.as_bytes()).await?;
    }
    Ok(())
}
