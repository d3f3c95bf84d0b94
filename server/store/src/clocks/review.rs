//! The clock of a condition review: it follows the latest standing assessment of a find.
use crate::work::assessments;
use crate::{Result, Tx};
use chrono::NaiveTime;
use domain::Instant;
use domain::clocks::{ClockKind, Rule};
use domain::ids::FindId;

/// Sets the clock by the latest standing assessment, or stops it where that names no day.
pub async fn update(tx: &mut Tx, find: FindId, now: Instant) -> Result<()> {
    super::stop(tx, find, ClockKind::Review, now).await?;
    let Some((done_on, review_on)) = assessments::find_review(tx, find).await? else { return Ok(()) };
    let rule = Rule { limit_days: None, warn_days: 0, look_days: (review_on - done_on).num_days() };
    let since = done_on.and_time(NaiveTime::MIN).and_utc();
    super::start(tx, find, ClockKind::Review, rule, (since, now)).await
}
