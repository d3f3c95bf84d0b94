//! Release from a wall by diffusion.
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::root::bisect;
use crate::source::{Basis, Source};
use serde::Serialize;
use std::f64::consts::PI;

/// Diffusion coefficient of the salt in the wet wall.
pub const DIFFUSION: Quantity = Quantity::new("D_m2_s", "the diffusion coefficient", "m²/s", 1e-16, 1e-6);
/// Half the thickness of a wall that is wet on both faces; the whole of one that is wet on one.
pub const HALF_THICKNESS: Quantity = Quantity::new("half_thickness_m", "half the thickness", "m", 1e-6, 10.0);
/// Time in the bath.
pub const TIME: Quantity = Quantity::new("t_s", "the time", "s", 0.0, 1e12);
/// Share of the salt that is out.
pub const FRACTION: Quantity = Quantity::new("fraction", "the share released", "", 0.001, 0.999);

/// Where the release from a wall comes from.
pub const SLAB: Basis = Basis {
    formula: "M/M∞ = 1 − Σ 8/((2n+1)²π²) e^(−(2n+1)²π² D t/(4 l²)); while little is out 2 √(D t/(π l²)); l half the thickness",
    range: "plane wall, water kept clean on both faces",
    sources: &[Source::seen(
        "Crank",
        "1975",
        "The Mathematics of Diffusion, 2nd ed.",
        "p. 48, as printed by a reference library",
    )],
    caution: "Twice the thickness takes four times as long. A bath that is not changed slows the release.",
};

/// Below this D t/l² the second term of the series for short times is under 10⁻⁸.
const SHORT: f64 = 0.05;
/// D t/l² by which no more than 10⁻⁶ of the salt is left.
const LONG: f64 = 10.0;

/// A wall from which salt diffuses into clean water on both faces.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Slab {
    diffusion: f64,
    half_thickness: f64,
}

impl Slab {
    /// A wall of a diffusion coefficient in m²/s and half a thickness in m.
    ///
    /// # Errors
    /// `Unsuitable` outside [`DIFFUSION`] or [`HALF_THICKNESS`].
    ///
    /// ```
    /// use calc::desalination::Slab;
    /// let (thin, thick) = (Slab::new(2e-10, 0.004)?, Slab::new(2e-10, 0.008)?);
    /// assert!((thick.time_until_s(0.9)? / thin.time_until_s(0.9)? - 4.0).abs() < 1e-9);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn new(diffusion_m2_s: f64, half_thickness_m: f64) -> Result<Self, CalcError> {
        Ok(Self {
            diffusion: DIFFUSION.check(diffusion_m2_s)?,
            half_thickness: HALF_THICKNESS.check(half_thickness_m)?,
        })
    }

    /// Seconds in which D t/l² becomes 1.
    fn unit_s(self) -> f64 {
        self.half_thickness * self.half_thickness / self.diffusion
    }

    /// Share of the salt that is out after `time_s` seconds, 0 to 1; see [`SLAB`].
    ///
    /// # Errors
    /// `Unsuitable` outside [`TIME`].
    pub fn released(self, time_s: f64) -> Result<f64, CalcError> {
        Ok(released(TIME.check(time_s)? / self.unit_s()))
    }

    /// The straight line in √t that the release follows while little is out; above 0.6 it goes on where the wall does not.
    ///
    /// # Errors
    /// `Unsuitable` outside [`TIME`].
    pub fn released_early(self, time_s: f64) -> Result<f64, CalcError> {
        Ok(early(TIME.check(time_s)? / self.unit_s()))
    }

    /// Seconds until a share of the salt is out.
    ///
    /// # Errors
    /// `Unsuitable` outside [`FRACTION`].
    pub fn time_until_s(self, fraction: f64) -> Result<f64, CalcError> {
        Ok(bisect(released, FRACTION.check(fraction)?, 0.0, LONG) * self.unit_s())
    }
}

fn early(time: f64) -> f64 {
    2.0 * (time / PI).sqrt()
}

/// The share that is out at D t/l².
fn released(time: f64) -> f64 {
    if time < SHORT {
        return early(time);
    }
    let left: f64 = (0..20)
        .map(|n| f64::from(2 * n + 1).powi(2) * PI * PI)
        .map(|square| 8.0 / square * (-square * time / 4.0).exp())
        .sum();
    (1.0 - left).clamp(0.0, 1.0)
}
