//! Dated finds spread over slices of time.
use super::{DateRange, Year};
use crate::error::CalcError;
use crate::source::{Basis, Source};
use serde::Serialize;

/// More slices than this are refused: nobody reads them, and each costs memory.
pub const MOST_SLICES: i64 = 10_000;

/// Where the sum comes from.
pub const AORISTIC_SUM: Basis = Basis {
    formula: "a find gives each slice n × (years of its range within the slice) / (years of its range); slices and what lies outside add up to the number of finds",
    range: "whole years, both ends counted; ranges with two ends",
    sources: &[
        Source::from_memory(
            "Ratcliffe",
            "2000",
            "Aoristic analysis: the spatial interpretation of unspecific temporal events, International Journal of Geographical Information Science 14:669-679",
        ),
        Source::from_memory(
            "Crema",
            "2012",
            "Modelling temporal uncertainty in archaeological analysis, Journal of Archaeological Method and Theory 19:440-461",
        ),
    ],
    caution: "A smooth curve from wide ranges is no evidence of continuity. Each find is taken as equally likely in every year of its range.",
};

/// A slice of time and what falls to it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Slice {
    pub range: DateRange,
    /// Finds, with fractions.
    pub weight: f64,
}

/// Finds spread over slices.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AoristicSum {
    pub slices: Vec<Slice>,
    /// Finds, with fractions, before the first slice or after the last.
    pub outside: f64,
}

/// Spreads finds, each a range and a count, over slices of `width` years from `start` to `end`; the last slice is shorter
/// if the years do not divide. See [`AORISTIC_SUM`].
///
/// # Errors
/// `Unsuitable`: no finds, an open range or a count below 0 (field `finds`), a width below 1 or so small that there would
/// be more than [`MOST_SLICES`] (`width`). `Reversed` (`hi`) if `end` lies before `start`.
///
/// ```
/// use calc::chronology::{DateRange, Year, aoristic_sum};
/// let coin = DateRange::new(Some(Year::ad(126)?), Some(Year::ad(175)?))?;
/// let sum = aoristic_sum(&[(coin, 1.0)], Year::ad(101)?, Year::ad(200)?, 50)?;
/// assert_eq!([sum.slices[0].weight, sum.slices[1].weight], [0.5, 0.5]);
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn aoristic_sum(
    finds: &[(DateRange, f64)],
    start: Year,
    end: Year,
    width: i64,
) -> Result<AoristicSum, CalcError> {
    let mut slices = empty_slices(start, end, width)?;
    if finds.is_empty() {
        return Err(CalcError::unsuitable("finds", "There is no dated find to spread over time."));
    }
    let mut outside = 0.0;
    for (range, count) in finds {
        let (Some(lo), Some(hi), Some(years)) = (range.lo(), range.hi(), range.years()) else {
            let sentence = format!("The range “{range}” is open: it cannot be spread over time.");
            return Err(CalcError::unsuitable("finds", sentence));
        };
        if !(count.is_finite() && *count >= 0.0) {
            let sentence = format!("A count of finds is {count}; it cannot be below 0.");
            return Err(CalcError::unsuitable("finds", sentence));
        }
        let per_year = count / years as f64;
        let within = (hi.min(end).number() - lo.max(start).number() + 1).max(0);
        outside += (years - within) as f64 * per_year;
        if within == 0 {
            continue;
        }
        let place = |year: Year| ((year.number() - start.number()) / width) as usize;
        for slice in &mut slices[place(lo.max(start))..=place(hi.min(end))] {
            let shared = slice.range.overlap(range).and_then(|shared| shared.years());
            slice.weight += shared.unwrap_or(0) as f64 * per_year;
        }
    }
    Ok(AoristicSum { slices, outside })
}

fn empty_slices(start: Year, end: Year, width: i64) -> Result<Vec<Slice>, CalcError> {
    let years = DateRange::new(Some(start), Some(end))?.years().unwrap_or(0);
    if width < 1 {
        let sentence = format!("A slice is {width} years wide; it has to be 1 at least.");
        return Err(CalcError::unsuitable("width", sentence));
    }
    let count = (years - 1) / width + 1;
    if count > MOST_SLICES {
        let sentence = format!("Slices of {width} years would be {count}; at most {MOST_SLICES} are made.");
        return Err(CalcError::unsuitable("width", sentence));
    }
    let slice = |n: i64| {
        let first = start.plus(n * width);
        let range = DateRange::new(Some(first), Some(first.plus(width - 1).min(end)))?;
        Ok(Slice { range, weight: 0.0 })
    };
    (0..count).map(slice).collect()
}
