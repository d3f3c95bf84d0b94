//! The pressure of water vapour that is in balance with water or ice.
use super::KELVIN;
use crate::error::CalcError;
use crate::quantity::{Quantity, shown};
use crate::root::bisect;
use crate::source::{Basis, Source};
use serde::Serialize;

/// What the vapour is in balance with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    Water,
    Ice,
}

impl Phase {
    /// "water" or "ice".
    pub const fn name(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Ice => "ice",
        }
    }

    /// Ice below the triple point, 0.01 °C.
    pub fn at(t_c: f64) -> Self {
        if t_c < TRIPLE_POINT_C { Self::Ice } else { Self::Water }
    }
}

/// Where water, ice and vapour are in balance, °C.
pub const TRIPLE_POINT_C: f64 = 0.01;

/// Temperatures for which the formulas are printed.
pub const TEMPERATURE: Quantity = Quantity::new("t_c", "the temperature", "°C", -100.0, 200.0);

pub(super) const HYLAND_WEXLER: Source = Source::seen(
    "Hyland & Wexler",
    "1983",
    "formulations for the saturated phases of water",
    "as printed in ASHRAE Handbook Fundamentals 2017, chapter 1, equations 5 and 6, and held by a reference library",
);

/// Where the saturation pressure comes from.
pub const SATURATION: Basis = Basis {
    formula: "ln p_s = C1/T + C2 + C3 T + C4 T² + C5 T³ + C6 T⁴ + C7 ln T; p_s in Pa, T in K, one set of constants over water, one over ice",
    range: "over ice −100 to 0.01 °C, over water 0.01 to 200 °C",
    sources: &[HYLAND_WEXLER],
    caution: "",
};

/// Constants C1 to C7.
type Constants = [f64; 7];

const OVER_WATER: Constants =
    [-5.800_220_6e3, 1.391_499_3, -4.864_023_9e-2, 4.176_476_8e-5, -1.445_209_3e-8, 0.0, 6.545_967_3];
const OVER_ICE: Constants =
    [-5.674_535_9e3, 6.392_524_7, -9.677_843e-3, 6.221_570_1e-7, 2.074_782_5e-9, -9.484_024e-13, 4.163_501_9];

/// Saturation pressure over water, below 0.01 °C over ice, Pa, at a temperature in °C; see [`SATURATION`].
///
/// # Errors
/// `Unsuitable` outside −100 to 200 °C.
///
/// ```
/// use calc::air::{Phase, saturation_pressure_pa};
/// let (pressure, phase) = saturation_pressure_pa(-20.0)?;
/// assert_eq!((pressure.round(), phase), (103.0, Phase::Ice));
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn saturation_pressure_pa(t_c: f64) -> Result<(f64, Phase), CalcError> {
    TEMPERATURE.check(t_c)?;
    Ok((pressure_pa(t_c), Phase::at(t_c)))
}

/// As [`saturation_pressure_pa`], for a temperature known to lie within its limits.
pub(super) fn pressure_pa(t_c: f64) -> f64 {
    match Phase::at(t_c) {
        Phase::Water => over(&OVER_WATER, t_c),
        Phase::Ice => over(&OVER_ICE, t_c),
    }
}

fn over(constants: &Constants, t_c: f64) -> f64 {
    let [c1, c2, c3, c4, c5, c6, c7] = *constants;
    let t = t_c + KELVIN;
    (c1 / t + c2 + t * (c3 + t * (c4 + t * (c5 + t * c6))) + c7 * t.ln()).exp()
}

/// The temperature, °C, at which vapour of a pressure in Pa is saturated, and over what.
pub(super) fn temperature_c(vapour_pa: f64) -> Result<(f64, Phase), CalcError> {
    let (coldest, hottest) = (pressure_pa(TEMPERATURE.low), pressure_pa(TEMPERATURE.high));
    if !(coldest..=hottest).contains(&vapour_pa) {
        let sentence = format!(
            "Vapour of {} Pa has its dew point beyond the formula, which holds from −100 to 200 °C.",
            shown(vapour_pa)
        );
        return Err(CalcError::unsuitable("rh_pct", sentence));
    }
    let t_c = if vapour_pa < over(&OVER_WATER, TRIPLE_POINT_C) {
        bisect(|t| over(&OVER_ICE, t), vapour_pa, TEMPERATURE.low, TRIPLE_POINT_C)
    } else {
        bisect(|t| over(&OVER_WATER, t), vapour_pa, TRIPLE_POINT_C, TEMPERATURE.high)
    };
    Ok((t_c, Phase::at(t_c)))
}
