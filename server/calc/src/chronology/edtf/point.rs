//! One date of the notation, masked and marked as it may be, as the first and last day that it can mean.
use super::Slip;
use super::calendar::{Pattern, days_in, has_leap};
use crate::chronology::Year;

/// A day of the calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Day {
    pub year: Year,
    month: i64,
    day: i64,
}

/// `~` and `?`.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Marks {
    pub approximate: bool,
    pub uncertain: bool,
}

impl Marks {
    pub fn and(self, other: Self) -> Self {
        Self {
            approximate: self.approximate || other.approximate,
            uncertain: self.uncertain || other.uncertain,
        }
    }
}

/// A date, between the first and the last day that it can mean.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point {
    pub first: Day,
    pub last: Day,
    pub marks: Marks,
}

/// Reads a date: `0117`, `-0043~`, `01XX`, `1950S2`, `Y-10500`, `2004-06-~11`, `2001-21`, `1985-04-12T23:20:30Z`.
pub(super) fn parse(text: &str) -> Result<Point, Slip> {
    if text.is_empty() {
        return Err(Slip::plain("A date is wanting."));
    }
    if let Some((date, time)) = text.split_once('T') {
        check_time(time)?;
        let is_plain = date.len() - date.find(|one| one != '-').unwrap_or(0) == 10
            && !date.contains(['X', '?', '~', '%']);
        if !is_plain {
            return Err(Slip::plain("A time of day wants a full date before it."));
        }
        return dashed(date);
    }
    let unmarked = text.trim_start_matches(['?', '~', '%']);
    if unmarked.starts_with('Y') || text.contains('S') {
        return long_year(text);
    }
    dashed(text)
}

/// Year, month and day with hyphens between them.
fn dashed(text: &str) -> Result<Point, Slip> {
    let (lead, rest) = strip_mark(text);
    let (is_negative, rest) = match rest.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, rest),
    };
    let mut marks = lead;
    let mut parts = Vec::new();
    for (n, part) in rest.split('-').enumerate() {
        let (before, part) = if n == 0 { (Marks::default(), part) } else { strip_mark(part) };
        let (part, behind) = strip_mark_behind(part);
        marks = marks.and(before).and(behind);
        parts.push(part);
    }
    let years = year(parts[0], is_negative)?;
    let (first, last) = match parts[1..] {
        [] => ((1, 1), (12, 31)),
        [month] => month_or_season(month, years)?,
        [month, day] => days(month, day, years)?,
        _ => return Err(Slip::plain("A date has a year, a month and a day at most.")),
    };
    let day = |year, (month, day)| Ok::<Day, Slip>(Day { year: held(year)?, month, day });
    Ok(Point { first: day(years.0, first)?, last: day(years.1, last)?, marks })
}

type MonthDay = (i64, i64);

fn year(text: &str, is_negative: bool) -> Result<(i64, i64), Slip> {
    let pattern = Pattern(text);
    if !pattern.is_well_formed(4) {
        let is_short = !text.is_empty() && text.len() < 4 && text.bytes().all(|one| one.is_ascii_digit());
        let sign = if is_negative { "-" } else { "" };
        let reason = format!("“{text}” is no year: a year has four figures, or a Y before more of them.");
        return Err(match (is_short, text.parse::<i64>()) {
            (true, Ok(value)) => Slip::with(reason, format!("{sign}{value:04}")),
            (_, Ok(value)) if text.len() > 4 => Slip::with(reason, format!("Y{sign}{value}")),
            _ => Slip::plain(reason),
        });
    }
    let (low, high) = pattern.bounds();
    match (is_negative, high) {
        (true, 0) => Err(Slip::with("There is no year −0000: 0000 is 1 BC.", "0000".to_owned())),
        (true, _) => Ok((-high, -low.max(1))),
        (false, _) => Ok((low, high)),
    }
}

fn month_or_season(text: &str, years: (i64, i64)) -> Result<(MonthDay, MonthDay), Slip> {
    let pattern = Pattern(text);
    if !pattern.is_well_formed(2) {
        return Err(Slip::plain(format!("“{text}” is no month: a month has two figures.")));
    }
    if (21..=41).contains(&pattern.bounds().0) && !text.contains('X') {
        return Ok(((1, 1), (12, 31)));
    }
    let months = pattern.numbers(12);
    match (months.first(), months.last()) {
        (Some(first), Some(last)) => Ok(((*first, 1), (*last, days_in(years.1, *last)))),
        _ => Err(Slip::plain(format!("“{text}” is no month (01 to 12) and no season (21 to 41)."))),
    }
}

fn days(month: &str, day: &str, years: (i64, i64)) -> Result<(MonthDay, MonthDay), Slip> {
    let (months, days) = (Pattern(month), Pattern(day));
    if !months.is_well_formed(2) || !days.is_well_formed(2) {
        return Err(Slip::plain(format!("“{month}-{day}” is no month and day: each has two figures.")));
    }
    let length =
        |month: i64| if month == 2 && has_leap(years.0, years.1) { 29 } else { days_in(years.0, month) };
    let found: Vec<MonthDay> = months
        .numbers(12)
        .into_iter()
        .flat_map(|month| days.numbers(length(month)).into_iter().map(move |day| (month, day)))
        .collect();
    let wrong = || Slip::plain(format!("The calendar has no day {month}-{day} in that year."));
    Ok((*found.first().ok_or_else(wrong)?, *found.last().ok_or_else(wrong)?))
}

/// `Y` and a longer year, an exponent, and the number of figures that are sure: `Y-17E7`, `Y171010000S3`, `1950S2`.
fn long_year(text: &str) -> Result<Point, Slip> {
    let (lead, rest) = strip_mark(text);
    let (rest, behind) = strip_mark_behind(rest);
    let (number, sure) = match rest.split_once('S') {
        Some((number, sure)) => (number, Some(small(sure)?)),
        None => (rest, None),
    };
    let value = match number.strip_prefix('Y') {
        Some(long) => long_value(long)?,
        None => {
            let (is_negative, figures) =
                number.strip_prefix('-').map_or((false, number), |rest| (true, rest));
            if figures.contains('X') {
                return Err(Slip::plain(
                    "Figures that are left out and figures that are sure do not go together.",
                ));
            }
            year(figures, is_negative)?.0
        }
    };
    let (low, high) = match sure {
        None => (value, value),
        Some(sure) => significant(value, sure)?,
    };
    let day = |year, month, day| Ok::<Day, Slip>(Day { year: held(year)?, month, day });
    Ok(Point { first: day(low, 1, 1)?, last: day(high, 12, 31)?, marks: lead.and(behind) })
}

fn long_value(text: &str) -> Result<i64, Slip> {
    let (is_negative, rest) = text.strip_prefix('-').map_or((false, text), |rest| (true, rest));
    let (figures, exponent) = match rest.split_once('E') {
        Some((figures, exponent)) => (figures, small(exponent)?),
        None => (rest, 0),
    };
    let is_number = !figures.is_empty() && figures.bytes().all(|one| one.is_ascii_digit());
    if !is_number || (figures.len() < 5 && exponent == 0) {
        return Err(Slip::plain("Behind Y stands a year of more than four figures."));
    }
    let value = figures
        .parse::<i64>()
        .ok()
        .zip(10_i64.checked_pow(exponent))
        .and_then(|(one, ten)| one.checked_mul(ten));
    match value {
        Some(0) | None => Err(Slip::plain(format!("“Y{text}” is out of reach."))),
        Some(value) => Ok(if is_negative { -value } else { value }),
    }
}

/// The years that a number can mean of which only the first `sure` figures are sure: 1950 with two is 1900 to 1999.
fn significant(value: i64, sure: u32) -> Result<(i64, i64), Slip> {
    let size = value.abs();
    let figures = size.checked_ilog10().map_or(1, |log| log + 1);
    if sure == 0 || sure > figures {
        return Err(Slip::plain(format!("Of {figures} figures {sure} cannot be sure.")));
    }
    let step = 10_i64.pow(figures - sure);
    let low = size - size % step;
    let (low, high) = (low, low + step - 1);
    Ok(if value < 0 { (-high, -low) } else { (low, high) })
}

fn small(text: &str) -> Result<u32, Slip> {
    let is_number = !text.is_empty() && text.len() <= 2 && text.bytes().all(|one| one.is_ascii_digit());
    let number = if is_number { text.parse().ok() } else { None };
    number.ok_or_else(|| Slip::plain(format!("“{text}” is no number of figures.")))
}

fn held(year: i64) -> Result<Year, Slip> {
    Year::astronomical(year).map_err(|_| Slip::plain(format!("The year {year} is out of reach.")))
}

fn check_time(text: &str) -> Result<(), Slip> {
    let wrong = || {
        Slip::plain(format!(
            "“{text}” is no time of day: hours, minutes and seconds as 23:20:30, then Z or +05:30."
        ))
    };
    let (clock, zone) = text.split_at(text.len().min(8));
    let clock_parts: Vec<&str> = clock.split(':').collect();
    let is_clock = match clock_parts[..] {
        [hours, minutes, seconds] => within(hours, 23) && within(minutes, 59) && within(seconds, 59),
        _ => false,
    } || clock == "24:00:00";
    let is_zone = match zone {
        "" | "Z" => true,
        _ => zone.strip_prefix(['+', '-']).is_some_and(|zone| match zone.split_once(':') {
            Some((hours, minutes)) => within(hours, 14) && within(minutes, 59),
            None => within(zone, 14),
        }),
    };
    if is_clock && is_zone { Ok(()) } else { Err(wrong()) }
}

fn within(text: &str, most: u32) -> bool {
    text.len() == 2
        && text.bytes().all(|one| one.is_ascii_digit())
        && text.parse::<u32>().is_ok_and(|number| number <= most)
}

fn mark(sign: char) -> Option<Marks> {
    match sign {
        '~' => Some(Marks { approximate: true, uncertain: false }),
        '?' => Some(Marks { approximate: false, uncertain: true }),
        '%' => Some(Marks { approximate: true, uncertain: true }),
        _ => None,
    }
}

fn strip_mark(text: &str) -> (Marks, &str) {
    match text.chars().next().and_then(mark) {
        Some(marks) => (marks, &text[1..]),
        None => (Marks::default(), text),
    }
}

fn strip_mark_behind(text: &str) -> (&str, Marks) {
    match text.chars().last().and_then(mark) {
        Some(marks) => (&text[..text.len() - 1], marks),
        None => (text, Marks::default()),
    }
}
