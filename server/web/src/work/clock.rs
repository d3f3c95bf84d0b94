//! The clocks that work starts and stops: the only place that says which.
use crate::error::Answer;
use chrono::NaiveTime;
use domain::Instant;
use domain::clocks::ClockKind;
use domain::ids::FindId;
use domain::stages::{Stage, StageState};
use domain::work::Detail;
use store::Tx;
use store::clocks;
use store::work::records::NewRecord;

/// After a record of work left a stage in that state.
pub(super) async fn after_record(
    tx: &mut Tx,
    find: FindId,
    new: &NewRecord,
    state: StageState,
    now: Instant,
) -> Answer<()> {
    match (&new.detail, new.stage, state) {
        (_, Stage::Drying, StageState::Done) => {
            clocks::stop(tx, find, ClockKind::Wet, now).await?;
            clocks::stop(tx, find, ClockKind::Drying, now).await?;
        }
        (_, Stage::Drying, _) => {
            clocks::begin_treatment(tx, find).await?;
            start(tx, find, ClockKind::Drying, now).await?;
        }
        (_, Stage::SpotTest | Stage::WetClean | Stage::Desalination, _) => {
            clocks::begin_treatment(tx, find).await?
        }
        // A package made for a climate, or one that names its next look, has an indicator that somebody reads.
        (Detail::Package { microclimate, next_check_on, .. }, Stage::Packing, StageState::Done)
            if !microclimate.is_empty() || next_check_on.is_some() =>
        {
            clocks::stop(tx, find, ClockKind::Indicator, now).await?;
            start(tx, find, ClockKind::Indicator, now).await?;
            if let Some(day) = next_check_on {
                let at = day.and_time(NaiveTime::MIN).and_utc();
                clocks::update_next_look(tx, find, ClockKind::Indicator, at).await?;
            }
        }
        _ => {}
    }
    Ok(())
}

/// After a condition was assessed, for the first time or again: the day of the next look follows the latest.
pub(super) async fn after_assessment(tx: &mut Tx, find: FindId, detail: &Detail, now: Instant) -> Answer<()> {
    if matches!(detail, Detail::Condition(_)) {
        clocks::review::update(tx, find, now).await?;
    }
    Ok(())
}

/// After a stage was marked without a record.
pub(crate) async fn after_mark(
    tx: &mut Tx,
    find: FindId,
    marked: (Stage, StageState),
    now: Instant,
) -> Answer<()> {
    if marked == (Stage::Drying, StageState::InHand) {
        clocks::begin_treatment(tx, find).await?;
        start(tx, find, ClockKind::Drying, now).await?;
    }
    Ok(())
}

async fn start(tx: &mut Tx, find: FindId, kind: ClockKind, now: Instant) -> Answer<()> {
    let rule = clocks::rules::find_of(tx, find, kind).await?;
    Ok(clocks::start(tx, find, kind, rule, (now, now)).await?)
}
