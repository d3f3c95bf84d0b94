//! Opinions added to one density.
use super::density::Density;
use super::{Opinion, joined, ranges};
use crate::chronology::{DateRange, Year};
use crate::error::CalcError;
use serde::Serialize;

/// Years of one density.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Step {
    pub range: DateRange,
    /// Probability of each single year of the range.
    pub per_year: f64,
}

/// The linear pool of opinions. It is not a date: show the authors beside it, and neither mean nor median on a page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pool {
    /// The density, in order of years; years of none are left out. Its mass is 1.
    pub steps: Vec<Step>,
    /// Mean, as an astronomical year with a fraction.
    pub mean_year: f64,
    /// The first year by whose end half of the mass is reached.
    pub median_year: Year,
    /// The fewest years that hold the mass asked for, in order; separate where the opinions are.
    pub densest: Vec<DateRange>,
    /// What they really hold: years of equal density are kept or dropped together.
    pub densest_mass: f64,
}

/// Pools opinions, each by its weight; `mass` (0 to 1) is what the densest years are to hold. See
/// [`super::OPINIONS`].
///
/// # Errors
/// `Unsuitable`: no opinion or an open range (field `opinions`), a mass that is not above 0 and at most 1 (`mass`).
///
/// ```
/// use calc::chronology::{DateRange, Year};
/// use calc::opinions::{Opinion, pool};
/// let range = |lo, hi| DateRange::new(Some(Year::ad(lo)?), Some(Year::ad(hi)?));
/// let pooled = pool(&[Opinion::new(range(101, 200)?), Opinion::new(range(117, 138)?)], 0.5)?;
/// assert_eq!(pooled.densest[0].to_string(), "AD 117 - AD 138");
/// assert!((pooled.densest_mass - 0.61).abs() < 1e-9); // 22 (1/100 + 1/22) / 2
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn pool(opinions: &[Opinion], mass: f64) -> Result<Pool, CalcError> {
    if opinions.is_empty() {
        return Err(CalcError::unsuitable("opinions", "There is no opinion to pool."));
    }
    if !(mass > 0.0 && mass <= 1.0) {
        let sentence = format!("The mass is {mass}; it has to lie above 0 and at most at 1.");
        return Err(CalcError::unsuitable("mass", sentence));
    }
    let parts = opinions.iter().map(|one| Ok((Density::of(one)?, one.weight)));
    let density = Density::pooled(&parts.collect::<Result<Vec<_>, CalcError>>()?);
    let (densest, densest_mass) = density.densest(mass);
    let steps = density.0.iter().map(|stair| {
        let (lo, hi) = (Year::astronomical(stair.lo)?, Year::astronomical(stair.hi)?);
        Ok(Step { range: DateRange::new(Some(lo), Some(hi))?, per_year: stair.height })
    });
    Ok(Pool {
        steps: steps.collect::<Result<_, CalcError>>()?,
        mean_year: density.mean(),
        median_year: Year::astronomical(density.median())?,
        densest: ranges(&joined(densest)),
        densest_mass,
    })
}
