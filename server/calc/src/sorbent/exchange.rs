//! How often the air of a box changes.
use crate::error::CalcError;
use crate::quantity::{Quantity, shown};
use crate::regression::Line;
use crate::source::{Basis, Source};
use serde::Serialize;

/// Hours since the tracer was let in.
pub const TIME: Quantity = Quantity::new("t_h", "the time", "h", 0.0, 100_000.0);
/// Concentration of the tracer, in any unit.
pub const CONCENTRATION: Quantity = Quantity::new("conc", "the concentration", "", 0.0, 1e9);
/// Its concentration in the room, in the same unit.
pub const BACKGROUND: Quantity = Quantity::new("background", "the background", "", 0.0, 1e9);

/// Where the air exchange comes from.
pub const AIR_EXCHANGE: Basis = Basis {
    formula: "straight line of least squares through ln(C − C_background) against days; N = −slope; 95 % confidence by Student's t, n − 2 degrees of freedom",
    range: "three readings or more, each above the background",
    sources: &[Source::from_memory("ASTM", "E741", "air change in a single zone by tracer gas dilution")],
    caution: "Doubtful where r² is below 0.99 or the confidence interval wider than ±20 %.",
};

/// Changes of air a day, from the decay of a tracer.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AirExchange {
    pub per_day: f64,
    /// 95 % confidence interval.
    pub low_95: f64,
    pub high_95: f64,
    pub r2: f64,
}

impl AirExchange {
    /// From times in hours, the concentrations then, and the background in the room; see [`AIR_EXCHANGE`].
    ///
    /// # Errors
    /// `Unsuitable` under three readings, if times do not rise, a concentration is not above the background, or the
    /// concentration does not fall.
    ///
    /// ```
    /// use calc::sorbent::AirExchange;
    /// let half_lost_each_day = AirExchange::from_decay(&[0.0, 24.0, 48.0], &[1400.0, 900.0, 650.0], 400.0)?;
    /// assert!((half_lost_each_day.per_day - std::f64::consts::LN_2).abs() < 1e-12);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn from_decay(times_h: &[f64], concentrations: &[f64], background: f64) -> Result<Self, CalcError> {
        TIME.check_paired(times_h.len(), &CONCENTRATION, concentrations.len())?;
        TIME.check_rising(times_h)?;
        CONCENTRATION.check_each(concentrations)?;
        BACKGROUND.check(background)?;
        if let Some(n) = concentrations.iter().position(|one| *one <= background) {
            let sentence = format!(
                "The concentration in entry {} is {}, not above the background of {}: leave out what the tracer no longer shows.",
                n + 1,
                shown(concentrations[n]),
                shown(background)
            );
            return Err(CalcError::unsuitable(CONCENTRATION.field, sentence));
        }
        let logarithms = concentrations.iter().map(|one| (one - background).ln());
        let points: Vec<_> = times_h.iter().map(|hours| hours / 24.0).zip(logarithms).collect();
        let line = Line::through(TIME.field, &points)?;
        if line.slope >= 0.0 {
            return Err(CalcError::unsuitable(
                CONCENTRATION.field,
                "The concentration does not fall: this is no decay.",
            ));
        }
        let margin = line.slope_margin_95();
        let per_day = -line.slope;
        Ok(Self { per_day, low_95: per_day - margin, high_95: per_day + margin, r2: line.r2 })
    }

    /// Whether the decay is too ragged to rely on: r² under 0.99, or a confidence interval wider than ±20 %.
    pub fn is_doubtful(self) -> bool {
        self.r2 < 0.99 || self.high_95 - self.per_day > 0.2 * self.per_day
    }
}
