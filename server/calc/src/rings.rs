//! Ring diameters measured on a find against moulds of a reference list.
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::source::{Basis, Source};
use serde::Serialize;
use statrs::distribution::{ChiSquared, ContinuousCDF};
use std::f64::consts::TAU;

/// Diameter of a ring, on the find or in the list.
pub const DIAMETER: Quantity = Quantity::new("observed_mm", "the ring diameter", "mm", 0.1, 10_000.0);
/// Standard uncertainty of one measured diameter.
pub const UNCERTAINTY: Quantity =
    Quantity::new("u_mm", "the uncertainty of a diameter", "mm", 0.001, 1_000.0);
/// Expected ratio of the find to the list: below 1 where the cast has shrunk.
pub const SCALE: Quantity = Quantity::new("scale_mean", "the expected scale", "", 0.1, 10.0);
/// How far the ratio may stray.
pub const SCALE_SPREAD: Quantity = Quantity::new("scale_sd", "the spread of the scale", "", 0.0, 1.0);

/// With less weight than this no mould is named alone.
pub const ENOUGH: f64 = 0.9;
/// A misfit that would be rarer than this by measuring alone is called one.
pub const RARE: f64 = 0.05;

/// Where the comparison comes from.
pub const RING_MATCH: Basis = Basis {
    formula: "d ~ N(s₀m, u²I + σ²mmᵀ): measured diameters d, diameters m of the mould, uncertainty u of each measurement, one scale s ~ N(s₀, σ²) for all rings integrated out; weight ∝ likelihood; misfit χ² = (d − s₀m)ᵀ(u²I + σ²mmᵀ)⁻¹(d − s₀m) on as many degrees of freedom as rings",
    range: "moulds with as many rings as were measured; the others are set apart, not punished",
    sources: &[
        Source::common_practice("Gaussian errors of measurement with one common scale, equal prior weights"),
        Source::common_practice("no mould is named alone with less than 0.9 of the weight"),
    ],
    caution: "The weights take for granted that the true mould is in the list. A find of an unlisted mould still gives weights that add up to 1: look at the misfit.",
};

/// A mould of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Mould {
    pub name: String,
    /// Ring diameters in mm, from the smallest outwards.
    pub rings_mm: Vec<f64>,
}

/// What was measured, and what is known of measuring and casting beforehand.
#[derive(Debug, Clone, PartialEq)]
pub struct Rings {
    /// Diameters in mm, from the smallest outwards.
    pub observed_mm: Vec<f64>,
    /// Standard uncertainty of each, mm.
    pub u_mm: f64,
    pub scale_mean: f64,
    pub scale_sd: f64,
}

/// A mould compared; `mould` is its place in the list.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Match {
    pub mould: usize,
    /// Natural logarithm of the density of the measured diameters, mm⁻ⁿ.
    pub log_likelihood: f64,
    /// The likeliest common scale of the find to this mould.
    pub scale: f64,
    /// Share of the likelihood among the moulds ranked, 0 to 1.
    pub weight: f64,
    /// χ² of the misfit, on as many degrees of freedom as rings.
    pub misfit: f64,
    /// How often measuring alone would give a misfit as great if this were the mould, 0 to 1.
    pub misfit_probability: f64,
}

/// What may be said of the ranking.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Finding {
    /// No mould has as many rings.
    NoneComparable,
    /// None fits: even the best departs more than measuring explains.
    NoneFits,
    /// Two or more cannot be told apart by these diameters.
    CannotSeparate,
    /// The first stands out among those listed.
    StandsOut,
}

impl Finding {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoneComparable => "no listed mould has as many rings",
            Self::NoneFits => "no listed mould fits",
            Self::CannotSeparate => "cannot separate these moulds",
            Self::StandsOut => "stands out among the moulds listed",
        }
    }
}

/// Moulds ranked.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ranking {
    /// Likeliest first; equal ones in the order of the list.
    pub ranked: Vec<Match>,
    /// Places in the list of moulds with another number of rings.
    pub excluded: Vec<usize>,
    pub finding: Finding,
    /// How many of `ranked`, from the first, are to be named together: they reach [`ENOUGH`]. 0 if nothing fits.
    pub tied: usize,
}

/// Ranks the moulds of a list by measured ring diameters; see [`RING_MATCH`].
///
/// # Errors
/// `Unsuitable` for no rings or no moulds, diameters that do not rise (fields `observed_mm`, `moulds`), or a number
/// outside its limits (`u_mm`, `scale_mean`, `scale_sd`).
///
/// ```
/// use calc::rings::{Finding, Mould, Rings, rank};
/// let mould = |name: &str, rings: [f64; 3]| Mould { name: name.to_owned(), rings_mm: rings.to_vec() };
/// let list = [mould("small", [12.0, 24.0, 38.0]), mould("large", [14.0, 22.0, 40.0])];
/// let rings = Rings { observed_mm: vec![11.9, 23.8, 37.6], u_mm: 0.3, scale_mean: 1.0, scale_sd: 0.02 };
/// let ranking = rank(&rings, &list)?;
/// assert_eq!(list[ranking.ranked[0].mould].name, "small");
/// assert_eq!(ranking.finding, Finding::StandsOut);
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn rank(rings: &Rings, moulds: &[Mould]) -> Result<Ranking, CalcError> {
    check(rings, moulds)?;
    let count = rings.observed_mm.len();
    let (comparable, excluded): (Vec<usize>, Vec<usize>) =
        (0..moulds.len()).partition(|&one| moulds[one].rings_mm.len() == count);
    let misfits = ChiSquared::new(count as f64)
        .map_err(|_| CalcError::unsuitable("observed_mm", "There is no ring to compare."))?;
    let matches = comparable.iter().map(|&one| likelihood(rings, one, &moulds[one].rings_mm, &misfits));
    let mut ranked: Vec<Match> = matches.collect();
    ranked.sort_by(|one, two| two.log_likelihood.total_cmp(&one.log_likelihood));
    let best = ranked.first().map_or(0.0, |first| first.log_likelihood);
    let total: f64 = ranked.iter().map(|one| (one.log_likelihood - best).exp()).sum();
    for one in &mut ranked {
        one.weight = (one.log_likelihood - best).exp() / total;
    }
    let mut reached = 0.0;
    let before = ranked.iter().take_while(|one| {
        reached += one.weight;
        reached < ENOUGH
    });
    let mut tied = (before.count() + 1).min(ranked.len());
    let finding = match ranked.first() {
        None => Finding::NoneComparable,
        Some(_) if ranked.iter().all(|one| one.misfit_probability < RARE) => Finding::NoneFits,
        Some(_) if tied > 1 => Finding::CannotSeparate,
        Some(_) => Finding::StandsOut,
    };
    if finding == Finding::NoneFits {
        tied = 0;
    }
    Ok(Ranking { ranked, excluded, finding, tied })
}

fn check(rings: &Rings, moulds: &[Mould]) -> Result<(), CalcError> {
    if rings.observed_mm.is_empty() {
        return Err(CalcError::unsuitable("observed_mm", "There is no ring to compare."));
    }
    if moulds.is_empty() {
        return Err(CalcError::unsuitable("moulds", "There is no mould to compare with."));
    }
    DIAMETER.check_rising(&rings.observed_mm)?;
    UNCERTAINTY.check(rings.u_mm)?;
    SCALE.check(rings.scale_mean)?;
    SCALE_SPREAD.check(rings.scale_sd)?;
    for mould in moulds {
        let listed = DIAMETER.called("moulds", "the ring diameter");
        listed
            .check_rising(&mould.rings_mm)
            .map_err(|error| CalcError::unsuitable("moulds", format!("Mould {}: {error}", mould.name)))?;
    }
    Ok(())
}

/// Density of the measurements under one mould. The matrix u²I + σ²mmᵀ is u² times the unit matrix but for one direction,
/// so its inverse and determinant stand in closed form (Sherman and Morrison 1950, from memory).
fn likelihood(rings: &Rings, mould: usize, m: &[f64], misfits: &ChiSquared) -> Match {
    let (u2, spread2) = (rings.u_mm * rings.u_mm, rings.scale_sd * rings.scale_sd);
    let residual: Vec<f64> = rings
        .observed_mm
        .iter()
        .zip(m)
        .map(|(observed, listed)| observed - rings.scale_mean * listed)
        .collect();
    let dot = |one: &[f64], two: &[f64]| one.iter().zip(two).map(|(a, b)| a * b).sum::<f64>();
    let along = dot(m, &residual);
    let stretch = u2 + spread2 * dot(m, m);
    let misfit = ((dot(&residual, &residual) - spread2 * along * along / stretch) / u2).max(0.0);
    let count = m.len() as f64;
    let log_determinant = (count - 1.0) * u2.ln() + stretch.ln();
    Match {
        mould,
        log_likelihood: -0.5 * (misfit + log_determinant + count * TAU.ln()),
        scale: rings.scale_mean + spread2 * along / stretch,
        weight: 0.0,
        misfit,
        misfit_probability: misfits.sf(misfit),
    }
}
