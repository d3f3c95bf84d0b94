//! When to stop.
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::source::{Basis, Source};
use serde::Serialize;

/// The reading at or below which a bath counts as clean, in the unit of the readings.
pub const THRESHOLD: Quantity = Quantity::new("threshold", "the threshold", "", 0.0, 1e9);
/// Readings of successive baths.
pub const READINGS: Quantity = Quantity::new("values", "the reading", "", -1e9, 1e9);
/// Clean baths in a row that are asked for.
pub const CONSECUTIVE: Quantity =
    Quantity::new("consecutive", "the number of baths in a row", "", 1.0, 100.0);

/// Where the end point comes from.
pub const END_POINT: Basis = Basis {
    formula: "the first bath that ends a row of k baths at or below the threshold",
    range: "one bath or more",
    sources: &[
        Source::common_practice("a row of two baths"),
        Source::seen(
            "Holbrow, Kaplan & Beaubien",
            "",
            "Objects Specialty Group Postprints 3",
            "abstract: no damage with some salt left",
        ),
    ],
    caution: "There is no universal threshold: enter it with its reason.",
};

/// A threshold and how many baths in a row have to keep it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EndRule {
    threshold: f64,
    consecutive: usize,
}

impl EndRule {
    /// Baths in a row that are usual (common practice, no source).
    pub const USUAL_ROW: usize = 2;

    /// `consecutive` baths in a row at or below `threshold`, in the unit of the readings.
    ///
    /// # Errors
    /// `Unsuitable` outside [`THRESHOLD`] or [`CONSECUTIVE`].
    pub fn new(threshold: f64, consecutive: usize) -> Result<Self, CalcError> {
        CONSECUTIVE.check(consecutive as f64)?;
        Ok(Self { threshold: THRESHOLD.check(threshold)?, consecutive })
    }

    /// Judges the readings of successive baths; see [`END_POINT`].
    ///
    /// # Errors
    /// `Unsuitable` without readings, or outside [`READINGS`].
    ///
    /// ```
    /// use calc::desalination::EndRule;
    /// let rule = EndRule::new(10.0, 2)?;
    /// assert_eq!(rule.judge(&[210.0, 95.0, 44.0, 20.0, 9.0, 6.0])?.bath, Some(6));
    /// let not_yet = rule.judge(&[210.0, 95.0, 9.0, 20.0, 9.0])?;
    /// assert_eq!((not_yet.is_reached(), not_yet.missing), (false, 1));
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn judge(self, readings: &[f64]) -> Result<EndPoint, CalcError> {
        if readings.is_empty() {
            return Err(CalcError::unsuitable(READINGS.field, "There is no reading."));
        }
        READINGS.check_each(readings)?;
        let is_clean = |reading: &f64| *reading <= self.threshold;
        let row = readings.windows(self.consecutive).position(|row| row.iter().all(is_clean));
        let in_a_row = readings.iter().rev().take_while(|reading| is_clean(reading)).count();
        Ok(EndPoint {
            bath: row.map(|start| start + self.consecutive),
            missing: self.consecutive.saturating_sub(in_a_row),
        })
    }
}

/// Where a row of baths stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct EndPoint {
    /// The bath, counted from 1, with which the rule was first met.
    pub bath: Option<usize>,
    /// Clean baths still missing after the latest; 0 while the rule is met.
    pub missing: usize,
}

impl EndPoint {
    /// Whether the rule was met with some bath.
    pub const fn is_reached(self) -> bool {
        self.bath.is_some()
    }

    /// Whether it is met with the latest bath: a later reading above the threshold takes it back.
    pub const fn holds(self) -> bool {
        self.missing == 0
    }
}
