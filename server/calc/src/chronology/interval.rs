//! A range of years.
use super::year::Year;
use crate::error::CalcError;
use serde::Serialize;
use std::fmt;

/// A range of years, both ends included; `None` leaves an end open. One end at least is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub struct DateRange {
    lo: Option<Year>,
    hi: Option<Year>,
}

impl DateRange {
    /// A range from `lo` to `hi`.
    ///
    /// # Errors
    /// `Reversed` if the end lies before the start, `Unbounded` if both ends are open.
    pub fn new(lo: Option<Year>, hi: Option<Year>) -> Result<Self, CalcError> {
        match (lo, hi) {
            (None, None) => Err(CalcError::Unbounded { field: "lo" }),
            (Some(lo), Some(hi)) if hi < lo => {
                Err(CalcError::Reversed { field: "hi", start: lo.to_string(), end: hi.to_string() })
            }
            _ => Ok(Self { lo, hi }),
        }
    }

    /// A single year.
    pub const fn single(year: Year) -> Self {
        Self { lo: Some(year), hi: Some(year) }
    }

    /// From the year named onwards, that year included.
    pub const fn from(year: Year) -> Self {
        Self { lo: Some(year), hi: None }
    }

    /// Up to the year named, that year included.
    pub const fn until(year: Year) -> Self {
        Self { lo: None, hi: Some(year) }
    }

    /// The first year, if known.
    pub const fn lo(&self) -> Option<Year> {
        self.lo
    }

    /// The last year, if known.
    pub const fn hi(&self) -> Option<Year> {
        self.hi
    }

    /// The number of years, both ends counted: 1 BC to AD 1 is two years. `None` for an open range.
    ///
    /// ```
    /// use calc::chronology::{DateRange, Year};
    /// let across = DateRange::new(Some(Year::bc(1)?), Some(Year::ad(1)?))?;
    /// assert_eq!(across.years(), Some(2));
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn years(&self) -> Option<i64> {
        Some(self.hi?.number() - self.lo?.number() + 1)
    }

    /// Whether the year lies within the range.
    pub fn holds(&self, year: Year) -> bool {
        self.lo.is_none_or(|lo| lo <= year) && self.hi.is_none_or(|hi| year <= hi)
    }

    /// The years that both ranges hold; `None` if they share none.
    ///
    /// ```
    /// use calc::chronology::{DateRange, Year};
    /// let early = DateRange::new(Some(Year::ad(101)?), Some(Year::ad(200)?))?;
    /// let late = DateRange::from(Year::ad(180)?);
    /// assert_eq!(early.overlap(&late).and_then(|shared| shared.years()), Some(21));
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn overlap(&self, other: &Self) -> Option<Self> {
        let lo = self.lo.max(other.lo);
        let hi = match (self.hi, other.hi) {
            (Some(one), Some(two)) => Some(one.min(two)),
            (one, two) => one.or(two),
        };
        Self::new(lo, hi).ok()
    }

    /// The shortest range that holds both.
    ///
    /// # Errors
    /// `Unbounded` if one is open backwards and the other forwards.
    pub fn span(&self, other: &Self) -> Result<Self, CalcError> {
        let lo = self.lo.and_then(|one| other.lo.map(|two| one.min(two)));
        let hi = self.hi.and_then(|one| other.hi.map(|two| one.max(two)));
        Self::new(lo, hi)
    }

    /// The range with both known ends moved out by `years`.
    pub fn widened(&self, years: i64) -> Self {
        Self { lo: self.lo.map(|lo| lo.plus(-years)), hi: self.hi.map(|hi| hi.plus(years)) }
    }
}

/// "AD 68 - AD 133", "33 BC - 1 BC", "AD 120", "AD 43 onwards", "up to AD 79".
impl fmt::Display for DateRange {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.lo, self.hi) {
            (Some(lo), Some(hi)) if lo == hi => write!(out, "{lo}"),
            (Some(lo), Some(hi)) => write!(out, "{lo} - {hi}"),
            (Some(lo), None) => write!(out, "{lo} onwards"),
            (None, Some(hi)) => write!(out, "up to {hi}"),
            (None, None) => out.write_str("no date"),
        }
    }
}
