//! The climate that a material is kept in.
//!
//! - [`bands`]: the table of targets with their limits and sources
//!
//! ```
//! use calc::climate::{Standing, usual_band};
//! let iron = usual_band("iron").expect("iron is in the table");
//! assert_eq!(iron.rh_max_pct, Some(12.0));
//! assert_eq!(iron.standing(25.0)?, Some(Standing::Alert));
//! # Ok::<(), calc::CalcError>(())
//! ```
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::source::Source;
use serde::Serialize;

pub mod bands;

pub use bands::BANDS;

/// A humidity that was read.
pub const HUMIDITY: Quantity = Quantity::new("rh_pct", "the relative humidity", "%", 0.0, 100.0);

/// Humidities, %, beyond which something has to be done; none where the table has none.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Limits {
    pub below_pct: Option<f64>,
    pub above_pct: Option<f64>,
}

impl Limits {
    const fn none() -> Self {
        Self { below_pct: None, above_pct: None }
    }

    const fn above(above: f64) -> Self {
        Self { below_pct: None, above_pct: Some(above) }
    }

    const fn outside(below: f64, above: f64) -> Self {
        Self { below_pct: Some(below), above_pct: Some(above) }
    }

    /// Whether a humidity lies beyond one of them.
    pub fn are_passed(self, rh_pct: f64) -> bool {
        self.below_pct.is_some_and(|low| rh_pct < low) || self.above_pct.is_some_and(|high| rh_pct > high)
    }
}

/// A target for a material. Targets are a starting point that a project may change.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// The material and its state.
    pub material: &'static str,
    /// Materials as they are registered for which this is the usual band.
    pub usual_for: &'static [&'static str],
    /// Relative humidity, %, both inclusive.
    pub rh_min_pct: Option<f64>,
    pub rh_max_pct: Option<f64>,
    pub alert: Limits,
    pub alarm: Limits,
    /// Temperature, °C.
    pub t_min_c: Option<f64>,
    pub t_max_c: Option<f64>,
    /// Kept under water until treated: no humidity applies.
    pub is_kept_wet: bool,
    pub note: &'static str,
    pub sources: &'static [Source],
    /// What alert and alarm rest on; empty where there are none.
    pub alert_basis: &'static str,
}

/// How a humidity stands to a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    Within,
    /// Off the target, not yet an alert.
    Outside,
    Alert,
    Alarm,
}

impl Band {
    /// How a humidity, %, stands to the band; none where no humidity applies.
    ///
    /// # Errors
    /// `Unsuitable` outside 0 to 100 %.
    pub fn standing(&self, rh_pct: f64) -> Result<Option<Standing>, CalcError> {
        HUMIDITY.check(rh_pct)?;
        let target = Limits { below_pct: self.rh_min_pct, above_pct: self.rh_max_pct };
        let limits =
            [(self.alarm, Standing::Alarm), (self.alert, Standing::Alert), (target, Standing::Outside)];
        let passed = limits.into_iter().find(|(limit, _)| limit.are_passed(rh_pct));
        let applies = !self.is_kept_wet && target != Limits::none();
        Ok(applies.then(|| passed.map_or(Standing::Within, |(_, standing)| standing)))
    }
}

/// The usual band of a material as it is registered ("iron", "glass, weathered"), in small letters.
pub fn usual_band(material: &str) -> Option<&'static Band> {
    BANDS.iter().find(|band| band.usual_for.contains(&material))
}

/// The band of that name.
pub fn band_named(material: &str) -> Option<&'static Band> {
    BANDS.iter().find(|band| band.material == material)
}
