//! Named periods, each with the region it holds for and its source.
use super::interval::DateRange;
use super::year::Year;
use crate::error::CalcError;
use crate::source::Source;

mod reigns;
mod table;

pub use reigns::REIGNS;
pub use table::PERIODS;

/// A named span of years: a period of a region, or the reign of a ruler.
#[derive(Debug, PartialEq, Eq)]
pub struct Period {
    pub name: &'static str,
    /// Other names for the same span, combining forms ("Claudio-") included.
    pub aliases: &'static [&'static str],
    pub region: &'static str,
    /// First year, astronomical.
    pub start: i64,
    /// Last year, astronomical; `None` for a period that has not ended.
    pub end: Option<i64>,
    pub source: &'static Source,
    /// Where other lists differ, or empty.
    pub note: &'static str,
}

impl Period {
    /// The years of the period.
    ///
    /// # Errors
    /// Only for a row with impossible years; a test reads every row.
    pub fn range(&self) -> Result<DateRange, CalcError> {
        DateRange::new(Some(Year::astronomical(self.start)?), self.end.map(Year::astronomical).transpose()?)
    }

    /// Whether the row is the reign of a ruler.
    pub fn is_reign(&self) -> bool {
        REIGNS.iter().any(|reign| std::ptr::eq(reign, self))
    }

    /// Its name and other names.
    pub fn names(&self) -> impl Iterator<Item = &'static str> + '_ {
        std::iter::once(self.name).chain(self.aliases.iter().copied())
    }
}

/// Every named span, periods before reigns.
pub fn all() -> impl Iterator<Item = &'static Period> {
    PERIODS.iter().chain(REIGNS.iter())
}

/// The span of that name, whatever the case of its letters.
///
/// ```
/// let flavian = calc::chronology::periods::named("flavian");
/// assert_eq!(flavian.map(|period| (period.start, period.end)), Some((69, Some(96))));
/// assert!(calc::chronology::periods::named("Atlantean").is_none());
/// ```
pub fn named(name: &str) -> Option<&'static Period> {
    let wanted = name.trim();
    all().find(|period| period.names().any(|one| one.eq_ignore_ascii_case(wanted)))
}
