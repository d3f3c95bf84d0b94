//! The water that a sorbent holds at each humidity, and the humidity of a box through time.
use super::{MASS, OUTSIDE, PackedBox, RESERVOIR, START};
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::source::{Basis, Source};
use serde::Serialize;

/// Humidity of a point of the curve.
pub const HUMIDITY: Quantity = Quantity::new("isotherm", "the humidity", "%", 0.0, 100.0);
/// Water held there, per kilogram of dry sorbent.
pub const CONTENT: Quantity = Quantity::new("isotherm", "the water held", "g/kg", 0.0, 5_000.0);
/// Length of a step of a series.
pub const STEP: Quantity = Quantity::new("step_h", "the step", "h", 0.001, 8_784.0);

/// Where the humidity through time comes from.
pub const SERIES: Basis = Basis {
    formula: "in each step φ → φₑ + (φ − φₑ) e^(−Δt/τ), exact for a steady humidity outside; with an isotherm τ changes at each of its points",
    range: "0 to 100 % relative humidity, −40 to 60 °C; beyond the ends of an isotherm its last slope goes on",
    sources: super::DRIFT.sources,
    caution: super::DRIFT.caution,
};

/// Ordinary silica gel, % relative humidity and g/kg: 13.4, 28.8 and 33 % of its mass at 24, 50 and 65 %. Only an
/// illustration ([`ORDINARY_GEL_SOURCE`]): use the supplier's curve.
pub const ORDINARY_GEL: [(f64, f64); 3] = [(24.0, 134.0), (50.0, 288.0), (65.0, 330.0)];

/// Where [`ORDINARY_GEL`] comes from.
pub const ORDINARY_GEL_SOURCE: Source =
    Source::seen("", "", "web page of an amateur, one bag of gel weighed at three humidities", "500 g bag");

/// A curve of water held against humidity, straight between its points.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Isotherm(Vec<(f64, f64)>);

impl Isotherm {
    /// The curve through points of % relative humidity and g/kg, both rising.
    ///
    /// # Errors
    /// `Unsuitable` under two points, if they do not rise, or if a piece is flatter or steeper than
    /// [`RESERVOIR`] allows.
    ///
    /// ```
    /// use calc::sorbent::{Isotherm, isotherm::ORDINARY_GEL};
    /// let gel = Isotherm::new(&ORDINARY_GEL)?;
    /// assert_eq!(format!("{:.1}", gel.reservoir_between(30.0, 40.0)?), "5.9");
    /// assert_eq!(format!("{:.1}", gel.reservoir_between(50.0, 65.0)?), "2.8");
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn new(points: &[(f64, f64)]) -> Result<Self, CalcError> {
        if points.len() < 2 {
            return Err(CalcError::unsuitable(HUMIDITY.field, "The curve needs at least two points."));
        }
        let (humidities, contents): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        HUMIDITY.check_rising(&humidities)?;
        CONTENT.check_rising(&contents)?;
        let reservoir = RESERVOIR.called(HUMIDITY.field, "the slope of the curve");
        for pair in points.windows(2) {
            reservoir.check(slope(pair))?;
        }
        Ok(Self(points.to_vec()))
    }

    /// The reservoir between two humidities, g per kg and %: the water given or taken from one to the other.
    ///
    /// # Errors
    /// `Unsuitable` outside 0 to 100 %, or if both are the same.
    pub fn reservoir_between(&self, one_pct: f64, other_pct: f64) -> Result<f64, CalcError> {
        HUMIDITY.check_each(&[one_pct, other_pct])?;
        let apart = other_pct - one_pct;
        if apart.abs() < super::need::LEAST_DRIFT_PCT {
            let sentence = "The two humidities are the same: there is nothing to give or take between them.";
            return Err(CalcError::unsuitable(HUMIDITY.field, sentence));
        }
        Ok((self.content(other_pct) - self.content(one_pct)) / apart)
    }

    /// g/kg at a humidity; the last slope goes on beyond the ends.
    fn content(&self, rh_pct: f64) -> f64 {
        let inner = &self.0[1..self.0.len() - 1];
        let piece = inner.iter().filter(|point| point.0 < rh_pct).count();
        let pair = &self.0[piece..piece + 2];
        pair[0].1 + slope(pair) * (rh_pct - pair[0].0)
    }

    /// The slope on the way from a humidity up or down, and where it next changes.
    fn slope_from(&self, rh_pct: f64, is_rising: bool) -> (f64, Option<f64>) {
        let inner = &self.0[1..self.0.len() - 1];
        let is_passed = |knot: f64| if is_rising { knot <= rh_pct } else { knot < rh_pct };
        let piece = inner.iter().filter(|point| is_passed(point.0)).count();
        let next = if is_rising { inner.get(piece) } else { piece.checked_sub(1).and_then(|n| inner.get(n)) };
        (slope(&self.0[piece..piece + 2]), next.map(|point| point.0))
    }
}

fn slope(pair: &[(f64, f64)]) -> f64 {
    (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0)
}

/// How a sorbent's water depends on humidity.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub enum Reservoir {
    /// The same g per kg and % throughout.
    Constant(f64),
    Isotherm(Isotherm),
}

impl Reservoir {
    fn slope_from(&self, rh_pct: f64, is_rising: bool) -> (f64, Option<f64>) {
        match self {
            Self::Constant(reservoir) => (*reservoir, None),
            Self::Isotherm(curve) => curve.slope_from(rh_pct, is_rising),
        }
    }
}

/// The humidity in a box through time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Series {
    /// % at the end of each step.
    pub rh_pct: Vec<f64>,
    pub min_pct: f64,
    pub max_pct: f64,
}

impl PackedBox {
    /// The humidity in a box with `mass_kg` of sorbent, from `start_pct`, while that outside stays at each value of
    /// `outside_pct` for `step_h` hours; see [`SERIES`].
    ///
    /// # Errors
    /// `Unsuitable` if there are no values outside or a number is out of range.
    ///
    /// ```
    /// use calc::sorbent::{PackedBox, Reservoir};
    /// let packed = PackedBox::new(0.05, 1.0, 20.0)?;
    /// let week = packed.series((0.2, &Reservoir::Constant(2.0)), 50.0, 24.0, &[60.0, 75.0, 70.0, 55.0])?;
    /// assert!(week.max_pct < 52.0);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn series(
        self,
        (mass_kg, reservoir): (f64, &Reservoir),
        start_pct: f64,
        step_h: f64,
        outside_pct: &[f64],
    ) -> Result<Series, CalcError> {
        if outside_pct.is_empty() {
            return Err(CalcError::unsuitable(
                OUTSIDE.field,
                "There is no humidity outside: give at least one.",
            ));
        }
        OUTSIDE.check_each(outside_pct)?;
        let (mass_kg, days) = (MASS.check(mass_kg)?, STEP.check(step_h)? / 24.0);
        if let Reservoir::Constant(constant) = reservoir {
            RESERVOIR.check(*constant)?;
        }
        let mut rh = START.check(start_pct)?;
        let rh_pct: Vec<f64> = outside_pct
            .iter()
            .map(|outside| {
                rh = self.step(mass_kg, reservoir, rh, (*outside, days));
                rh
            })
            .collect();
        let min_pct = rh_pct.iter().copied().fold(100.0, f64::min);
        let max_pct = rh_pct.iter().copied().fold(0.0, f64::max);
        Ok(Series { rh_pct, min_pct, max_pct })
    }

    /// One step, piece by piece of the isotherm.
    fn step(self, mass_kg: f64, reservoir: &Reservoir, start: f64, (outside, days): (f64, f64)) -> f64 {
        let (mut rh, mut left) = (start, days);
        while rh != outside {
            let is_rising = outside > rh;
            let (slope, knot) = reservoir.slope_from(rh, is_rising);
            let tau = self.tau_days(mass_kg * slope);
            let end = outside + (rh - outside) * (-left / tau).exp();
            match knot.filter(|knot| if is_rising { end > *knot } else { end < *knot }) {
                None => return end,
                Some(knot) => {
                    left = (left - tau * ((rh - outside) / (knot - outside)).ln()).max(0.0);
                    rh = knot;
                }
            }
        }
        rh
    }
}
