//! When a mass is constant.
use super::{MASS, check_weighings};
use crate::error::CalcError;
use crate::quantity::{Quantity, shown};
use crate::source::{Basis, Source};
use serde::Serialize;

/// Weighings nearer than this, h, prove nothing about each other.
pub const LEAST_INTERVAL_H: f64 = 24.0;
/// A balance has to read to this share of the mass, %.
pub const FINEST_SHARE_PCT: f64 = 0.02;

/// Masses and hours are decimal fractions; binary ones miss them by less than this share.
const ROUNDING: f64 = 1e-9;

/// The smallest difference that the balance shows.
pub const RESOLUTION: Quantity =
    Quantity::new("balance_resolution_g", "the resolution of the balance", "g", 1e-6, 1e5);

/// Where the judgement of constant mass comes from.
pub const CONSTANT_MASS: Basis = Basis {
    formula: "change = |m − m'|/m' · 100 %, m' the latest weighing at least 24 h earlier; constant when the change stays within 0.1 %, once (two weighings) or twice in succession (three)",
    range: "weighings at least 24 h apart; balance reading to 0.02 % of the mass",
    sources: &[
        Standard::EN_13755.source,
        Standard::EN_1936.source,
        Standard::EN_ISO_12570.source,
        Source::common_practice("the resolution of the balance"),
    ],
    caution: "A gain counts as change like a loss. Metals that are not weighed: about 14 days of drying in air.",
};

/// A published rule of constant mass.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Standard {
    /// What stands for it in a record.
    pub key: &'static str,
    /// As it is cited.
    pub name: &'static str,
    /// The rule in words.
    pub rule: &'static str,
    /// How many weighings in a row, each 24 h or more after the one before.
    pub weighings: usize,
    /// The change that still counts as constant, %.
    pub limit_pct: f64,
    /// Whether a change of exactly the limit does.
    pub is_limit_included: bool,
    pub source: Source,
}

/// What is dried, as far as the choice of a standard depends on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Drying {
    CeramicOrStone,
    MetalOrOrganic,
}

impl Standard {
    /// Natural stone, water absorption: two weighings.
    pub const EN_13755: Self = Self {
        key: "en_13755",
        name: "EN 13755:2008",
        rule: "two weighings 24 h apart differ by at most 0.1 % of the mass",
        weighings: 2,
        limit_pct: 0.1,
        is_limit_included: true,
        source: Source::seen(
            "EN",
            "13755:2008",
            "natural stone, water absorption",
            "drying to constant mass",
        ),
    };
    /// Natural stone, density and porosity: two weighings.
    pub const EN_1936: Self = Self {
        key: "en_1936",
        name: "EN 1936:2006",
        source: Source::from_memory("EN", "1936:2006", "natural stone, density and porosity"),
        ..Self::EN_13755
    };
    /// Building materials, moisture content by drying: three weighings.
    pub const EN_ISO_12570: Self = Self {
        key: "en_iso_12570",
        name: "EN ISO 12570",
        rule: "three weighings, each 24 h or more after the one before, change by less than 0.1 % of the mass",
        weighings: 3,
        limit_pct: 0.1,
        is_limit_included: false,
        source: Source::from_memory(
            "EN ISO",
            "12570",
            "hygrothermal performance of building materials, moisture content by drying",
        ),
    };
    /// Every standard known, two weighings first.
    pub const ALL: [Self; 3] = [Self::EN_13755, Self::EN_1936, Self::EN_ISO_12570];

    /// The standard of that key.
    pub fn named(key: &str) -> Option<&'static Self> {
        const ALL: &[Standard] = &Standard::ALL;
        ALL.iter().find(|standard| standard.key == key)
    }

    /// The usual standard: two weighings for ceramic and stone, three for metals and organics (common practice, no
    /// source).
    pub const fn usual_for(what: Drying) -> Self {
        match what {
            Drying::CeramicOrStone => Self::EN_13755,
            Drying::MetalOrOrganic => Self::EN_ISO_12570,
        }
    }

    fn is_constant(&self, change_pct: f64) -> bool {
        let limit = if self.is_limit_included { 1.0 + ROUNDING } else { 1.0 - ROUNDING } * self.limit_pct;
        change_pct < limit
    }
}

/// Weighings judged by a standard.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ConstantMass {
    /// For each weighing the size of its change against the latest at least 24 h earlier, % of that one; none where
    /// there is no such weighing.
    pub change_pct: Vec<Option<f64>>,
    /// For each weighing whether the standard is met there.
    pub is_constant: Vec<bool>,
    /// Hour of the first weighing that meets the standard.
    pub reached_at_h: Option<f64>,
    /// Whether the latest weighing meets it: a find may have taken up water since.
    pub holds: bool,
    /// First mass less latest, g, and in % of the first; negative for a gain.
    pub loss_g: f64,
    pub loss_pct: f64,
}

impl ConstantMass {
    /// Judges weighings, times in h and masses in g; see [`CONSTANT_MASS`]. The resolution of the balance, g, is
    /// judged too where it is known.
    ///
    /// # Errors
    /// `Unsuitable` without weighings, if times do not rise, a mass is impossible, or the balance too coarse.
    pub fn of(
        times_h: &[f64],
        masses_g: &[f64],
        standard: &Standard,
        resolution_g: Option<f64>,
    ) -> Result<Self, CalcError> {
        check_weighings(times_h, masses_g)?;
        let lightest = masses_g.iter().copied().fold(MASS.high, f64::min);
        if let Some(resolution) = resolution_g {
            check_balance(resolution, lightest)?;
        }
        let earlier: Vec<Option<usize>> = times_h.iter().map(|now| day_before(times_h, *now)).collect();
        let change = |n: usize| earlier[n].map(|m| (masses_g[n] - masses_g[m]).abs() / masses_g[m] * 100.0);
        let change_pct: Vec<Option<f64>> = (0..masses_g.len()).map(change).collect();
        let is_constant: Vec<bool> =
            (0..masses_g.len()).map(|n| standard_met(standard, n, &change_pct, &earlier)).collect();
        let (first, last) = (masses_g[0], masses_g[masses_g.len() - 1]);
        Ok(Self {
            reached_at_h: is_constant.iter().position(|met| *met).map(|n| times_h[n]),
            holds: is_constant.last().copied().unwrap_or(false),
            loss_g: first - last,
            loss_pct: (first - last) / first * 100.0,
            change_pct,
            is_constant,
        })
    }
}

/// The latest weighing at least a day before `now`.
fn day_before(times_h: &[f64], now: f64) -> Option<usize> {
    times_h.iter().rposition(|then| now - then >= LEAST_INTERVAL_H * (1.0 - ROUNDING))
}

/// Whether weighing `n` and those a day, two days… before it make the row that the standard asks for.
fn standard_met(
    standard: &Standard,
    n: usize,
    change_pct: &[Option<f64>],
    earlier: &[Option<usize>],
) -> bool {
    let mut at = Some(n);
    (1..standard.weighings).all(|_| {
        let Some(here) = at else { return false };
        at = earlier[here];
        change_pct[here].is_some_and(|change| standard.is_constant(change))
    })
}

/// Whether a balance that shows differences of `resolution_g` can prove that `mass_g` is constant: 0.02 % of the mass or
/// finer (common practice, no source).
///
/// # Errors
/// `Unsuitable` (field `balance_resolution_g`) if it is too coarse.
///
/// ```
/// use calc::drying::constant_mass::check_balance;
/// assert!(check_balance(0.01, 172.9).is_ok());
/// assert_eq!(
///     check_balance(0.1, 172.9).unwrap_err().to_string(),
///     "This balance cannot prove constant mass: it reads to 0.1 g, but 172.9 g need one that reads to 0.035 g or finer \
///      (0.02 % of the mass)."
/// );
/// ```
pub fn check_balance(resolution_g: f64, mass_g: f64) -> Result<(), CalcError> {
    let (resolution, mass) = (RESOLUTION.check(resolution_g)?, MASS.check(mass_g)?);
    let finest = mass * FINEST_SHARE_PCT / 100.0;
    if resolution <= finest * (1.0 + ROUNDING) {
        return Ok(());
    }
    let sentence = format!(
        "This balance cannot prove constant mass: it reads to {} g, but {} g need one that reads to {} g or finer \
         ({FINEST_SHARE_PCT} % of the mass).",
        shown(resolution),
        shown(mass),
        two_figures(finest)
    );
    Err(CalcError::unsuitable(RESOLUTION.field, sentence))
}

/// A positive number to two figures, in plain notation.
fn two_figures(value: f64) -> String {
    let decimals = (1.0 - value.log10().floor()).clamp(0.0, 9.0);
    format!("{value:.*}", decimals as usize)
}
