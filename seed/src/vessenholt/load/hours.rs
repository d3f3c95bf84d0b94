//! Working hours: what is recorded falls on a weekday between eight and five.
use super::Site;
use chrono::{Datelike, Duration, Weekday};
use domain::Instant;

/// When work begins, how long it lasts, and a whole day, in seconds.
const BEGINS: i64 = 8 * 3_600;
const LASTS: i64 = 9 * 3_600;
const DAY: i64 = 24 * 3_600;

impl Site {
    /// A moment moved into working hours, never beyond now. What came later stays later.
    pub(super) fn at_work(&self, at: Instant) -> Instant {
        within_hours(at).min(self.now)
    }
}

/// A day is pressed into its working hours, a weekend with its Friday into those of the Friday.
fn within_hours(at: Instant) -> Instant {
    let (days_in, days) = match at.weekday() {
        Weekday::Fri => (0, 3),
        Weekday::Sat => (1, 3),
        Weekday::Sun => (2, 3),
        _ => (0, 1),
    };
    let passed = days_in * DAY + at.timestamp().rem_euclid(DAY);
    at - Duration::seconds(passed) + Duration::seconds(BEGINS + passed * LASTS / (days * DAY))
}

/// The day after, a little later than before, or the Monday after a weekend.
pub(super) fn day_after(at: Instant) -> Instant {
    let after = at + Duration::minutes(24 * 60 + 5);
    match after.weekday() {
        Weekday::Sat => after + Duration::days(2),
        Weekday::Sun => after + Duration::days(1),
        _ => after,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{DateTime, Timelike};

    #[test]
    fn work_is_done_on_weekdays_in_daylight_and_in_its_order() {
        let from = 1_947_196_800;
        let hours =
            (0..24 * 15).map(|hour| DateTime::from_timestamp(from + hour * 3_600, 0).unwrap_or_default());
        let moved: Vec<Instant> = hours.map(within_hours).collect();
        assert!(moved.is_sorted());
        for at in moved {
            assert!(!matches!(at.weekday(), Weekday::Sat | Weekday::Sun), "{at}");
            assert!((8..17).contains(&at.hour()), "{at}");
        }
    }
}
