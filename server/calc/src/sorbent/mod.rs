//! Conditioned silica gel in a box: how long it holds, how much is needed, how leaky the box is.
//!
//! The box is one well-mixed volume of air that exchanges with the room and with the sorbent in it. Its humidity φ
//! drifts from φ₀ to that outside, φₑ, with one time constant.
//!
//! - [`exchange`]: how often the air of the box changes, from the decay of a tracer
//! - [`isotherm`]: the water a sorbent holds at each humidity, and the humidity of a box through time
//! - [`need`]: how much sorbent, and how many days
//!
//! ```
//! use calc::sorbent::{PackedBox, Sorbent};
//! let packed = PackedBox::new(0.05, 1.0, 20.0)?; // 50 litres, one air change a day, 20 °C
//! let gel = Sorbent::new(0.5, 2.0)?; // half a kilogram, 2 g per kg and % relative humidity
//! let drift = packed.after(gel, 50.0, 30.0, 60.0)?;
//! assert_eq!(format!("{:.1} %", drift.rh_pct), "42.0 %");
//! # Ok::<(), calc::CalcError>(())
//! ```
use crate::air;
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::source::{Basis, Source};
use serde::Serialize;
use std::f64::consts::LN_2;

pub mod exchange;
pub mod isotherm;
pub mod need;

pub use exchange::AirExchange;
pub use isotherm::{Isotherm, Reservoir, Series};
pub use need::{Course, SorbentNeed, UntilLimit};

/// Volume of the box.
pub const VOLUME: Quantity = Quantity::new("V_m3", "the volume of the box", "m³", 1e-6, 1_000.0);
/// Changes of its air.
pub const AIR_CHANGES: Quantity =
    Quantity::new("N_per_day", "the air exchange", "changes a day", 1e-4, 1_000.0);
/// Dry mass of the sorbent; none is a box without.
pub const MASS: Quantity = Quantity::new("m_kg", "the mass of sorbent", "kg", 0.0, 1_000.0);
/// Water that a kilogram of sorbent takes or gives per % of relative humidity, from the supplier's curve.
pub const RESERVOIR: Quantity =
    Quantity::new("M_g_per_kg_pct", "the reservoir of the sorbent", "g per kg and %", 0.01, 100.0);
/// Sorbent per volume of the box.
pub const DENSITY: Quantity =
    Quantity::new("B_kg_m3", "the sorbent per cubic metre", "kg/m³", 0.001, 1_000.0);
/// Humidity in the box at the start.
pub const START: Quantity = Quantity::new("rh0_pct", "the humidity at the start", "%", 0.0, 100.0);
/// Humidity around the box.
pub const OUTSIDE: Quantity = Quantity::new("rh_ext_pct", "the humidity outside", "%", 0.0, 100.0);
/// Time the box is left.
pub const DAYS: Quantity = Quantity::new("days", "the time", "days", 0.0, 36_500.0);

const THOMSON: Source = Source::from_memory(
    "Thomson",
    "1977",
    "Stabilization of RH in exhibition cases: hygrometric half-time, Studies in Conservation 22:85–102",
);

/// Where the drift of a box comes from.
pub const DRIFT: Basis = Basis {
    formula: "φ(d) = φₑ + (φ₀ − φₑ) e^(−d/τ); τ = (m M + V c_s/100)/(V N c_s/100) days; m kg, M g/(kg %), V m³, N air changes a day, c_s g/m³ of saturated air",
    range: "0 to 100 % relative humidity, −40 to 60 °C, one well-mixed volume, M the same throughout",
    sources: &[THOMSON],
    caution: "Leaves out water from wood, card or finds inside, and what passes through the walls: measure the air exchange of the box itself. The reservoir of dry gel changes much with humidity: use the supplier's curve.",
};

/// Where the rule of the half-time comes from.
pub const HALF_TIME: Basis = Basis {
    formula: "t½ = 4 M B days (one air change a day, 20 °C); exactly ln 2 · 100 M B/c_s(20 °C), the air itself left out; B kg of sorbent per m³",
    range: "20 °C, one air change a day",
    sources: &[THOMSON],
    caution: "",
};

/// Sorbent of a mass and a reservoir.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Sorbent {
    mass_kg: f64,
    reservoir: f64,
}

impl Sorbent {
    /// `mass_kg` kg, dry, that take or give `reservoir` g per kg and % relative humidity.
    ///
    /// # Errors
    /// `Unsuitable` outside [`MASS`] or [`RESERVOIR`].
    pub fn new(mass_kg: f64, reservoir: f64) -> Result<Self, CalcError> {
        Ok(Self { mass_kg: MASS.check(mass_kg)?, reservoir: RESERVOIR.check(reservoir)? })
    }

    /// kg.
    pub const fn mass_kg(self) -> f64 {
        self.mass_kg
    }

    /// Grams of water per % relative humidity that all of it takes or gives.
    pub fn buffer_g_per_pct(self) -> f64 {
        self.mass_kg * self.reservoir
    }
}

/// A box with its leak, at one temperature.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PackedBox {
    volume_m3: f64,
    air_changes_per_day: f64,
    /// Water in a cubic metre of saturated air, g.
    saturated_g_m3: f64,
}

/// The humidity in a box after some time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Drift {
    /// Time in which the difference to the outside falls to 1/e of itself.
    pub tau_days: f64,
    /// Time in which it halves.
    pub half_time_days: f64,
    pub rh_pct: f64,
}

impl PackedBox {
    /// A box of `volume_m3` m³ whose air changes `air_changes_per_day` times a day, at `t_c` °C.
    ///
    /// # Errors
    /// `Unsuitable` outside [`VOLUME`], [`AIR_CHANGES`] or the temperatures of air.
    pub fn new(volume_m3: f64, air_changes_per_day: f64, t_c: f64) -> Result<Self, CalcError> {
        Ok(Self {
            volume_m3: VOLUME.check(volume_m3)?,
            air_changes_per_day: AIR_CHANGES.check(air_changes_per_day)?,
            saturated_g_m3: air::saturation_density_g_m3(t_c)?,
        })
    }

    /// Grams of water per % relative humidity in its air.
    fn air_g_per_pct(self) -> f64 {
        self.volume_m3 * self.saturated_g_m3 / 100.0
    }

    /// Days in which the difference to the outside falls to 1/e, for a buffer in g per %.
    fn tau_days(self, buffer_g_per_pct: f64) -> f64 {
        (buffer_g_per_pct + self.air_g_per_pct()) / (self.air_g_per_pct() * self.air_changes_per_day)
    }

    /// The humidity after `days`, from `start_pct` in the box and a steady `outside_pct`; see [`DRIFT`].
    ///
    /// # Errors
    /// `Unsuitable` outside [`START`], [`OUTSIDE`] or [`DAYS`].
    pub fn after(
        self,
        sorbent: Sorbent,
        start_pct: f64,
        outside_pct: f64,
        days: f64,
    ) -> Result<Drift, CalcError> {
        let (start, outside) = (START.check(start_pct)?, OUTSIDE.check(outside_pct)?);
        let tau_days = self.tau_days(sorbent.buffer_g_per_pct());
        let left = (-DAYS.check(days)? / tau_days).exp();
        Ok(Drift { tau_days, half_time_days: tau_days * LN_2, rh_pct: outside + (start - outside) * left })
    }
}

/// The hygrometric half-time of a case of one air change a day at 20 °C, days.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HalfTime {
    /// 4 M B.
    pub by_rule_days: f64,
    /// From the water in saturated air, the buffer of the air itself left out.
    pub exact_days: f64,
}

/// The half-time from the reservoir, g per kg and %, and the sorbent per volume, kg/m³; see [`HALF_TIME`].
///
/// # Errors
/// `Unsuitable` outside [`RESERVOIR`] or [`DENSITY`].
///
/// ```
/// assert_eq!(calc::sorbent::half_time(2.0, 20.0)?.by_rule_days, 160.0);
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn half_time(reservoir: f64, density_kg_m3: f64) -> Result<HalfTime, CalcError> {
    let buffer = RESERVOIR.check(reservoir)? * DENSITY.check(density_kg_m3)?;
    let saturated = air::saturation_density_g_m3(20.0)?;
    Ok(HalfTime { by_rule_days: 4.0 * buffer, exact_days: LN_2 * 100.0 * buffer / saturated })
}
