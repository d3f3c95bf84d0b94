//! The years of one bound, and the words for how they were found.
use super::bound::{Bound, Core, Part, Written};
use super::refusal::Refusal;
use super::segment::LAST_CENTURY;
use super::token::{Era, Named, Share};
use super::{Convention, Settings, sources, suggest, wording};
use crate::chronology::{DateRange, Period, Year, periods};
use crate::source::Source;

/// Earliest year of a phrase, BC, and the latest year, AD: beyond them a figure is mistyped.
const EARLIEST_BC: i64 = 10_000_000;
const LATEST_AD: i64 = LAST_CENTURY * 100;

/// The years of a bound before circa, with what to say of them.
#[derive(Debug, Clone)]
pub(super) struct Span {
    pub range: DateRange,
    pub steps: Vec<String>,
    pub sources: Vec<&'static Source>,
    /// Approximate in itself, without "circa".
    pub approximate: bool,
}

/// A unit of years: its first year and how many it has.
struct Whole {
    start: i64,
    length: i64,
}

/// Finds the years of a complete bound.
pub(super) fn of(bound: &Bound, settings: &Settings) -> Result<Span, Refusal> {
    let Some(core) = bound.core else {
        return Err(Refusal::plain("The century, or the name of a period, is wanting."));
    };
    let era = bound.era.unwrap_or(Era::Ad);
    match core {
        Core::Period(period) => of_period(period, bound),
        Core::Year { value, .. } => of_year(value, era, bound),
        Core::TurnOfEra => turn(1, settings, bound),
        Core::Turn { before, into } => {
            let start = century(into, era)?.start;
            check_turn(before, into, era, start)?;
            turn(start, settings, bound)
        }
        Core::Century { value, written: Written::LowLetter } if era == Era::Bc => Err(Refusal::with(
            format!("“c{value} BC” may be circa {value} BC or the {} century BC.", suggest::ordinal(value)),
            vec![format!("c. {value} BC"), format!("{} century BC", suggest::ordinal(value))],
        )),
        Core::Century { value, .. } | Core::Ordinal { value, .. } => {
            in_parts(&century(value, era)?, bound, settings)
        }
        Core::Millennium(value) => in_parts(&millennium(value, era)?, bound, settings),
        Core::Decade { value, .. } => in_parts(&decade(value, era, bound)?, bound, settings),
    }
}

fn range(lo: i64, hi: i64) -> Result<DateRange, Refusal> {
    let year = |number| Year::astronomical(number).map_err(|_| Refusal::plain("That year is out of reach."));
    DateRange::new(Some(year(lo)?), Some(year(hi)?))
        .map_err(|_| Refusal::plain("The years are in the wrong order."))
}

fn of_period(period: &'static Period, bound: &Bound) -> Result<Span, Refusal> {
    if bound.part.is_some() {
        let reason =
            format!("No published division of “{}” into parts is in the list of periods.", period.name);
        let mut suggestions = published_parts(period, bound);
        suggestions.push(period.name.to_owned());
        return Err(Refusal::with(reason, suggestions));
    }
    let range = period.range().map_err(|_| Refusal::plain("That period has no years."))?;
    let note = if period.note.is_empty() { String::new() } else { format!("; {}", period.note) };
    let step =
        format!("{} ({}): {range}, {}{note}.", period.name, period.region, period.source.evidence.words());
    Ok(Span { range, steps: vec![step], sources: vec![period.source], approximate: false })
}

/// Periods of the list whose name is another word for the same part: "later medieval" for "late medieval".
fn published_parts(period: &Period, bound: &Bound) -> Vec<String> {
    let words: &[&str] = match bound.part {
        Some(Part::Named(Named::Early | Named::Earlier)) => &["early", "earlier"],
        Some(Part::Named(Named::Mid)) => &["mid", "middle"],
        Some(Part::Named(Named::Late | Named::Later)) => &["late", "later"],
        _ => &[],
    };
    let named = |word: &&str| periods::named(&format!("{word} {}", period.name));
    words.iter().filter_map(named).map(|found| found.name.to_owned()).collect()
}

fn of_year(value: i64, era: Era, bound: &Bound) -> Result<Span, Refusal> {
    if bound.part.is_some() {
        let reason = format!("{value} is a single year, which has no parts.");
        let decade = format!("{}s", value - value % 10);
        return Err(Refusal::with(
            reason,
            vec![value.to_string(), wording::in_full(&with_decade(bound, value)), decade],
        ));
    }
    if value == 0 && era != Era::CalBp {
        let reason = "There is no year 0: 1 BC is followed by AD 1.";
        return Err(Refusal::with(reason, vec!["1 BC".to_owned(), "AD 1".to_owned()]));
    }
    let number = match era {
        Era::Ad if value > LATEST_AD => {
            return Err(Refusal::with(format!("AD {value} is still to come."), vec![format!("{value} BC")]));
        }
        Era::Bc | Era::CalBp if value > EARLIEST_BC => {
            return Err(Refusal::plain(format!("{value} years back is farther than a find is dated.")));
        }
        Era::Ad => value,
        Era::Bc => 1 - value,
        Era::CalBp => 1950 - value,
    };
    let steps = match era {
        Era::CalBp => vec![format!("{value} cal BP is {value} years before AD 1950.")],
        _ => Vec::new(),
    };
    Ok(Span { range: range(number, number)?, steps, sources: vec![&sources::CALENDAR], approximate: false })
}

fn with_decade(bound: &Bound, value: i64) -> Bound {
    Bound { core: Some(Core::Decade { value: value - value % 10, digits: 3 }), ..bound.clone() }
}

fn century(value: i64, era: Era) -> Result<Whole, Refusal> {
    let last = if era == Era::Ad { LAST_CENTURY } else { EARLIEST_BC / 100 };
    counted(value, last, "century", era)?;
    let start = if era == Era::Ad { 100 * value - 99 } else { 1 - 100 * value };
    Ok(Whole { start, length: 100 })
}

fn millennium(value: i64, era: Era) -> Result<Whole, Refusal> {
    let last = if era == Era::Ad { LATEST_AD / 1000 } else { EARLIEST_BC / 1000 };
    counted(value, last, "millennium", era)?;
    let start = if era == Era::Ad { 1000 * value - 999 } else { 1 - 1000 * value };
    Ok(Whole { start, length: 1000 })
}

fn counted(value: i64, last: i64, unit: &str, era: Era) -> Result<(), Refusal> {
    if era == Era::CalBp {
        return Err(Refusal::plain(format!("A {unit} is counted BC or AD, not BP: write years.")));
    }
    if (1..=last).contains(&value) {
        return Ok(());
    }
    Err(Refusal::plain(format!(
        "There is no {} {unit} to date a find to: they run from 1 to {last}.",
        suggest::ordinal(value)
    )))
}

fn decade(value: i64, era: Era, bound: &Bound) -> Result<Whole, Refusal> {
    if era == Era::CalBp || value % 10 != 0 || value == 0 {
        return Err(Refusal::plain(format!(
            "“{value}s” is no decade: decades are 10s, 20s and so on, BC or AD."
        )));
    }
    if value % 100 == 0 {
        let as_century =
            Core::Century { value: value / 100 + i64::from(era == Era::Ad), written: Written::Word };
        let century = Bound { core: Some(as_century), ..bound.clone() };
        let decade = match era {
            Era::Ad => format!("AD {value} to AD {}", value + 9),
            _ => format!("{} BC to {value} BC", value + 9),
        };
        let reason = format!("“{value}s” may be a hundred years or ten.");
        return Err(Refusal::with(reason, vec![wording::in_full(&century), decade]));
    }
    if era == Era::Ad && value > LATEST_AD {
        return Err(Refusal::plain(format!("The {value}s are still to come.")));
    }
    let start = if era == Era::Ad { value } else { 1 - (value + 9) };
    Ok(Whole { start, length: 10 })
}

fn turn(start: i64, settings: &Settings, bound: &Bound) -> Result<Span, Refusal> {
    if bound.part.is_some() {
        return Err(Refusal::with("The turn of a century has no parts.", Vec::new()));
    }
    let reach = settings.circa_years.max(1);
    let range = range(start - reach, start + reach - 1)?;
    let step = format!("{}: {reach} years on each side of the change, {range}.", wording::in_full(bound));
    Ok(Span { range, steps: vec![step], sources: vec![&sources::TURN], approximate: true })
}

/// Both centuries of a turn are named: the one must end where the other begins.
fn check_turn((value, own): (i64, Option<Era>), into: i64, era: Era, start: i64) -> Result<(), Refusal> {
    let one = century(value, own.unwrap_or(era))?;
    if one.start + one.length == start {
        return Ok(());
    }
    let reason =
        format!("The {} century does not run into the {}.", suggest::ordinal(value), suggest::ordinal(into));
    let swapped = format!("turn of the {} and {} centuries", suggest::ordinal(into), suggest::ordinal(value));
    let era = if era == Era::Bc { " BC" } else { " AD" };
    Err(Refusal::with(reason, vec![format!("{swapped}{era}")]))
}

fn in_parts(whole: &Whole, bound: &Bound, settings: &Settings) -> Result<Span, Refusal> {
    let all = range(whole.start, whole.start + whole.length - 1)?;
    let name = wording::in_full(&Bound { spread: None, ..bound.clone() });
    let Some(part) = bound.part else {
        let steps = vec![format!("{name}: {all}.")];
        return Ok(Span { range: all, steps, sources: vec![&sources::CALENDAR], approximate: false });
    };
    let (of, from, to, source) = shares(part, whole, settings.convention)?;
    let at = |count: i64| (2 * whole.length * count + of) / (2 * of);
    let (first, last) = (at(from - 1), at(to));
    let found = range(whole.start + first, whole.start + last - 1)?;
    let step =
        format!("{name}: years {} to {last} of the {} from {all}, that is {found}.", first + 1, whole.length);
    Ok(Span { range: found, steps: vec![step], sources: vec![source], approximate: false })
}

/// How many shares the whole is cut into, the first and last of those meant, and what says so.
fn shares(
    part: Part,
    whole: &Whole,
    convention: Convention,
) -> Result<(i64, i64, i64, &'static Source), Refusal> {
    let is_decade = whole.length == 10;
    let thirds = if is_decade { &sources::DECADE_THIRDS } else { &sources::THIRDS };
    Ok(match (part, convention) {
        (Part::Shares { share: share @ (Share::Quarter | Share::Decade), .. }, _) if is_decade => {
            return Err(Refusal::plain(format!("Ten years are not cut into {}s.", share.word())));
        }
        (Part::Shares { share: Share::Decade, .. }, _) if whole.length > 100 => {
            return Err(Refusal::plain("Name the century whose decade is meant."));
        }
        (Part::Shares { share, from, to }, _) => (share.of(), from, to, &sources::CALENDAR),
        (Part::Named(Named::Earlier), _) => (2, 1, 1, &sources::HALVES),
        (Part::Named(Named::Later), _) => (2, 2, 2, &sources::HALVES),
        (Part::Named(named), Convention::Quarters) if !is_decade => {
            let (from, to) = match named {
                Named::Early => (1, 1),
                Named::Mid => (2, 3),
                _ => (4, 4),
            };
            (4, from, to, &sources::QUARTERS)
        }
        (Part::Named(Named::Early), _) => (3, 1, 1, thirds),
        (Part::Named(Named::Mid), _) => (3, 2, 2, thirds),
        (Part::Named(_), _) => (3, 3, 3, thirds),
    })
}
