//! Opinions and their settlement. Opinions are never edited: a revision is a new version.
//!
//! - [`asking`]: what specialists and the project write to each other
//! - [`opinion`]: what an opinion says
//! - [`share`]: what an assignment shares of its finds
pub mod asking;
pub mod opinion;
pub mod share;

use crate::dispatch::Change;
use chrono::{Duration, NaiveDate};
pub use opinion::SeenAs;

crate::text_enum! {
    /// How far an author stands behind an opinion.
    Finality, "finality" {
        Preliminary = "preliminary", "preliminary";
        Final = "final", "final";
    }
}

crate::text_enum! {
    /// What the editor made of the opinions.
    Outcome, "outcome" {
        Agreed = "agreed", "agreed";
        Majority = "majority", "majority";
        Unresolved = "unresolved", "unresolved";
    }
}

crate::text_enum! {
    /// Where one opinion stands to a settlement; dissent is kept.
    Stance, "stance" {
        Adopted = "adopted", "adopted";
        Dissent = "dissent", "dissent";
    }
}

crate::text_enum! {
    /// How a find is judged to have come into its context, where it does not date it.
    Origin, "origin" {
        Residual = "residual", "residual";
        Intrusive = "intrusive", "intrusive";
    }
}

crate::text_enum! {
    /// How an opinion came that its author did not submit here.
    CameAs, "way of coming" {
        Letter = "letter", "a letter";
        Email = "email", "an e-mail";
        Pdf = "pdf", "a PDF";
        Spreadsheet = "spreadsheet", "a spreadsheet";
    }
}

/// Days before the due day on which a specialist is reminded of an opinion (common practice, no source).
const REMINDED_BEFORE: i64 = 7;

/// From which day on a specialist is reminded of what is due: a week before, or where less than two were given, when half
/// of the time is over.
///
/// ```
/// use chrono::NaiveDate;
/// let day = |day| NaiveDate::from_ymd_opt(2031, 9, day).unwrap();
/// assert_eq!(domain::review::reminded_from(day(1), day(29)), day(22));
/// assert_eq!(domain::review::reminded_from(day(1), day(7)), day(4));
/// ```
pub fn reminded_from(made_on: NaiveDate, due_on: NaiveDate) -> NaiveDate {
    let given = (due_on - made_on).num_days();
    due_on - Duration::days((given / 2).clamp(0, REMINDED_BEFORE))
}

/// Days for which the link works by which an author confirms what was entered: a specialist may be in the field for weeks
/// (common practice, no source).
pub const CONFIRMATION_DAYS: i64 = 60;

crate::text_enum! {
    /// What opens a settlement again.
    Reopened, "cause of reopening" {
        Count = "count", "the count changed";
        Join = "join", "pieces were joined";
        Split = "split", "pieces were taken out";
        Xray = "xray", "there is a new X-ray";
        Opinion = "opinion", "an opinion came or was revised";
    }
}

impl Reopened {
    /// What a change of the quantity counts as.
    pub const fn by(change: Change) -> Reopened {
        match change {
            Change::Join => Reopened::Join,
            Change::Split => Reopened::Split,
            Change::Broken | Change::Sampled | Change::Missing | Change::Found | Change::Recount => {
                Reopened::Count
            }
        }
    }
}

/// A range of astronomical years (0 is 1 BC), either end open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Years {
    pub lo: Option<i64>,
    pub hi: Option<i64>,
}

impl Years {
    /// What two ranges share, if anything.
    pub fn overlap(self, other: Years) -> Option<Years> {
        let lo = self.lo.max(other.lo);
        let hi = match (self.hi, other.hi) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        match (lo, hi) {
            (Some(lo), Some(hi)) if lo > hi => None,
            _ => Some(Years { lo, hi }),
        }
    }

    /// The narrowest range that holds both.
    pub fn span(self, other: Years) -> Years {
        Years {
            lo: self.lo.zip(other.lo).map(|(a, b)| a.min(b)),
            hi: self.hi.zip(other.hi).map(|(a, b)| a.max(b)),
        }
    }
}

/// The range of a find that counts for its context: the settled one, otherwise all that its standing opinions allow, so
/// that nothing is averaged and nobody is overruled before the settlement.
///
/// ```
/// use domain::review::{Years, counting};
/// let years = |lo, hi| Years { lo: Some(lo), hi: Some(hi) };
/// assert_eq!(counting(None, &[years(1368, 1467), years(1417, 1461)]), Some(years(1368, 1467)));
/// assert_eq!(counting(Some(years(1417, 1461)), &[years(1368, 1467)]), Some(years(1417, 1461)));
/// assert_eq!(counting(None, &[]), None);
/// ```
pub fn counting(settled: Option<Years>, said: &[Years]) -> Option<Years> {
    settled.or_else(|| said.iter().copied().reduce(Years::span))
}

/// What all the ranges share; `None` when some pair shares nothing or there is no range.
///
/// ```
/// use domain::review::{Years, shared};
/// let years = |lo, hi| Years { lo: Some(lo), hi: Some(hi) };
/// assert_eq!(shared(&[years(1368, 1467), years(1417, 1461)]), Some(years(1417, 1461)));
/// assert_eq!(shared(&[years(70, 130), years(270, 273)]), None);
/// ```
pub fn shared(ranges: &[Years]) -> Option<Years> {
    let (first, rest) = ranges.split_first()?;
    rest.iter().try_fold(*first, |so_far, range| so_far.overlap(*range))
}
