//! Densities over years that are constant between a few steps, so that a range of a million years costs no more than one
//! of ten.
use super::Opinion;
use crate::chronology::Year;
use crate::error::CalcError;

/// Probability per year from `lo` to `hi`, both included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stair {
    pub lo: i64,
    pub hi: i64,
    pub height: f64,
}

impl Stair {
    pub(super) fn mass(&self) -> f64 {
        (self.hi - self.lo + 1) as f64 * self.height
    }
}

/// Stairs in order, without overlap, of mass 1 together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Density(pub(super) Vec<Stair>);

impl Density {
    /// Uniform on each range of the opinion, by its share.
    ///
    /// # Errors
    /// `Unsuitable` (field `opinions`) for an open range: there is no uniform density on it.
    pub(super) fn of(opinion: &Opinion) -> Result<Self, CalcError> {
        let total: f64 = opinion.ranges.iter().map(|(_, share)| share).sum();
        let stairs =
            opinion.ranges.iter().map(|(range, share)| match (range.lo(), range.hi(), range.years()) {
                (Some(lo), Some(hi), Some(years)) => {
                    Ok(Stair { lo: lo.number(), hi: hi.number(), height: share / total / years as f64 })
                }
                _ => Err(CalcError::unsuitable(
                    "opinions",
                    format!("The range “{range}” is open: a density needs a first and a last year."),
                )),
            });
        Ok(Self(summed(&stairs.collect::<Result<Vec<_>, _>>()?)))
    }

    /// Σ w p / Σ w.
    pub(super) fn pooled(parts: &[(Self, f64)]) -> Self {
        let total: f64 = parts.iter().map(|(_, weight)| weight).sum();
        let weighed = parts.iter().flat_map(|(density, weight)| {
            density.0.iter().map(move |stair| Stair { height: stair.height * weight / total, ..*stair })
        });
        Self(summed(&weighed.collect::<Vec<_>>()))
    }

    /// Σ min(p, q) over years.
    pub(super) fn overlap(&self, other: &Self) -> f64 {
        let pairs = self.0.iter().flat_map(|one| other.0.iter().map(move |two| (one, two)));
        let shared = pairs.map(|(one, two)| {
            let years = one.hi.min(two.hi) - one.lo.max(two.lo) + 1;
            years.max(0) as f64 * one.height.min(two.height)
        });
        shared.sum::<f64>().min(1.0)
    }

    pub(super) fn mean(&self) -> f64 {
        self.0.iter().map(|stair| stair.mass() * (stair.lo + stair.hi) as f64 / 2.0).sum()
    }

    /// The first year by whose end half of the mass is reached.
    pub(super) fn median(&self) -> i64 {
        // half is often reached exactly at the end of a range: rounding must not push it on
        let half = 0.5 - 1e-12;
        let mut before = 0.0;
        for stair in &self.0 {
            if before + stair.mass() >= half {
                let years = ((half - before) / stair.height).ceil().max(1.0) as i64;
                return (stair.lo + years - 1).min(stair.hi);
            }
            before += stair.mass();
        }
        self.0.last().map_or(Year::LIMIT, |stair| stair.hi)
    }

    /// The stairs at or above the greatest height whose mass together is at least `mass`, ties kept; and their mass.
    pub(super) fn densest(&self, mass: f64) -> (Vec<(i64, i64)>, f64) {
        let mut by_height: Vec<&Stair> = self.0.iter().collect();
        by_height.sort_by(|one, two| two.height.total_cmp(&one.height));
        let (mut reached, mut lowest) = (0.0, f64::INFINITY);
        let mut kept = Vec::new();
        for stair in by_height {
            let is_tie = stair.height >= lowest * (1.0 - 1e-9);
            if reached >= mass - 1e-12 && !is_tie {
                break;
            }
            lowest = stair.height;
            reached += stair.mass();
            kept.push((stair.lo, stair.hi));
        }
        (kept, reached.min(1.0))
    }
}

/// The sum of stairs that may overlap, as stairs that do not; years of no height are left out.
fn summed(stairs: &[Stair]) -> Vec<Stair> {
    let mut cuts: Vec<i64> = stairs.iter().flat_map(|stair| [stair.lo, stair.hi + 1]).collect();
    cuts.sort_unstable();
    cuts.dedup();
    let pieces = cuts.windows(2).map(|pair| {
        let (lo, hi) = (pair[0], pair[1] - 1);
        let above = stairs.iter().filter(|stair| stair.lo <= lo && hi <= stair.hi);
        Stair { lo, hi, height: above.map(|stair| stair.height).sum() }
    });
    pieces.filter(|piece| piece.height > 0.0).collect()
}
