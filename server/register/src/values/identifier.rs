//! A number that names something: of a find, a context, a sample.
use super::words::{one_line, says_nothing, unquoted};
use crate::table::{Cell, Fault};
use domain::finds::number::{LONGEST, normal};

/// Why a cell names nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoName {
    /// The spreadsheet took `1-2` for a date.
    TurnedIntoDate,
    /// The spreadsheet shortened a long number: `1.2E+05`.
    Shortened,
    TooLong,
    Fault(Fault),
    /// Yes or no.
    Other,
}

/// A number in normal form; nothing for an empty cell. With `brackets`, a pair around it is left out: contexts are
/// written (214) or [214] (common practice, no source).
pub fn read(cell: &Cell, brackets: bool) -> Result<Option<String>, NoName> {
    let text = match cell {
        Cell::Empty => return Ok(None),
        Cell::Fault(fault) => return Err(NoName::Fault(*fault)),
        Cell::Date(_) => return Err(NoName::TurnedIntoDate),
        Cell::Truth(_) => return Err(NoName::Other),
        other => other.shown(),
    };
    let tidy = one_line(&text);
    let mut name = unquoted(&tidy);
    if brackets {
        name = bare(name);
    }
    if says_nothing(name) {
        return Ok(None);
    }
    if shortened(name) {
        return Err(NoName::Shortened);
    }
    if name.chars().count() > LONGEST {
        return Err(NoName::TooLong);
    }
    normal(name).map(Some).ok_or(NoName::Other)
}

/// Several numbers, separated by commas, semicolons, strokes, plus signs or spaces.
pub fn list(cell: &Cell) -> Result<Vec<String>, NoName> {
    let Cell::Text(text) = cell else { return Ok(read(cell, true)?.into_iter().collect()) };
    let tidy = one_line(text);
    let mut names = Vec::new();
    for part in unquoted(&tidy)
        .split([',', ';', '/', '+', '&', ' '])
        .filter(|part| !part.is_empty() && *part != "and")
    {
        match read(&Cell::Text(part.into()), true)? {
            Some(name) if !names.contains(&name) => names.push(name),
            _ => {}
        }
    }
    Ok(names)
}

/// Without a pair of brackets around it.
fn bare(name: &str) -> &str {
    [('(', ')'), ('[', ']'), ('<', '>'), ('{', '}')]
        .into_iter()
        .find_map(|(open, close)| name.strip_prefix(open)?.strip_suffix(close))
        .map_or(name, |inner| inner.trim())
}

/// `1.2E+05`, as a spreadsheet shows a number too long for its column.
fn shortened(name: &str) -> bool {
    let upper = name.to_uppercase();
    let Some((mantissa, exponent)) = upper.split_once("E+") else { return false };
    let figures =
        |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit() || b == b'.' || b == b',');
    figures(mantissa) && figures(exponent)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(text: &str) -> Cell {
        Cell::Text(text.into())
    }

    #[test]
    fn a_number_keeps_its_zeros_and_loses_its_spaces() {
        assert_eq!(read(&text(" SF\u{a0} 007 "), false), Ok(Some("SF 007".into())));
        assert_eq!(read(&Cell::Number(214.0), false), Ok(Some("214".into())));
        assert_eq!(read(&Cell::Shown(Box::new((42.0, "0042".into()))), false), Ok(Some("0042".into())));
        assert_eq!(read(&text("[214]"), true), Ok(Some("214".into())));
        assert_eq!(read(&text("n/a"), false), Ok(None));
        assert_eq!(read(&text("1.23E+05"), false), Err(NoName::Shortened));
    }

    #[test]
    fn lists_of_numbers_are_parted_by_any_usual_sign() {
        let parted = list(&text("(101), 102; 103/104 + 105 106 and 101")).map(|names| names.join(" "));
        assert_eq!(parted, Ok("101 102 103 104 105 106".into()));
        assert_eq!(list(&Cell::Number(12.0)), Ok(vec!["12".into()]));
    }
}
