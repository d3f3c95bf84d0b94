//! The straight line through measured points.
use crate::error::CalcError;
use serde::Serialize;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// y = intercept + slope · x by ordinary least squares. Units are those of the points.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Line {
    pub slope: f64,
    pub intercept: f64,
    /// Standard error of the slope; 0 when the points lie on the line.
    pub slope_se: f64,
    /// Share of the variation of y that the line accounts for, 0 to 1; 0 where y does not vary.
    pub r2: f64,
    pub points: usize,
}

impl Line {
    /// The fewest points from which more than a drawn line can be said.
    pub const LEAST_POINTS: usize = 3;

    /// The line of least squares through points (x, y). Source: any textbook of statistics; checked in `tests/`
    /// against certified data of the United States standards institute.
    ///
    /// # Errors
    /// `Unsuitable` (field `field`) under three points, or if x does not vary.
    ///
    /// ```
    /// use calc::regression::Line;
    /// let line = Line::through("t_h", &[(0.0, 1.0), (1.0, 3.0), (2.0, 5.0)])?;
    /// assert_eq!((line.slope, line.intercept, line.r2), (2.0, 1.0, 1.0));
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn through(field: &'static str, points: &[(f64, f64)]) -> Result<Self, CalcError> {
        let count = points.len();
        if count < Self::LEAST_POINTS {
            let sentence = format!("A line needs at least three points; there are {count}.");
            return Err(CalcError::unsuitable(field, sentence));
        }
        let n = count as f64;
        let mean_x = points.iter().map(|point| point.0).sum::<f64>() / n;
        let mean_y = points.iter().map(|point| point.1).sum::<f64>() / n;
        let centred = || points.iter().map(|point| (point.0 - mean_x, point.1 - mean_y));
        let sxx: f64 = centred().map(|(x, _)| x * x).sum();
        let sxy: f64 = centred().map(|(x, y)| x * y).sum();
        let syy: f64 = centred().map(|(_, y)| y * y).sum();
        if sxx <= 0.0 {
            return Err(CalcError::unsuitable(
                field,
                "All points have the same place: no line can be drawn.",
            ));
        }
        let slope = sxy / sxx;
        let left: f64 = centred().map(|(x, y)| (y - slope * x).powi(2)).sum();
        let r2 = if syy > 0.0 { (1.0 - left / syy).clamp(0.0, 1.0) } else { 0.0 };
        let slope_se = (left / (n - 2.0) / sxx).sqrt();
        let line = Self { slope, intercept: mean_y - slope * mean_x, slope_se, r2, points: count };
        if [slope, line.intercept, slope_se, r2].into_iter().all(f64::is_finite) {
            return Ok(line);
        }
        Err(CalcError::unsuitable(field, "The numbers are too far apart to draw a line through them."))
    }

    /// Half the width of the 95 % confidence interval of the slope: Student's t with n − 2 degrees of freedom.
    pub fn slope_margin_95(&self) -> f64 {
        let freedom = self.points.saturating_sub(2).max(1) as f64;
        StudentsT::new(0.0, 1.0, freedom).map_or(f64::MAX, |t| t.inverse_cdf(0.975)) * self.slope_se
    }

    /// y at x.
    pub fn at(&self, x: f64) -> f64 {
        self.intercept + self.slope * x
    }
}
