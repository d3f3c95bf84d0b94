//! The humidity over saturated salt solutions, to hold a chamber at a set point.
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::source::{Basis, Source};
use serde::Serialize;

/// Where the set points come from.
pub const SET_POINTS: Basis = Basis {
    formula: "table of relative humidity at every 5 °C, straight between its entries",
    range: "0 to 40 °C; potassium carbonate 0 to 30 °C",
    sources: &[Source::from_memory(
        "Greenspan",
        "1977",
        "Humidity fixed points of binary saturated aqueous solutions, J. Res. NBS 81A:89–96, table 2",
    )],
    caution: "Holds over a slurry of pure salt with solid left in it, in a small closed space at one temperature.",
};

/// Degrees between the entries of a table.
const EVERY_C: f64 = 5.0;

/// A salt whose saturated solution holds a humidity.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Salt {
    pub name: &'static str,
    pub formula: &'static str,
    /// % relative humidity at 0, 5, 10 … °C.
    rh_pct: &'static [f64],
}

impl Salt {
    /// Every salt of the table, driest first.
    pub const ALL: [Self; 8] = [
        Self {
            name: "lithium chloride",
            formula: "LiCl",
            rh_pct: &[11.23, 11.26, 11.29, 11.30, 11.31, 11.30, 11.28, 11.25, 11.21],
        },
        Self {
            name: "magnesium chloride",
            formula: "MgCl₂",
            rh_pct: &[33.66, 33.60, 33.47, 33.30, 33.07, 32.78, 32.44, 32.05, 31.60],
        },
        Self {
            name: "potassium carbonate",
            formula: "K₂CO₃",
            rh_pct: &[43.13, 43.13, 43.14, 43.15, 43.16, 43.16, 43.17],
        },
        Self {
            name: "magnesium nitrate",
            formula: "Mg(NO₃)₂",
            rh_pct: &[60.35, 58.86, 57.36, 55.87, 54.38, 52.89, 51.40, 49.91, 48.42],
        },
        Self {
            name: "sodium chloride",
            formula: "NaCl",
            rh_pct: &[75.51, 75.65, 75.67, 75.61, 75.47, 75.29, 75.09, 74.87, 74.68],
        },
        Self {
            name: "potassium chloride",
            formula: "KCl",
            rh_pct: &[88.61, 87.67, 86.77, 85.92, 85.11, 84.34, 83.62, 82.95, 82.32],
        },
        Self {
            name: "potassium nitrate",
            formula: "KNO₃",
            rh_pct: &[96.33, 96.27, 95.96, 95.41, 94.62, 93.58, 92.31, 90.79, 89.03],
        },
        Self {
            name: "potassium sulfate",
            formula: "K₂SO₄",
            rh_pct: &[98.77, 98.48, 98.18, 97.89, 97.59, 97.30, 97.00, 96.71, 96.41],
        },
    ];

    /// The salt of that name, in small letters.
    pub fn named(name: &str) -> Option<&'static Self> {
        const ALL: &[Salt] = &Salt::ALL;
        ALL.iter().find(|salt| salt.name == name)
    }

    /// Temperatures for which the salt is tabled.
    pub fn temperature(&self) -> Quantity {
        let high = EVERY_C * (self.rh_pct.len() - 1) as f64;
        Quantity::new("t_c", "the temperature", "°C", 0.0, high)
    }

    /// % relative humidity over its saturated solution at `t_c` °C; see [`SET_POINTS`].
    ///
    /// # Errors
    /// `Unsuitable` outside [`Salt::temperature`].
    ///
    /// ```
    /// let salt = calc::drying::Salt::named("sodium chloride").unwrap();
    /// assert_eq!(salt.rh_pct(20.0)?, 75.47);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn rh_pct(&self, t_c: f64) -> Result<f64, CalcError> {
        let place = self.temperature().check(t_c)? / EVERY_C;
        let below = (place.floor() as usize).min(self.rh_pct.len() - 2);
        let (low, high) = (self.rh_pct[below], self.rh_pct[below + 1]);
        Ok(low + (high - low) * (place - below as f64))
    }

    /// The salt whose humidity at `t_c` °C comes nearest to a set point, and that humidity, %.
    ///
    /// # Errors
    /// `Unsuitable` outside the temperatures of the table.
    ///
    /// ```
    /// let (salt, rh) = calc::drying::Salt::nearest(85.0, 20.0)?;
    /// assert_eq!((salt.formula, rh), ("KCl", 85.11));
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn nearest(set_point_pct: f64, t_c: f64) -> Result<(Self, f64), CalcError> {
        let [first, rest @ ..] = Self::ALL;
        let start = (first, first.rh_pct(t_c)?);
        let tabled = rest.into_iter().filter_map(|salt| Some((salt, salt.rh_pct(t_c).ok()?)));
        let miss = |rh: f64| (rh - set_point_pct).abs();
        Ok(tabled.fold(start, |best, one| if miss(one.1) < miss(best.1) { one } else { best }))
    }
}
