//! What one cell holds.
use chrono::NaiveDate;
use std::borrow::Cow;
use std::sync::Arc;

/// One cell. Repeated words share their text.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Cell {
    #[default]
    Empty,
    Text(Arc<str>),
    Number(f64),
    /// A number that the sheet shows otherwise than plainly: `0042`, `80%`.
    Shown(Box<(f64, String)>),
    Date(NaiveDate),
    Truth(bool),
    Fault(Fault),
}

/// Why a cell has no value though it is not empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// A formula whose result was not saved with the file.
    NotCalculated,
    /// A formula that ended in an error, as the sheet shows it: `#REF!`.
    Error(&'static str),
}

/// Errors as spreadsheet programs show them.
const ERRORS: &[&str] = &[
    "#DIV/0!",
    "#N/A",
    "#NAME?",
    "#NULL!",
    "#NUM!",
    "#REF!",
    "#VALUE!",
    "#SPILL!",
    "#CALC!",
    "#GETTING_DATA",
    "Err:502",
    "Err:504",
    "Err:508",
    "Err:509",
    "Err:522",
];

impl Fault {
    /// The error a text shows, when it is nothing but an error.
    pub fn shown(text: &str) -> Option<Fault> {
        let text = text.trim();
        ERRORS.iter().find(|error| error.eq_ignore_ascii_case(text)).map(|error| Fault::Error(error))
    }
}

impl Cell {
    /// True when nothing is written: empty, or white space only.
    pub fn is_blank(&self) -> bool {
        match self {
            Cell::Empty => true,
            Cell::Text(text) => text.trim().is_empty(),
            _ => false,
        }
    }

    /// The cell as a person sees it. Dates as 2031-05-03, numbers without trailing zeros.
    pub fn shown(&self) -> Cow<'_, str> {
        match self {
            Cell::Empty => Cow::Borrowed(""),
            Cell::Text(text) => Cow::Borrowed(text),
            Cell::Number(value) => Cow::Owned(plain(*value)),
            Cell::Shown(both) => Cow::Borrowed(&both.1),
            Cell::Date(date) => Cow::Owned(date.to_string()),
            Cell::Truth(true) => Cow::Borrowed("yes"),
            Cell::Truth(false) => Cow::Borrowed("no"),
            Cell::Fault(Fault::NotCalculated) => Cow::Borrowed("(no result saved)"),
            Cell::Fault(Fault::Error(error)) => Cow::Borrowed(error),
        }
    }
}

/// A number as a person writes it: 15 significant digits, what a spreadsheet keeps, so that 0.1 + 0.2 is 0.3.
pub(crate) fn plain(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".into() } else { String::new() };
    }
    let rounded: f64 = format!("{value:.14e}").parse().unwrap_or(value);
    format!("{rounded}")
}

/// The cell for a number and the text by which the sheet shows it; the text is kept only where it says more.
pub(crate) fn number(value: f64, shown: Option<&str>) -> Cell {
    match shown {
        Some(text) if says_more(text) => Cell::Shown(Box::new((value, text.to_owned()))),
        _ => Cell::Number(value),
    }
}

/// Leading zeros, letters around the number, or a per cent sign; an exponent or a currency says nothing more.
fn says_more(text: &str) -> bool {
    let text = text.trim();
    let digits = text.bytes().filter(u8::is_ascii_digit).count();
    let zeros =
        text.len() > 1 && text.starts_with('0') && text.as_bytes().get(1).is_some_and(u8::is_ascii_digit);
    let letters = text.starts_with(|c: char| c.is_ascii_alphabetic()) && digits > 0;
    zeros || letters || text.ends_with('%')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_shown_as_a_person_writes_it() {
        assert_eq!(plain(214.0), "214");
        assert_eq!(plain(0.1 + 0.2), "0.3");
        assert_eq!(plain(12.10), "12.1");
        assert_eq!(plain(-3.25), "-3.25");
        assert_eq!(plain(123456789012.0), "123456789012");
    }

    #[test]
    fn only_a_display_that_says_more_than_the_value_is_kept() {
        assert_eq!(number(42.0, Some("0042")), Cell::Shown(Box::new((42.0, "0042".into()))));
        assert_eq!(number(0.8, Some("80%")), Cell::Shown(Box::new((0.8, "80%".into()))));
        assert_eq!(number(0.5, Some("0.50")), Cell::Number(0.5));
        assert_eq!(number(1234.5, Some("1,234.50")), Cell::Number(1234.5));
    }

    #[test]
    fn a_cell_takes_no_more_room_than_three_words_of_memory() {
        assert!(size_of::<Cell>() <= 24, "{}", size_of::<Cell>());
    }
}
