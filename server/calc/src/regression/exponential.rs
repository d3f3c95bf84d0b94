//! The exponential that settles at a level.
use crate::error::CalcError;
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, Owned};
use serde::Serialize;

/// y = level + step · e^(−rate·(x − x₀)), x₀ the first x. Units are those of the points; `rate` is per unit of x.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Exponential {
    pub level: f64,
    /// How far the curve starts from its level: positive when it falls.
    pub step: f64,
    pub rate: f64,
    pub first_x: f64,
    /// Standard errors, from the residuals and the curvature at the optimum.
    pub level_se: f64,
    pub rate_se: f64,
    /// Standard deviation of the residuals, degrees of freedom n − 3.
    pub residual_sd: f64,
}

/// y = top · (1 − e^(−rate·x)).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Saturation {
    pub top: f64,
    pub rate: f64,
    pub top_se: f64,
    pub rate_se: f64,
    /// Standard deviation of the residuals, degrees of freedom n − 2.
    pub residual_sd: f64,
}

impl Exponential {
    /// The curve of least squares through points whose x rises (Levenberg–Marquardt, started from the best of a row of
    /// rates).
    ///
    /// # Errors
    /// `Unsuitable` (field `field`) under four points, if x does not rise or y does not vary, or if the points do not show at which rate
    /// they settle: still straight, or settled between the first two.
    pub fn through(field: &'static str, points: &[(f64, f64)]) -> Result<Self, CalcError> {
        enough(field, points, 4)?;
        let first_x = points[0].0;
        let shifted: Vec<_> = points.iter().map(|point| (point.0 - first_x, point.1)).collect();
        let fit = Fit::of(field, Shape::FreeLevel, &shifted)?;
        Ok(Self {
            level: fit.level,
            step: fit.step,
            rate: fit.rate,
            first_x,
            level_se: fit.level_se,
            rate_se: fit.rate_se,
            residual_sd: fit.residual_sd,
        })
    }

    /// y at x; before the first x its value there.
    pub fn at(&self, x: f64) -> f64 {
        self.level + self.step * (-self.rate * (x - self.first_x).max(0.0)).exp()
    }
}

impl Saturation {
    /// The curve of least squares through points whose x rises, x ≥ 0.
    ///
    /// # Errors
    /// As [`Exponential::through`], from three points.
    ///
    /// ```
    /// use calc::regression::Saturation;
    /// let points: Vec<_> = [1.0, 2.0, 4.0, 8.0].map(|x: f64| (x, 10.0 * (1.0 - (-0.5 * x).exp()))).to_vec();
    /// let curve = Saturation::through("x", &points)?;
    /// assert!((curve.top - 10.0).abs() < 1e-9 && (curve.rate - 0.5).abs() < 1e-9);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn through(field: &'static str, points: &[(f64, f64)]) -> Result<Self, CalcError> {
        enough(field, points, 3)?;
        let fit = Fit::of(field, Shape::FromNought, points)?;
        Ok(Self {
            top: fit.level,
            rate: fit.rate,
            top_se: fit.level_se,
            rate_se: fit.rate_se,
            residual_sd: fit.residual_sd,
        })
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Shape {
    /// level, step and rate
    FreeLevel,
    /// level and rate; the step is minus the level
    FromNought,
}

/// Rates tried to start from, in units of 1/(span of x), are 10 to the power of these, in sixtieths.
const START_POWERS: std::ops::RangeInclusive<i32> = -120..=240;

/// A curve that has come within e^−12 of its level by the first point after its start shows no rate.
const FASTEST: f64 = 12.0;

#[derive(Debug)]
struct Fit {
    level: f64,
    step: f64,
    rate: f64,
    level_se: f64,
    rate_se: f64,
    residual_sd: f64,
}

impl Fit {
    fn of(field: &'static str, shape: Shape, points: &[(f64, f64)]) -> Result<Self, CalcError> {
        let span = points.last().map_or(0.0, |point| point.0);
        let size = points.iter().map(|point| point.1.abs()).fold(0.0, f64::max);
        let varies = points.iter().any(|point| point.1 != points[0].1);
        if span <= 0.0 || size <= 0.0 || (shape == Shape::FreeLevel && !varies) {
            return Err(CalcError::unsuitable(field, "The values do not change: there is no curve to fit."));
        }
        let scaled: Vec<_> = points.iter().map(|point| (point.0 / span, point.1 / size)).collect();
        let start = start(shape, &scaled).ok_or_else(|| no_rate(field))?;
        let problem = Problem { shape, points: scaled, parameters: start };
        let (problem, _) = LevenbergMarquardt::new().with_patience(200).minimize(problem);
        problem.judged(span, size).ok_or_else(|| no_rate(field))
    }
}

fn no_rate(field: &'static str) -> CalcError {
    let sentence = "The values do not show yet at which rate they settle: \
                    they still run straight, scatter too much, or had settled by the second.";
    CalcError::unsuitable(field, sentence)
}

fn enough(field: &'static str, points: &[(f64, f64)], least: usize) -> Result<(), CalcError> {
    if points.len() < least {
        let sentence = format!("The curve needs at least {least} points; there are {}.", points.len());
        return Err(CalcError::unsuitable(field, sentence));
    }
    if points.windows(2).all(|pair| pair[0].0 < pair[1].0) {
        return Ok(());
    }
    Err(CalcError::unsuitable(field, "The points have to follow each other from left to right."))
}

/// For each rate of a row the best level and step follow by linear least squares; the rate with the least sum of
/// squares, unless it stands at an end of the row, where nothing is determined.
fn start(shape: Shape, points: &[(f64, f64)]) -> Option<DVector<f64>> {
    let tried: Vec<_> = START_POWERS
        .filter_map(|power| {
            let rate = 10f64.powf(f64::from(power) / 60.0);
            let parameters = linear_part(shape, points, rate)?;
            let sum = sum_of_squares(shape, points, &parameters);
            sum.is_finite().then_some((sum, parameters))
        })
        .collect();
    let best = (0..tried.len()).min_by(|one, two| tried[*one].0.total_cmp(&tried[*two].0))?;
    let at_an_end = best == 0 || best + 1 == tried.len();
    (!at_an_end).then(|| tried[best].1.clone())
}

fn linear_part(shape: Shape, points: &[(f64, f64)], rate: f64) -> Option<DVector<f64>> {
    let fall = |x: f64| (-rate * x).exp();
    let columns = if shape == Shape::FreeLevel { 2 } else { 1 };
    let matrix = DMatrix::from_fn(points.len(), columns, |row, column| match (shape, column) {
        (Shape::FreeLevel, 0) => 1.0,
        (Shape::FreeLevel, _) => fall(points[row].0),
        (Shape::FromNought, _) => 1.0 - fall(points[row].0),
    });
    let wanted = DVector::from_iterator(points.len(), points.iter().map(|point| point.1));
    let mut solved = matrix.svd(true, true).solve(&wanted, 1e-12).ok()?;
    solved = solved.push(rate);
    solved.iter().all(|one| one.is_finite()).then_some(solved)
}

fn sum_of_squares(shape: Shape, points: &[(f64, f64)], parameters: &DVector<f64>) -> f64 {
    points.iter().map(|point| (value(shape, parameters, point.0) - point.1).powi(2)).sum()
}

/// (level, step, rate) of a list of parameters.
fn named(shape: Shape, parameters: &DVector<f64>) -> (f64, f64, f64) {
    match shape {
        Shape::FreeLevel => (parameters[0], parameters[1], parameters[2]),
        Shape::FromNought => (parameters[0], -parameters[0], parameters[1]),
    }
}

fn value(shape: Shape, parameters: &DVector<f64>, x: f64) -> f64 {
    let (level, step, rate) = named(shape, parameters);
    level + step * (-rate * x).exp()
}

struct Problem {
    shape: Shape,
    points: Vec<(f64, f64)>,
    parameters: DVector<f64>,
}

impl Problem {
    /// The fit in the units of the points, if the points determine it: a rate above nought by more than its standard
    /// error, and not so fast that the first point already sees the level.
    fn judged(&self, span: f64, size: f64) -> Option<Fit> {
        let (level, step, rate) = named(self.shape, &self.parameters);
        let freedom = (self.points.len() - self.parameters.len()) as f64;
        let left = sum_of_squares(self.shape, &self.points, &self.parameters);
        let residual_sd = if freedom > 0.0 { (left / freedom).sqrt() } else { 0.0 };
        let jacobian = self.jacobian()?;
        let covariance = (jacobian.transpose() * &jacobian).try_inverse()?;
        let error = |n: usize| residual_sd * covariance[(n, n)].max(0.0).sqrt();
        let fit = Fit {
            level: level * size,
            step: step * size,
            rate: rate / span,
            level_se: error(0) * size,
            rate_se: error(self.parameters.len() - 1) / span,
            residual_sd: residual_sd * size,
        };
        let numbers = [fit.level, fit.step, fit.rate, fit.level_se, fit.rate_se, fit.residual_sd];
        let first = self.points.iter().map(|point| point.0).find(|x| *x > 0.0)?;
        let is_shown = rate > 0.0 && rate * first <= FASTEST && fit.rate_se <= fit.rate;
        (is_shown && numbers.into_iter().all(f64::is_finite)).then_some(fit)
    }
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Problem {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, parameters: &DVector<f64>) {
        self.parameters.copy_from(parameters);
    }

    fn params(&self) -> DVector<f64> {
        self.parameters.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let misses = self.points.iter().map(|point| value(self.shape, &self.parameters, point.0) - point.1);
        let misses = DVector::from_iterator(self.points.len(), misses);
        misses.iter().all(|miss| miss.is_finite()).then_some(misses)
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let (_, step, rate) = named(self.shape, &self.parameters);
        let slopes = DMatrix::from_fn(self.points.len(), self.parameters.len(), |row, column| {
            let x = self.points[row].0;
            let fall = (-rate * x).exp();
            match (self.shape, column) {
                (Shape::FreeLevel, 0) => 1.0,
                (Shape::FreeLevel, 1) => fall,
                (Shape::FromNought, 0) => 1.0 - fall,
                _ => -step * x * fall,
            }
        });
        slopes.iter().all(|slope| slope.is_finite()).then_some(slopes)
    }
}
