//! Moist air: how much water it holds, when it lets it go, what becomes of it when a box changes room.
//!
//! - [`saturation`]: the pressure of water vapour over water and ice, and the way back to a temperature
//! - [`moving`]: a box or a find that comes into another room
//!
//! ```
//! use calc::air::Air;
//! let room = Air::new(20.0, 50.0)?;
//! let dew = room.dew_point()?;
//! assert_eq!(format!("{:.1} °C", dew.t_c), "9.3 °C");
//! assert_eq!(format!("{:.2} g/m³", room.absolute_humidity_g_m3()), "8.64 g/m³");
//! # Ok::<(), calc::CalcError>(())
//! ```
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::source::{Basis, Source};
use serde::Serialize;

pub mod moving;
pub mod saturation;

pub use moving::{BoxMove, Condensation, Enclosure, HumidityChange, Surface};
pub use saturation::{Phase, saturation_pressure_pa};

/// Gas constant of water vapour, J kg⁻¹ K⁻¹: 8.314462618 / 0.01801528, rounded.
pub const GAS_CONSTANT_VAPOUR: f64 = 461.5;
/// 0 °C in kelvin.
pub const KELVIN: f64 = 273.15;
/// Pressure of the standard atmosphere at sea level, Pa.
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;

/// Temperature of air and of what stands in it.
pub const TEMPERATURE: Quantity = Quantity::new("t_c", "the temperature", "°C", -40.0, 60.0);
/// Relative humidity. Below 0.01 °C it is taken over ice.
pub const HUMIDITY: Quantity = Quantity::new("rh_pct", "the relative humidity", "%", 0.1, 100.0);
/// Pressure of the air.
pub const PRESSURE: Quantity = Quantity::new("pressure_pa", "the air pressure", "Pa", 50_000.0, 110_000.0);
/// Height above the sea.
pub const ALTITUDE: Quantity = Quantity::new("altitude_m", "the height above the sea", "m", -500.0, 5_000.0);

const FUNDAMENTALS: Source = Source::seen(
    "ASHRAE",
    "2017",
    "Handbook Fundamentals",
    "chapter 1, equations as printed in a reference library",
);

/// Where the dew point comes from.
pub const DEW_POINT: Basis = Basis {
    formula: "the temperature t_d at which saturation pressure p_s(t_d) = φ/100 · p_s(t); below 0.01 °C a frost point, over ice",
    range: "−40 to 60 °C, 0.1 to 100 % relative humidity",
    sources: &[saturation::HYLAND_WEXLER],
    caution: "",
};

/// Where absolute humidity and mixing ratio come from.
pub const WATER_IN_AIR: Basis = Basis {
    formula: "a = 1000 p_v/(R_v T) g/m³; w = 621.945 p_v/(p − p_v) g/kg dry air; p_v = φ/100 · p_s(t), R_v = 461.5 J/(kg K)",
    range: "−40 to 60 °C, 0.1 to 100 % relative humidity, 50 to 110 kPa",
    sources: &[FUNDAMENTALS],
    caution: "Taken as ideal gases: within 1 % of real air.",
};

/// Air of a temperature and a relative humidity, both within [`TEMPERATURE`] and [`HUMIDITY`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Air {
    t_c: f64,
    rh_pct: f64,
}

/// The temperature at which air begins to let its water go.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DewPoint {
    pub t_c: f64,
    /// [`Phase::Ice`] makes it a frost point.
    pub phase: Phase,
}

impl Air {
    /// Air of `t_c` °C and `rh_pct` % relative humidity (0.01 °C and above over water, below over ice).
    ///
    /// # Errors
    /// `Unsuitable` outside [`TEMPERATURE`] or [`HUMIDITY`].
    pub fn new(t_c: f64, rh_pct: f64) -> Result<Self, CalcError> {
        Self::under(&TEMPERATURE, t_c, &HUMIDITY, rh_pct)
    }

    /// As [`Air::new`], refused under the keys and names of the quantities given.
    ///
    /// # Errors
    /// `Unsuitable` outside the limits of the two quantities.
    pub fn under(
        temperature: &Quantity,
        t_c: f64,
        humidity: &Quantity,
        rh_pct: f64,
    ) -> Result<Self, CalcError> {
        Ok(Self { t_c: temperature.check(t_c)?, rh_pct: humidity.check(rh_pct)? })
    }

    /// °C.
    pub const fn t_c(self) -> f64 {
        self.t_c
    }

    /// % relative humidity.
    pub const fn rh_pct(self) -> f64 {
        self.rh_pct
    }

    /// Pressure of the water vapour in it, Pa.
    pub fn vapour_pressure_pa(self) -> f64 {
        self.rh_pct / 100.0 * saturation::pressure_pa(self.t_c)
    }

    /// The dew point, or the frost point below 0.01 °C; see [`DEW_POINT`].
    ///
    /// # Errors
    /// `Unsuitable` if it lies below −100 °C, beyond the saturation formula; air within the limits does not.
    pub fn dew_point(self) -> Result<DewPoint, CalcError> {
        let (t_c, phase) = saturation::temperature_c(self.vapour_pressure_pa())?;
        Ok(DewPoint { t_c, phase })
    }

    /// Water in a cubic metre of it, g m⁻³; see [`WATER_IN_AIR`].
    pub fn absolute_humidity_g_m3(self) -> f64 {
        vapour_density_g_m3(self.vapour_pressure_pa(), self.t_c)
    }

    /// Water per kilogram of dry air, g kg⁻¹, at a pressure in Pa ([`STANDARD_PRESSURE_PA`] at sea level, otherwise
    /// [`pressure_at_altitude_pa`]); see [`WATER_IN_AIR`].
    ///
    /// # Errors
    /// `Unsuitable` outside [`PRESSURE`].
    pub fn humidity_ratio_g_kg(self, pressure_pa: f64) -> Result<f64, CalcError> {
        let (whole, vapour) = (PRESSURE.check(pressure_pa)?, self.vapour_pressure_pa());
        Ok(621.945 * vapour / (whole - vapour))
    }
}

/// Density of vapour of a pressure in Pa at a temperature in °C, g m⁻³.
pub(crate) fn vapour_density_g_m3(vapour_pa: f64, t_c: f64) -> f64 {
    1000.0 * vapour_pa / (GAS_CONSTANT_VAPOUR * (t_c + KELVIN))
}

/// Water in a cubic metre of saturated air, g m⁻³: 17.29 at 20 °C.
///
/// # Errors
/// `Unsuitable` outside [`TEMPERATURE`].
pub fn saturation_density_g_m3(t_c: f64) -> Result<f64, CalcError> {
    Ok(vapour_density_g_m3(saturation::pressure_pa(TEMPERATURE.check(t_c)?), t_c))
}

/// Pressure of the standard atmosphere at a height above the sea in m, Pa: 101 325 (1 − 2.25577·10⁻⁵ h)^5.2559.
/// Source: ASHRAE Handbook Fundamentals 2017, chapter 1 equation 3 (from memory; its table is in the tests).
///
/// # Errors
/// `Unsuitable` outside [`ALTITUDE`].
///
/// ```
/// assert!((calc::air::pressure_at_altitude_pa(1000.0)? - 89_875.0).abs() < 5.0);
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn pressure_at_altitude_pa(altitude_m: f64) -> Result<f64, CalcError> {
    Ok(STANDARD_PRESSURE_PA * (1.0 - 2.25577e-5 * ALTITUDE.check(altitude_m)?).powf(5.2559))
}
