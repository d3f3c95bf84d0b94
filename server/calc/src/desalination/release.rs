//! What the baths took out.
use crate::error::CalcError;
use crate::quantity::Quantity;
use crate::regression::Line;
use crate::source::{Basis, Source};
use serde::Serialize;

/// Mass of the find.
pub const FIND_MASS: Quantity = Quantity::new("object_mass_g", "the mass of the find", "g", 0.001, 1e8);
/// Water in a bath.
pub const VOLUME: Quantity = Quantity::new("volume_l", "the volume of the bath", "L", 0.001, 1e5);
/// Day on which a bath ended, counted from the start of the run.
pub const DAY: Quantity = Quantity::new("day_end", "the day", "days", 0.0, 1e5);
/// Concentration of the salt in question; the limit is above any saturated solution of common salt.
pub const CONCENTRATION: Quantity =
    Quantity::new("conc_end_mg_l", "the concentration", "mg/L", 0.0, 400_000.0);
/// Water that stays in the find and its tray when the bath is changed.
pub const CARRY_OVER: Quantity = Quantity::new("carryover_l", "the carry-over", "L", 0.0, 1e5);
/// A reading of conductivity, or of the blank.
pub const READING: Quantity = Quantity::new("reading_us_cm", "the reading", "µS/cm", 0.0, 200_000.0);
/// Conductivity of the water before the find went in.
pub const BLANK: Quantity = READING.called("blank_us_cm", "the blank");
/// Days since the start.
pub const TIME: Quantity = Quantity::new("t_days", "the time", "days", 0.0, 1e5);
/// Released until then.
pub const CUMULATIVE: Quantity = Quantity::new("cum_mg", "the release", "mg", 0.0, 1e12);

/// Where the cumulative release comes from.
pub const CUMULATIVE_RELEASE: Basis = Basis {
    formula: "Q = Σ (C_end − C_start) V mg; with a carry-over v the next C_start = (C_supply (V − v) + C_before v)/V",
    range: "baths in the order of their days, carry-over smaller than each bath",
    sources: &[Source::from_memory("", "", "mass balance")],
    caution: "Counts what the analysis sees; salts it does not see are not in it.",
};

/// Where normalised readings come from.
pub const NORMALISED: Basis = Basis {
    formula: "(reading − blank) · V/m, µS/cm · L/kg",
    range: "any bath; readings at one temperature or corrected to 25 °C",
    sources: &[
        Source::seen("Unruh", "2001", "conductivity standardised for object and bath", "abstract"),
        Source::seen(
            "White, Pool & Carroll",
            "2010",
            "desalination compared across masses, volumes and intervals",
            "abstract",
        ),
    ],
    caution: "Below 0 where the reading lies under its blank: measure the blank again.",
};

/// Where the line against √t comes from.
pub const SQRT_TIME: Basis = Basis {
    formula: "Q = intercept + slope · √t, least squares, t in days",
    range: "three baths or more",
    sources: &[
        Source::from_memory("North & Pearson", "1978", "Studies in Conservation 23:174–186"),
        Source::from_memory("Crank", "1975", "The Mathematics of Diffusion, 2nd ed."),
    ],
    caution: "Straight only until about 0.6 of all salt is out: a bend downward is the end coming, not an error.",
};

/// One bath.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bath {
    /// Day on which it ended.
    pub day: f64,
    pub volume_l: f64,
    /// Concentration of the water poured in, mg/L.
    pub supply_mg_l: f64,
    /// Concentration at the end, mg/L.
    pub end_mg_l: f64,
}

/// What a row of baths took out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Release {
    /// mg, at the end of each bath.
    pub cumulative_mg: Vec<f64>,
    /// mg per gram of the find, in all.
    pub per_g_mg: f64,
    /// What the last bath took, % of all; none where nothing was released.
    pub last_share_pct: Option<f64>,
}

impl Release {
    /// From baths in their order, the mass of the find in g, and the water in L carried over at each change; see
    /// [`CUMULATIVE_RELEASE`].
    ///
    /// # Errors
    /// `Unsuitable` without baths, if days do not rise, the carry-over fills a bath, or a number is out of range.
    ///
    /// ```
    /// use calc::desalination::{Bath, Release};
    /// let bath = |day, end_mg_l| Bath { day, volume_l: 5.0, supply_mg_l: 1.0, end_mg_l };
    /// let release = Release::of(&[bath(7.0, 210.0), bath(14.0, 95.0)], 850.0, 0.0)?;
    /// assert_eq!(release.cumulative_mg, [1045.0, 1515.0]);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn of(baths: &[Bath], find_mass_g: f64, carry_over_l: f64) -> Result<Self, CalcError> {
        check_baths(baths, CARRY_OVER.check(carry_over_l)?)?;
        let mass = FIND_MASS.check(find_mass_g)?;
        let (mut sum, mut before, mut last) = (0.0, None, 0.0);
        let cumulative_mg: Vec<f64> = baths
            .iter()
            .map(|bath| {
                let kept = if before.is_some() { carry_over_l } else { 0.0 };
                let carried = before.unwrap_or(0.0) * kept;
                let start = (bath.supply_mg_l * (bath.volume_l - kept) + carried) / bath.volume_l;
                last = (bath.end_mg_l - start) * bath.volume_l;
                before = Some(bath.end_mg_l);
                sum += last;
                sum
            })
            .collect();
        let last_share_pct = (sum > 0.0).then_some(last / sum * 100.0).filter(|share| share.is_finite());
        Ok(Self { cumulative_mg, per_g_mg: sum / mass, last_share_pct })
    }
}

fn check_baths(baths: &[Bath], carry_over_l: f64) -> Result<(), CalcError> {
    let each = |of: fn(&Bath) -> f64| baths.iter().map(of).collect::<Vec<f64>>();
    if baths.is_empty() {
        return Err(CalcError::unsuitable("baths", "There is no bath."));
    }
    DAY.check_rising(&each(|bath| bath.day))?;
    VOLUME.check_each(&each(|bath| bath.volume_l))?;
    let supply = CONCENTRATION.called("conc_start_mg_l", "the concentration of the fresh water");
    supply.check_each(&each(|bath| bath.supply_mg_l))?;
    CONCENTRATION.check_each(&each(|bath| bath.end_mg_l))?;
    if baths.iter().any(|bath| bath.volume_l <= carry_over_l) {
        let sentence = format!("The carry-over, {carry_over_l} L, has to be less than each bath.");
        return Err(CalcError::unsuitable(CARRY_OVER.field, sentence));
    }
    Ok(())
}

/// A reading less its blank, per bath and find, so that runs compare: (reading − blank) · V/m in µS/cm · L/kg; readings
/// in µS/cm, volume in L, mass in g; see [`NORMALISED`].
///
/// # Errors
/// `Unsuitable` if a number is out of range.
pub fn normalised(
    reading_us_cm: f64,
    blank_us_cm: f64,
    volume_l: f64,
    find_mass_g: f64,
) -> Result<f64, CalcError> {
    let net = READING.check(reading_us_cm)? - BLANK.check(blank_us_cm)?;
    Ok(net * VOLUME.check(volume_l)? / (FIND_MASS.check(find_mass_g)? / 1000.0))
}

/// The line of the cumulative release, mg, against the square root of time, times in days: slope in mg per √day; see
/// [`SQRT_TIME`].
///
/// # Errors
/// `Unsuitable` under three points, if times do not rise, or a number is out of range.
///
/// ```
/// let line = calc::desalination::sqrt_time_line(&[1.0, 4.0, 9.0], &[60.0, 120.0, 180.0])?;
/// assert_eq!((line.slope, line.intercept), (60.0, 0.0));
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn sqrt_time_line(times_days: &[f64], cumulative_mg: &[f64]) -> Result<Line, CalcError> {
    TIME.check_paired(times_days.len(), &CUMULATIVE, cumulative_mg.len())?;
    TIME.check_rising(times_days)?;
    CUMULATIVE.check_each(cumulative_mg)?;
    let points = times_days.iter().map(|days| days.sqrt()).zip(cumulative_mg.iter().copied());
    Line::through(TIME.field, &points.collect::<Vec<_>>())
}
