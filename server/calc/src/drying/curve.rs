//! The curve through weighings.
use super::{MASS, TIME, check_weighings};
use crate::error::CalcError;
use crate::regression::Exponential;
use crate::source::{Basis, Source};
use serde::Serialize;
use std::f64::consts::LN_2;

/// Fewest weighings to draw a curve through.
pub const LEAST_WEIGHINGS: usize = 4;
/// The change over a day that counts as constant, as a fraction of the mass: that of every standard.
const CONSTANT: f64 = 0.001;
const DAY_H: f64 = 24.0;
/// The final mass has to be known to this share of itself.
const LOOSEST_FINAL: f64 = 0.05;
/// A curve reaching back over more than this many times 1/k before its first weighing says nothing there.
const LONGEST_BACK: f64 = 50.0;

/// Where the curve and its end come from.
pub const DRYING_CURVE: Basis = Basis {
    formula: "m = m∞ + (m₀ − m∞) e^(−kt), least squares; constant from the first t at which the next 24 h lose at most 0.1 %: e^(−kt) = 0.001 m∞/(b (1 − e^(−24k)) − 0.001 b), b = m₀ − m∞",
    range: "four weighings or more that fall and show where they settle; standard error of m∞ at most 5 %",
    sources: &[
        Source::seen(
            "NIST",
            "",
            "Statistical Reference Datasets, nonlinear regression",
            "the fit reproduces Misra1a and BoxBOD",
        ),
        Source::common_practice("drying as one exponential"),
    ],
    caution: "A projection, no proof: only weighings prove constant mass. While a find is wet through it dries at a constant rate, not along this curve: leave those weighings out.",
};

/// m∞ + (m₀ − m∞) e^(−kt), t in h since the first weighing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DryingCurve {
    /// Mass it settles at, and the standard error of that, g.
    pub final_g: f64,
    pub final_se_g: f64,
    /// Mass at hour 0, g.
    pub start_g: f64,
    pub rate_per_h: f64,
    /// Hours in which what is left to lose halves.
    pub half_time_h: f64,
    /// Hour from which a day's loss stays within 0.1 % of the mass; the first hour of the curve if it does so already.
    pub constant_at_h: f64,
    /// Standard deviation of the weighings about the curve, g.
    pub residual_sd_g: f64,
    /// Hour of the first weighing used.
    pub first_h: f64,
    /// Weighings used.
    pub weighings: usize,
}

impl DryingCurve {
    /// The curve through all weighings, times in h and masses in g; see [`DRYING_CURVE`].
    ///
    /// # Errors
    /// `Unsuitable` under four weighings, if times do not rise, the mass does not fall, or the weighings do not show
    /// yet where they settle.
    ///
    /// ```
    /// use calc::drying::DryingCurve;
    /// let hours = [0.0, 24.0, 48.0, 72.0, 96.0, 120.0, 144.0];
    /// let grams = [512.02, 499.88, 492.16, 487.67, 484.69, 482.86, 481.76];
    /// let curve = DryingCurve::through(&hours, &grams)?;
    /// assert_eq!(format!("{:.1} g after {:.0} h", curve.final_g, curve.constant_at_h), "479.9 g after 162 h");
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn through(times_h: &[f64], masses_g: &[f64]) -> Result<Self, CalcError> {
        Self::through_from(times_h, masses_g, 1)
    }

    /// The curve through the weighings from the `first`, counted from 1: the earlier ones are left out.
    ///
    /// # Errors
    /// As [`DryingCurve::through`], for the weighings that remain.
    pub fn through_from(times_h: &[f64], masses_g: &[f64], first: usize) -> Result<Self, CalcError> {
        check_weighings(times_h, masses_g)?;
        let points: Vec<_> =
            times_h.iter().copied().zip(masses_g.iter().copied()).skip(first.max(1) - 1).collect();
        if points.len() < LEAST_WEIGHINGS {
            let sentence =
                format!("The curve needs at least {LEAST_WEIGHINGS} weighings; there are {}.", points.len());
            return Err(CalcError::unsuitable(MASS.field, sentence));
        }
        Self::settled(Exponential::through(MASS.field, &points)?, points.len())
    }

    /// The earliest and the latest hour at which it would be constant if any one weighing were left out: how far the
    /// end hangs on a single weighing (the jackknife's ranges; Quenouille 1956, from memory). None under five weighings, or
    /// where without one of them no curve can be drawn.
    ///
    /// ```
    /// use calc::drying::DryingCurve;
    /// let hours = [0.0, 24.0, 48.0, 72.0, 96.0, 120.0, 144.0];
    /// let grams = [512.02, 499.88, 492.16, 487.67, 484.69, 482.86, 481.76];
    /// let (early, late) = DryingCurve::end_without_one(&hours, &grams, 1).unwrap();
    /// assert!(early < 162.0 && 162.0 < late);
    /// ```
    pub fn end_without_one(times_h: &[f64], masses_g: &[f64], first: usize) -> Option<(f64, f64)> {
        let skipped = first.max(1) - 1;
        let (times, masses) = (times_h.get(skipped..)?, masses_g.get(skipped..)?);
        if times.len() <= LEAST_WEIGHINGS {
            return None;
        }
        let ends: Option<Vec<f64>> = (0..times.len())
            .map(|left_out| {
                let but = |all: &[f64]| [&all[..left_out], &all[left_out + 1..]].concat();
                Self::through(&but(times), &but(masses)).ok().map(|curve| curve.constant_at_h)
            })
            .collect();
        let ends = ends?;
        let (low, high) =
            ends.iter().fold((f64::MAX, f64::MIN), |(low, high), end| (low.min(*end), high.max(*end)));
        Some((low, high))
    }

    fn settled(fit: Exponential, weighings: usize) -> Result<Self, CalcError> {
        let refused = |sentence: &str| Err(CalcError::unsuitable(MASS.field, sentence));
        if fit.step <= 0.0 {
            return refused("The mass does not fall: this is no drying.");
        }
        if fit.level <= 0.0 || fit.level_se > LOOSEST_FINAL * fit.level {
            return refused("The weighings do not show yet at which mass they settle: weigh on.");
        }
        if fit.rate * fit.first_x > LONGEST_BACK {
            return Err(CalcError::unsuitable(TIME.field, "Count the hours from the first weighing."));
        }
        Ok(Self {
            final_g: fit.level,
            final_se_g: fit.level_se,
            start_g: fit.level + fit.step * (fit.rate * fit.first_x).exp(),
            rate_per_h: fit.rate,
            half_time_h: LN_2 / fit.rate,
            constant_at_h: constant_at_h(&fit),
            residual_sd_g: fit.residual_sd,
            first_h: fit.first_x,
            weighings,
        })
    }

    /// Mass at an hour, g; before hour 0 the mass at hour 0.
    pub fn mass_g(&self, time_h: f64) -> f64 {
        self.final_g + (self.start_g - self.final_g) * (-self.rate_per_h * time_h.max(0.0)).exp()
    }

    /// Loss from hour 0 to the mass it settles at, g.
    pub fn total_loss_g(&self) -> f64 {
        self.start_g - self.final_g
    }
}

fn constant_at_h(fit: &Exponential) -> f64 {
    let daily = fit.step * (-(-DAY_H * fit.rate).exp_m1() - CONSTANT);
    let share = CONSTANT * fit.level / daily;
    if daily <= 0.0 || share >= 1.0 { fit.first_x } else { fit.first_x - share.ln() / fit.rate }
}
