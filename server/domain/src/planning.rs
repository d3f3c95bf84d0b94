//! How fast work goes and how long the rest will take.

/// Weeks still needed at the best, the mean and the worst recent week.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeeksLeft {
    /// Items a week on average.
    pub mean_per_week: f64,
    pub at_best: f64,
    pub at_mean: f64,
    /// `None` when the worst recent week finished nothing.
    pub at_worst: Option<f64>,
}

/// The plain range: what waits, divided by the recent weekly rates. A division, not a forecast with a spread.
///
/// `None` when no recent week finished anything.
///
/// ```
/// // Common practice, no source; the figures are a worked example done by hand: 412 / 31, / 36, / 26.
/// let weeks = domain::planning::weeks_left(412, &[31, 28, 35, 30, 26, 36]).unwrap();
/// assert_eq!(weeks.mean_per_week, 31.0);
/// assert!((weeks.at_mean - 13.29).abs() < 0.005 && (weeks.at_best - 11.44).abs() < 0.005);
/// assert!((weeks.at_worst.unwrap() - 15.85).abs() < 0.005);
/// ```
pub fn weeks_left(waiting: i64, done_per_week: &[i64]) -> Option<WeeksLeft> {
    let best = *done_per_week.iter().max()?;
    let worst = *done_per_week.iter().min()?;
    if best <= 0 {
        return None;
    }
    let waiting = waiting as f64;
    let mean = done_per_week.iter().sum::<i64>() as f64 / done_per_week.len() as f64;
    Some(WeeksLeft {
        mean_per_week: mean,
        at_best: waiting / best as f64,
        at_mean: waiting / mean,
        at_worst: (worst > 0).then(|| waiting / worst as f64),
    })
}
