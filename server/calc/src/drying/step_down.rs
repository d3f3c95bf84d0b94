//! A schedule of falling humidities.
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::source::{Basis, Source};
use serde::Serialize;

/// Humidity that the find comes from.
pub const START: Quantity = Quantity::new("rh_start_pct", "the humidity at the start", "%", 0.0, 100.0);
/// Humidity that it is to come to.
pub const END: Quantity = Quantity::new("rh_end_pct", "the humidity at the end", "%", 0.0, 100.0);
/// How far each step goes.
pub const STEP: Quantity = Quantity::new("step_pct", "the step", "%", 0.1, 100.0);
/// Days that each step is held at least.
pub const HOLD: Quantity = Quantity::new("min_hold_days", "the hold", "days", 0.0, 3_650.0);

/// Where the schedule comes from.
pub const STEP_DOWN: Basis = Basis {
    formula: "set points fall by the same step, the last cut short at the end; each is held for the days given and until the mass is constant there",
    range: "0 to 100 % relative humidity, steps from 0.1 %",
    sources: &[Source::common_practice("drying by steps of humidity")],
    caution: "The days are the earliest: a step is released by constant mass, not by the calendar.",
};

/// A humidity to hold.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SetPoint {
    /// Days after the start of the run, at the earliest.
    pub from_day: f64,
    pub rh_pct: f64,
}

/// Set points one after the other.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepDown {
    pub set_points: Vec<SetPoint>,
    pub hold_days: f64,
    /// Day on which the last set point has been held long enough.
    pub earliest_end_day: f64,
}

impl StepDown {
    /// From `start_pct` down to `end_pct` % relative humidity in steps of `step_pct`; see [`STEP_DOWN`].
    ///
    /// # Errors
    /// `Unsuitable` if the end is not below the start, or a number is out of range.
    ///
    /// ```
    /// use calc::drying::StepDown;
    /// let schedule = StepDown::new(90.0, 52.0, 10.0, 4.0)?;
    /// let set_points: Vec<f64> = schedule.set_points.iter().map(|point| point.rh_pct).collect();
    /// assert_eq!(set_points, [80.0, 70.0, 60.0, 52.0]);
    /// assert_eq!(schedule.earliest_end_day, 16.0);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn new(start_pct: f64, end_pct: f64, step_pct: f64, hold_days: f64) -> Result<Self, CalcError> {
        let (start, end) = (START.check(start_pct)?, END.check(end_pct)?);
        let (step, hold_days) = (STEP.check(step_pct)?, HOLD.check(hold_days)?);
        if end >= start {
            let sentence =
                format!("The humidity at the end, {end} %, has to lie below that at the start, {start} %.");
            return Err(CalcError::unsuitable(END.field, sentence));
        }
        // a step that would leave less than a thousandth of itself to the end goes to the end
        let count = ((start - end) / step - 1e-3).ceil().max(1.0) as usize;
        let set_point = |n: usize| SetPoint {
            from_day: (n - 1) as f64 * hold_days,
            rh_pct: if n == count { end } else { start - n as f64 * step },
        };
        let set_points: Vec<SetPoint> = (1..=count).map(set_point).collect();
        Ok(Self { hold_days, earliest_end_day: count as f64 * hold_days, set_points })
    }

    /// The set point that comes after the `held` one, counted from 0, or none after the last: released when it was held
    /// for the days given and the mass is constant there.
    ///
    /// # Errors
    /// `Unsuitable` with what is still missing.
    pub fn next_after(
        &self,
        held: usize,
        held_days: f64,
        is_mass_constant: bool,
    ) -> Result<Option<SetPoint>, CalcError> {
        let Some(now) = self.set_points.get(held) else {
            return Err(CalcError::unsuitable("step", "The schedule has no such step."));
        };
        if held_days < self.hold_days {
            let sentence = format!("{} % is to be held for {} days at least.", now.rh_pct, self.hold_days);
            return Err(CalcError::unsuitable(HOLD.field, sentence));
        }
        if !is_mass_constant {
            let sentence = format!("The mass is not constant at {} % yet.", now.rh_pct);
            return Err(CalcError::unsuitable("mass_g", sentence));
        }
        Ok(self.set_points.get(held + 1).copied())
    }
}
