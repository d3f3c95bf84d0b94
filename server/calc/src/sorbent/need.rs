//! How much sorbent a box needs, and how long what it has will do.
use super::{DAYS, OUTSIDE, PackedBox, RESERVOIR, START, Sorbent};
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::source::{Basis, Source};
use serde::Serialize;

/// The humidity at which the sorbent counts as exhausted.
pub const LIMIT: Quantity = Quantity::new("rh_limit_pct", "the limit", "%", 0.0, 100.0);

/// Start and limit closer than this, % relative humidity, ask for more than a hygrometer can tell.
pub const LEAST_DRIFT_PCT: f64 = 0.1;

/// Where the mass of sorbent comes from.
pub const SORBENT_MASS: Basis = Basis {
    formula: "linear: B = c_s D N d/(M F) kg/m³, D the difference outside as a fraction, F the drift allowed in %; exponential: m = (N V d c_s/(100 ln((φ₀−φₑ)/(φ_L−φₑ))) − V c_s/100)/M",
    range: "limit between start and outside, at least 0.1 % from the start; −40 to 60 °C",
    sources: &[
        Source::from_memory("Weintraub", "2002", "Demystifying silica gel"),
        Source::from_memory("Tétreault", "2003", "Airborne pollutants in museums, galleries and archives"),
    ],
    caution: "The linear rule asks for more, so it is the one to pack by; the exponential one is exact for one well-mixed box.",
};

/// Where the days until exhaustion come from.
pub const DAYS_UNTIL: Basis = Basis {
    formula: "d = −τ ln((φ_L − φₑ)/(φ₀ − φₑ))",
    range: "0 to 100 % relative humidity, −40 to 60 °C",
    sources: super::DRIFT.sources,
    caution: super::DRIFT.caution,
};

/// From the humidity packed in, under a steady humidity outside, to the limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Course {
    start_pct: f64,
    outside_pct: f64,
    limit_pct: f64,
}

impl Course {
    /// All three in % relative humidity.
    ///
    /// # Errors
    /// `Unsuitable` outside 0 to 100 %.
    pub fn new(start_pct: f64, outside_pct: f64, limit_pct: f64) -> Result<Self, CalcError> {
        Ok(Self {
            start_pct: START.check(start_pct)?,
            outside_pct: OUTSIDE.check(outside_pct)?,
            limit_pct: LIMIT.check(limit_pct)?,
        })
    }

    /// What is left at the limit of the difference to the outside at the start: 1 at the start, 0 outside.
    fn share_left(self) -> f64 {
        (self.limit_pct - self.outside_pct) / (self.start_pct - self.outside_pct)
    }

    fn crosses_limit(self) -> Result<(), CalcError> {
        let (low, high) = (self.start_pct.min(self.outside_pct), self.start_pct.max(self.outside_pct));
        if !(low < self.limit_pct && self.limit_pct < high) {
            let sentence = format!(
                "The limit, {} %, has to lie between the humidity at the start, {} %, and that outside, {} %.",
                self.limit_pct, self.start_pct, self.outside_pct
            );
            return Err(CalcError::unsuitable(LIMIT.field, sentence));
        }
        if (self.limit_pct - self.start_pct).abs() < LEAST_DRIFT_PCT {
            let sentence = format!(
                "The limit has to be at least {LEAST_DRIFT_PCT} % from the start: no hygrometer tells them apart."
            );
            return Err(CalcError::unsuitable(LIMIT.field, sentence));
        }
        Ok(())
    }
}

/// Sorbent for a box.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SorbentNeed {
    /// By the linear rule, the one to pack by.
    pub linear_kg: f64,
    pub linear_kg_m3: f64,
    /// For one well-mixed box; 0 where none is needed.
    pub exponential_kg: f64,
    /// False if the air of the box alone stays within the limit so long.
    pub is_needed: bool,
}

/// How long a box keeps within its limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UntilLimit {
    /// After so many days.
    Days(f64),
    /// The humidity outside itself stays on this side of the limit.
    NeverReached,
    /// The box starts at the limit or beyond it.
    AlreadyBeyond,
}

impl UntilLimit {
    /// Days until the limit: none if it is never reached, 0 if the box is there.
    pub const fn days(self) -> Option<f64> {
        match self {
            Self::Days(days) => Some(days),
            Self::NeverReached => None,
            Self::AlreadyBeyond => Some(0.0),
        }
    }

    /// "ok", "never_reached" or "already_beyond".
    pub const fn name(self) -> &'static str {
        match self {
            Self::Days(_) => "ok",
            Self::NeverReached => "never_reached",
            Self::AlreadyBeyond => "already_beyond",
        }
    }
}

impl PackedBox {
    /// The sorbent of `reservoir` g per kg and % that keeps the box within its limit for `days`; see [`SORBENT_MASS`].
    ///
    /// # Errors
    /// `Unsuitable` if the limit does not lie between start and outside, is too near the start, or a number is out of
    /// range.
    ///
    /// ```
    /// use calc::sorbent::{Course, PackedBox};
    /// let need = PackedBox::new(0.05, 1.0, 20.0)?.sorbent_needed(Course::new(50.0, 30.0, 45.0)?, 90.0, 2.0)?;
    /// assert_eq!(format!("{:.2} kg, {:.2} kg", need.linear_kg, need.exponential_kg), "1.56 kg, 1.35 kg");
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn sorbent_needed(self, course: Course, days: f64, reservoir: f64) -> Result<SorbentNeed, CalcError> {
        let (days, reservoir) = (DAYS.check(days)?, RESERVOIR.check(reservoir)?);
        course.crosses_limit()?;
        let air = self.air_g_per_pct();
        let decades = -course.share_left().ln();
        let exponential_kg = (self.air_changes_per_day * days * air / decades - air) / reservoir;
        let difference = (course.outside_pct - course.start_pct).abs() / 100.0;
        let allowed = (course.limit_pct - course.start_pct).abs();
        let linear_kg_m3 =
            self.saturated_g_m3 * difference * self.air_changes_per_day * days / (reservoir * allowed);
        Ok(SorbentNeed {
            linear_kg: linear_kg_m3 * self.volume_m3,
            linear_kg_m3,
            exponential_kg: exponential_kg.max(0.0),
            is_needed: exponential_kg > 0.0,
        })
    }

    /// The days until the sorbent in the box is exhausted; see [`DAYS_UNTIL`].
    ///
    /// ```
    /// use calc::sorbent::{Course, PackedBox, Sorbent, UntilLimit};
    /// let packed = PackedBox::new(0.012, 0.4, 20.0)?;
    /// let until = packed.days_until(Sorbent::new(0.3, 1.5)?, Course::new(10.0, 60.0, 15.0)?);
    /// assert_eq!(until.days().map(f64::round), Some(57.0));
    /// let never = packed.days_until(Sorbent::new(0.3, 1.5)?, Course::new(10.0, 14.0, 15.0)?);
    /// assert_eq!(never, UntilLimit::NeverReached);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn days_until(self, sorbent: Sorbent, course: Course) -> UntilLimit {
        let Course { start_pct, outside_pct, limit_pct } = course;
        let is_rising = outside_pct > start_pct;
        let is_falling = outside_pct < start_pct;
        let is_beyond = (is_rising && limit_pct < start_pct) || (is_falling && limit_pct > start_pct);
        let stays_within =
            (is_rising && limit_pct >= outside_pct) || (is_falling && limit_pct <= outside_pct);
        if is_beyond || limit_pct == start_pct {
            return UntilLimit::AlreadyBeyond;
        }
        if stays_within || start_pct == outside_pct {
            return UntilLimit::NeverReached;
        }
        UntilLimit::Days(-self.tau_days(sorbent.buffer_g_per_pct()) * course.share_left().ln())
    }
}
