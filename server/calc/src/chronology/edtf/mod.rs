//! The standard date notation: ISO 8601-2:2019, clause 4 and following; Library of Congress specification of the
//! Extended Date/Time Format, levels 0 to 2. Written and read for years; months and days are checked and left aside.
//!
//! Years are astronomical: `0000` is 1 BC, `-0043` is 44 BC. `01XX` is 0100 to 0199 and so *not* the 2nd century AD,
//! which is `0101/0200`.
use super::interval::DateRange;
use super::year::Year;
use crate::error::{CalcError, Unreadable};

mod calendar;
mod point;

use point::{Marks, Point};

/// Longest text read, in characters.
const LONGEST: usize = 1000;

/// What stands at an end of an interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    Known,
    /// `..`: goes on without end.
    Open,
    /// Nothing: there is an end, and it is not known.
    Unknown,
}

/// What kind of statement the text makes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Date,
    Interval,
    /// `[…]`: one of the dates.
    OneOf,
    /// `{…}`: all of the dates.
    AllOf,
}

/// A text in standard date notation, in years.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Edtf {
    /// First year that can be meant; `None` for an open or unknown start.
    pub lo: Option<Year>,
    /// Last year that can be meant; `None` for an open or unknown end.
    pub hi: Option<Year>,
    pub start: End,
    pub end: End,
    pub kind: Kind,
    /// `~` or `%` anywhere.
    pub approximate: bool,
    /// `?` or `%` anywhere.
    pub uncertain: bool,
}

/// Writes a range of years: a single year, or an interval; `..` for an open end, nothing for a start that is not known;
/// `~` approximate, `?` uncertain, `%` both, on each year that is given.
///
/// ```
/// use calc::chronology::{DateRange, Year, edtf};
/// let range = DateRange::new(Some(Year::bc(50)?), Some(Year::ad(50)?))?;
/// assert_eq!(edtf::write(&range, false, false), "-0049/0050");
/// assert_eq!(edtf::write(&DateRange::single(Year::ad(120)?), true, false), "0120~");
/// assert_eq!(edtf::write(&DateRange::from(Year::ad(43)?), false, false), "0043/..");
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn write(range: &DateRange, approximate: bool, uncertain: bool) -> String {
    let mark = match (approximate, uncertain) {
        (false, false) => "",
        (true, false) => "~",
        (false, true) => "?",
        (true, true) => "%",
    };
    let year = |year: Year| format!("{}{mark}", year.edtf());
    match (range.lo(), range.hi()) {
        (Some(lo), Some(hi)) if lo == hi => year(lo),
        (lo, hi) => {
            format!("{}/{}", lo.map(year).unwrap_or_default(), hi.map_or_else(|| "..".to_owned(), year))
        }
    }
}

/// Writes a range as a member of a set: `0101..0133`.
pub fn member(range: &DateRange) -> String {
    match (range.lo(), range.hi()) {
        (Some(lo), Some(hi)) if lo == hi => lo.edtf(),
        (lo, hi) => {
            format!("{}..{}", lo.map(Year::edtf).unwrap_or_default(), hi.map(Year::edtf).unwrap_or_default())
        }
    }
}

/// Reads a text in standard date notation.
///
/// # Errors
/// `Unreadable` (field `edtf`), with a suggestion for the commonest slips.
///
/// ```
/// use calc::chronology::edtf;
/// let read = edtf::parse("0117/0138")?;
/// assert_eq!((read.lo.map(|year| year.number()), read.hi.map(|year| year.number())), (Some(117), Some(138)));
/// assert!(edtf::parse("0150-02-30").is_err());
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn parse(text: &str) -> Result<Edtf, CalcError> {
    parse_any(text).map_err(|slip| {
        let suggestions = slip.suggestions.into_iter().filter(|one| parse_any(one).is_ok()).collect();
        CalcError::Unreadable(Unreadable {
            field: "edtf",
            text: text.to_owned(),
            reason: slip.reason,
            suggestions,
        })
    })
}

/// Why a text is not read.
#[derive(Debug)]
struct Slip {
    reason: String,
    suggestions: Vec<String>,
}

impl Slip {
    fn plain(reason: impl Into<String>) -> Self {
        Self { reason: reason.into(), suggestions: Vec::new() }
    }

    fn with(reason: impl Into<String>, suggestion: String) -> Self {
        Self { reason: reason.into(), suggestions: vec![suggestion] }
    }
}

fn parse_any(text: &str) -> Result<Edtf, Slip> {
    if !text.is_ascii() || text.len() > LONGEST {
        return Err(Slip::plain("The notation holds plain letters, digits and signs only."));
    }
    if text.trim() != text {
        return Err(Slip::with("Blanks have no place in the notation.", text.trim().to_owned()));
    }
    let bracketed = |open, close| text.strip_prefix(open).and_then(|rest: &str| rest.strip_suffix(close));
    if let Some(members) = bracketed('[', ']') {
        return set(members, Kind::OneOf);
    }
    if let Some(members) = bracketed('{', '}') {
        return set(members, Kind::AllOf);
    }
    let parts: Vec<&str> = text.split('/').collect();
    match parts[..] {
        [one] => {
            let point = point::parse(one)?;
            Ok(joined(Some(&point), Some(&point), (End::Known, End::Known), Kind::Date))
        }
        [start, end] => interval(start, end),
        _ => {
            let kept: Vec<&str> = parts.iter().copied().filter(|part| !part.is_empty()).collect();
            Err(Slip::with("An interval has one stroke between its two ends.", kept.join("/")))
        }
    }
}

fn interval(start: &str, end: &str) -> Result<Edtf, Slip> {
    let end_of = |text: &str| match text {
        "" => Ok((None, End::Unknown)),
        ".." => Ok((None, End::Open)),
        date => point::parse(date).map(|point| (Some(point), End::Known)),
    };
    let ((first, opening), (last, closing)) = (end_of(start)?, end_of(end)?);
    if (opening, closing) == (End::Unknown, End::Unknown) {
        return Err(Slip::plain("Neither end of the interval is given."));
    }
    in_order(first.as_ref(), last.as_ref())?;
    Ok(joined(first.as_ref(), last.as_ref(), (opening, closing), Kind::Interval))
}

fn in_order(first: Option<&Point>, last: Option<&Point>) -> Result<(), Slip> {
    match (first, last) {
        (Some(first), Some(last)) if last.last < first.first => {
            Err(Slip::plain("The end lies before the start."))
        }
        _ => Ok(()),
    }
}

fn joined(first: Option<&Point>, last: Option<&Point>, (start, end): (End, End), kind: Kind) -> Edtf {
    let mut marks = Marks::default();
    for point in [first, last].into_iter().flatten() {
        marks = marks.and(point.marks);
    }
    Edtf {
        lo: first.map(|point| point.first.year),
        hi: last.map(|point| point.last.year),
        start,
        end,
        kind,
        approximate: marks.approximate,
        uncertain: marks.uncertain,
    }
}

fn set(members: &str, kind: Kind) -> Result<Edtf, Slip> {
    let members: Vec<&str> = members.split(',').collect();
    let mut whole: Option<Edtf> = None;
    for (n, text) in members.iter().enumerate() {
        let one = set_member(text, n == 0, n + 1 == members.len())?;
        whole = Some(match whole {
            None => Edtf { kind, ..one },
            Some(sum) => Edtf {
                lo: if sum.start == End::Open { None } else { sum.lo.min(one.lo) },
                hi: if one.end == End::Open { None } else { sum.hi.max(one.hi) },
                end: one.end,
                approximate: sum.approximate || one.approximate,
                uncertain: sum.uncertain || one.uncertain,
                ..sum
            },
        });
    }
    whole.ok_or_else(|| Slip::plain("The set is empty."))
}

fn set_member(text: &str, is_first: bool, is_last: bool) -> Result<Edtf, Slip> {
    let Some((from, to)) = text.split_once("..") else {
        let point = point::parse(text)?;
        return Ok(joined(Some(&point), Some(&point), (End::Known, End::Known), Kind::Date));
    };
    let known = |text: &str| if text.is_empty() { Ok(None) } else { point::parse(text).map(Some) };
    let (first, last) = (known(from)?, known(to)?);
    let end = |point: &Option<Point>| if point.is_some() { End::Known } else { End::Open };
    let (start, close) = (end(&first), end(&last));
    if (start == End::Open && !is_first)
        || (close == End::Open && !is_last)
        || (first.is_none() && last.is_none())
    {
        return Err(Slip::plain(
            "Only the first date of a set may be open backwards, only the last one forwards.",
        ));
    }
    in_order(first.as_ref(), last.as_ref())?;
    Ok(joined(first.as_ref(), last.as_ref(), (start, close), Kind::Date))
}
