//! Wet packs looked at or forgotten, drying in hand, indicators read, and a round that waits on paper.
use super::{Placed, Site};
use crate::vessenholt::cast::{BEA, ODILE};
use crate::vessenholt::stories::SHOE;
use chrono::Duration;
use domain::Instant;
use domain::clocks::ClockKind;
use domain::stages::Stage;
use store::clocks::looks::{self, NewLook};
use store::clocks::{round, rules, sheets};
use store::finds::progress;
use store::{Result, Tx};

/// Groups that are packed dry with an indicator.
const SEALED: &[&str] = &["iron", "copper_alloy", "lead", "silver_gold", "coin", "composite"];
/// Drying runs that are in hand.
const DRYING: usize = 7;
/// Lines of the round that was printed.
const ON_PAPER: usize = 12;
/// What rounds found that was not in order.
const FAULTS: &[&str] = &["water low and brown", "outer label washed out", "lid not shut, edge dry"];

pub(super) async fn load(tx: &mut Tx, site: &mut Site) -> Result<()> {
    let shoe = site.find(SHOE).clone();
    look(tx, site, &shoe, ClockKind::Wet, (site.now - Duration::days(9), "")).await?;
    dry_some(tx, site).await?;
    let wet = round::list(tx, (site.project, ClockKind::Wet), None, true, 100).await?;
    for (at, pack) in wet.iter().enumerate().filter(|(at, _)| at % 6 == 4) {
        let find = site.find(&pack.number).clone();
        if find.told {
            continue;
        }
        let words = FAULTS[at % FAULTS.len()];
        look(tx, site, &find, ClockKind::Wet, (site.at_work(site.now - Duration::days(1)), words)).await?;
    }
    let clocks: Vec<_> = wet.iter().take(ON_PAPER).map(|pack| pack.id).collect();
    sheets::insert(tx, ClockKind::Wet, &clocks, site.person(ODILE), site.now - Duration::hours(3)).await?;
    read_indicators(tx, site).await
}

/// A look that found all in order, or with words one that did not.
pub(super) async fn look(
    tx: &mut Tx,
    site: &Site,
    find: &Placed,
    kind: ClockKind,
    (at, words): (Instant, &str),
) -> Result<()> {
    let rule = rules::find_of(tx, find.id, kind).await?;
    let running = store::clocks::list_running(tx, find.id).await?;
    let Some(clock) = running.into_iter().find(|clock| clock.kind == kind) else { return Ok(()) };
    let look = NewLook {
        clock: clock.id,
        find: find.id,
        in_order: words.is_empty(),
        put_right: false,
        words: words.into(),
        indicator_rh: (kind == ClockKind::Indicator).then_some(14.0),
        looked_at: at,
        next_at: rule.next_look_at(at, words.is_empty()),
        done_by: "Bea Lisle-Okoro".into(),
    };
    looks::insert_many(tx, &[look], site.person(BEA), at).await
}

/// Whether a find is packed dry with gel.
pub(super) fn is_sealed(find: &Placed) -> bool {
    SEALED.contains(&find.material.as_str())
}

/// A packed metal find gets an indicator.
pub(super) async fn seal(tx: &mut Tx, find: &Placed, at: Instant) -> Result<()> {
    if !is_sealed(find) {
        return Ok(());
    }
    let rule = rules::find_of(tx, find.id, ClockKind::Indicator).await?;
    store::clocks::start(tx, find.id, ClockKind::Indicator, rule, (at, at)).await
}

async fn dry_some(tx: &mut Tx, site: &Site) -> Result<()> {
    let mut begun = 0;
    for find in site.finds.iter().filter(|find| !find.told) {
        let (stage, _) = progress::find_progress(tx, find.id).await?.current();
        if stage != Stage::Drying || begun == DRYING {
            continue;
        }
        let since = site.at_work(site.now - Duration::days(2 + begun as i64));
        super::progress::in_hand(tx, find, Stage::Drying, since).await?;
        store::clocks::begin_treatment(tx, find.id).await?;
        let rule = rules::find_of(tx, find.id, ClockKind::Drying).await?;
        store::clocks::start(tx, find.id, ClockKind::Drying, rule, (since, since)).await?;
        if begun % 2 == 0 {
            store::finds::update_assignee(tx, find.id, Some(site.person(ODILE))).await?;
        }
        begun += 1;
    }
    Ok(())
}

/// Most indicators were read within the month, some were not.
async fn read_indicators(tx: &mut Tx, site: &Site) -> Result<()> {
    let sealed = round::list(tx, (site.project, ClockKind::Indicator), None, true, 500).await?;
    for (at, pack) in sealed.iter().enumerate() {
        let find = site.find(&pack.number).clone();
        let days = if at % 7 == 3 { 31 + at as i64 % 9 } else { 2 + (at as i64 * 5) % 26 };
        let read = site.at_work(site.now - Duration::days(days));
        look(tx, site, &find, ClockKind::Indicator, (read, "")).await?;
    }
    Ok(())
}
