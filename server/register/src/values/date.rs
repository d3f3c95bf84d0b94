//! A day as people write it in a cell.
use super::DateOrder;
use super::words::one_line;
use chrono::{Datelike, Days, NaiveDate};

/// A day read from text, before the order of its column is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Written {
    /// Only one reading.
    Day { date: NaiveDate, short_year: bool },
    /// Two numbers that may be day or month, and the year.
    Figures { first: u32, second: u32, year: i32, short_year: bool },
    /// A count of days as spreadsheets keep dates.
    Serial { date: NaiveDate },
}

/// Why a text is no day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotADay {
    /// `3–5 May 2031`.
    Range,
    /// `May 2031`, `2031`.
    NoDay,
    /// `3 May`.
    NoYear,
    /// `31/02/2031`, or a month beyond 12 in the order of the column.
    NoSuchDay,
    Other,
}

/// What one cell tells of the order of dates in its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Evidence {
    /// Reads the same in any order, or is no date in figures.
    None,
    Certain(DateOrder),
    Unclear,
}

impl Written {
    /// What it tells of the order.
    pub fn evidence(&self) -> Evidence {
        match self {
            Written::Figures { first, second, .. } if *first > 12 && *second <= 12 => {
                Evidence::Certain(DateOrder::DayFirst)
            }
            Written::Figures { first, second, .. } if *second > 12 && *first <= 12 => {
                Evidence::Certain(DateOrder::MonthFirst)
            }
            Written::Figures { first, second, .. } if first != second => Evidence::Unclear,
            _ => Evidence::None,
        }
    }

    /// The day in that order.
    pub fn day(&self, order: DateOrder) -> Result<NaiveDate, NotADay> {
        match *self {
            Written::Day { date, .. } | Written::Serial { date } => Ok(date),
            Written::Figures { first, second, year, .. } => {
                let (day, month) =
                    if order == DateOrder::DayFirst { (first, second) } else { (second, first) };
                NaiveDate::from_ymd_opt(year, month, day).ok_or(NotADay::NoSuchDay)
            }
        }
    }

    /// Whether its year has two figures.
    pub fn short_year(&self) -> bool {
        matches!(self, Written::Day { short_year: true, .. } | Written::Figures { short_year: true, .. })
    }
}

/// The day that a spreadsheet counts so: 1 is 1 January 1900, and the count takes 1900 for a leap year
/// (Microsoft, "Date systems in Excel"; ECMA-376 part 1, §18.17.4.1). Only counts of 1954 to 2119 are believed.
pub fn serial(count: f64) -> Option<NaiveDate> {
    let believed = (20_000.0..80_000.0).contains(&count);
    let epoch = NaiveDate::from_ymd_opt(1899, 12, 30)?;
    if believed { epoch.checked_add_days(Days::new(count as u64)) } else { None }
}

/// A year of two figures is the latest such year not after `latest`.
pub fn full_year(figures: i32, latest: NaiveDate) -> i32 {
    let year = latest.year() - latest.year().rem_euclid(100) + figures;
    if year > latest.year() { year - 100 } else { year }
}

const MONTHS: &[&str] = &[
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];
const DAYS: &[&str] = &["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];

/// Reads a day; years of two figures end in `latest`.
pub fn read(text: &str, latest: NaiveDate) -> Result<Written, NotADay> {
    let tidy = one_line(super::words::unquoted(text.trim())).to_lowercase();
    if let Some(date) = tidy.parse::<f64>().ok().and_then(serial) {
        return Ok(Written::Serial { date });
    }
    let mut numbers: Vec<&str> = Vec::new();
    let mut month: Option<(usize, u32)> = None;
    for token in tokens(without_time(&tidy)) {
        if token.starts_with(|c: char| c.is_ascii_digit()) {
            numbers.push(token);
        } else if let Some(named) = begins(MONTHS, token) {
            if month.is_some() {
                return Err(NotADay::Range);
            }
            month = Some((numbers.len(), named + 1));
        } else if matches!(token, "to" | "until") {
            return Err(NotADay::Range);
        } else if !matches!(token, "st" | "nd" | "rd" | "th" | "of" | "the") && begins(DAYS, token).is_none()
        {
            return Err(NotADay::Other);
        }
    }
    match month {
        Some((before, month)) => named_month(&numbers, before, month, latest),
        None => figures(&numbers, latest),
    }
}

/// Runs of digits and runs of letters.
fn tokens(text: &str) -> impl Iterator<Item = &str> {
    let kind = |c: char| if c.is_ascii_digit() { 1 } else { 2 * i32::from(c.is_alphabetic()) };
    let mut rest = text;
    std::iter::from_fn(move || {
        rest = rest.trim_start_matches(|c| kind(c) == 0);
        let first = rest.chars().next()?;
        let end = rest.find(|c| kind(c) != kind(first)).unwrap_or(rest.len());
        let (token, after) = rest.split_at(end);
        rest = after;
        Some(token)
    })
}

/// The text before a time of day: `2031-05-03T14:30`, `3/5/2031 14:30`.
fn without_time(text: &str) -> &str {
    let Some(colon) = text.find(':') else { return text };
    let day = text[..colon].trim_end_matches(|c: char| c.is_ascii_digit());
    day.strip_suffix('t').unwrap_or(day).trim_end()
}

/// Where in the list the name stands that begins so, three letters at least.
fn begins(names: &[&str], token: &str) -> Option<u32> {
    let long_enough = token.len() >= 3;
    names
        .iter()
        .position(|name| {
            long_enough && (name.starts_with(token) || (*name == "september" && token == "sept"))
        })
        .map(|at| at as u32)
}

fn named_month(numbers: &[&str], before: usize, month: u32, latest: NaiveDate) -> Result<Written, NotADay> {
    let (day, year) = match numbers {
        [] => return Err(NotADay::NoDay),
        [one] => return Err(if one.len() == 4 { NotADay::NoDay } else { NotADay::NoYear }),
        [first, second] if first.len() == 4 => (*second, *first),
        [first, second] if second.len() == 4 || before <= 1 => (*first, *second),
        _ => return Err(NotADay::Range),
    };
    let (year, short_year) = year_of(year, latest).ok_or(NotADay::Other)?;
    let day = day.parse().map_err(|_| NotADay::Other)?;
    let date = NaiveDate::from_ymd_opt(year, month, day).ok_or(NotADay::NoSuchDay)?;
    Ok(Written::Day { date, short_year })
}

fn figures(numbers: &[&str], latest: NaiveDate) -> Result<Written, NotADay> {
    let number = |text: &str| text.parse::<u32>().map_err(|_| NotADay::Other);
    let whole = |year: i32, month: u32, day: u32| {
        let date = NaiveDate::from_ymd_opt(year, month, day).ok_or(NotADay::NoSuchDay)?;
        Ok(Written::Day { date, short_year: false })
    };
    match numbers {
        [one] if one.len() == 8 && (one.starts_with("19") || one.starts_with("20")) => {
            whole(one[..4].parse().map_err(|_| NotADay::Other)?, number(&one[4..6])?, number(&one[6..])?)
        }
        [one] if one.len() == 4 => Err(NotADay::NoDay),
        [first, second] => {
            Err(if first.len() == 4 || second.len() == 4 { NotADay::NoDay } else { NotADay::NoYear })
        }
        [first, second, third] if first.len() == 4 => {
            whole(first.parse().map_err(|_| NotADay::Other)?, number(second)?, number(third)?)
        }
        [first, second, third] if first.len() <= 2 && second.len() <= 2 => {
            let (year, short_year) = year_of(third, latest).ok_or(NotADay::Other)?;
            let (first, second) = (number(first)?, number(second)?);
            let possible = (1..=31).contains(&first) && (1..=31).contains(&second) && first.min(second) <= 12;
            if possible {
                Ok(Written::Figures { first, second, year, short_year })
            } else {
                Err(NotADay::NoSuchDay)
            }
        }
        [_, _, _, ..] => Err(NotADay::Range),
        _ => Err(NotADay::Other),
    }
}

fn year_of(text: &str, latest: NaiveDate) -> Option<(i32, bool)> {
    let year = text.parse().ok()?;
    match text.len() {
        4 => Some((year, false)),
        2 => Some((full_year(year, latest), true)),
        _ => None,
    }
}
