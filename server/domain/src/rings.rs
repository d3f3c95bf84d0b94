//! Ring diameters as people type them, for a find and for the moulds of a list.
use crate::typed::{NotANumber, number};

/// Most rings of one find or mould.
pub const MOST_RINGS: usize = 40;
/// Most moulds of one list.
pub const MOST_MOULDS: usize = 2_000;

/// A mould of a list as read.
#[derive(Debug, Clone, PartialEq)]
pub struct NewMould {
    pub name: String,
    /// In mm, from the smallest outwards.
    pub rings_mm: Vec<f64>,
}

/// Why diameters cannot be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unreadable {
    #[error(transparent)]
    NotANumber(#[from] NotANumber),
    #[error("“{0}” can be read in two ways. Part diameters by blanks or semicolons.")]
    TwoWays(String),
    #[error("There is no diameter.")]
    None,
    #[error("There are more than {MOST_RINGS} diameters.")]
    TooMany,
    #[error("A mould needs a name before its diameters.")]
    NoName,
}

/// Reads diameters separated by blanks, semicolons or line ends, or by commas that a blank follows. A decimal comma is
/// understood.
///
/// ```
/// use domain::rings::{Unreadable, diameters};
/// assert_eq!(diameters("11,83; 23,68; 37,31").unwrap(), [11.83, 23.68, 37.31]);
/// assert_eq!(diameters("12, 24.5, 38").unwrap(), [12.0, 24.5, 38.0]);
/// assert_eq!(diameters("12,24,38"), Err(Unreadable::TwoWays("12,24,38".into())));
/// ```
pub fn diameters(typed: &str) -> Result<Vec<f64>, Unreadable> {
    let words = typed.split(|c: char| c.is_whitespace() || c == ';');
    let words = words.map(|word| word.trim_end_matches(',')).filter(|word| !word.is_empty());
    all(words)
}

/// Reads a row of a list: a name, then a diameter in each cell; empty cells at its end are left out.
pub fn mould<S: AsRef<str>>(cells: &[S]) -> Result<NewMould, Unreadable> {
    let mut cells = cells.iter().map(|cell| cell.as_ref().trim());
    let name = cells.next().filter(|name| !name.is_empty()).ok_or(Unreadable::NoName)?.to_owned();
    Ok(NewMould { name, rings_mm: all(cells.filter(|cell| !cell.is_empty()))? })
}

fn all<'a>(words: impl Iterator<Item = &'a str>) -> Result<Vec<f64>, Unreadable> {
    let read: Vec<f64> = words.map(one).collect::<Result<_, _>>()?;
    match read.len() {
        0 => Err(Unreadable::None),
        n if n > MOST_RINGS => Err(Unreadable::TooMany),
        _ => Ok(read),
    }
}

fn one(word: &str) -> Result<f64, Unreadable> {
    if word.matches([',', '.']).count() > 1 {
        return Err(Unreadable::TwoWays(word.to_owned()));
    }
    Ok(number(word)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_without_name_or_diameters_is_refused_and_empty_cells_at_its_end_are_left_out() {
        let read = mould(&["A", "12", "24,5", "", ""]).unwrap_or_else(|cause| panic!("{cause}"));
        assert_eq!((read.name.as_str(), read.rings_mm), ("A", vec![12.0, 24.5]));
        assert_eq!(mould(&["", "12"]), Err(Unreadable::NoName));
        assert_eq!(mould(&["A", ""]), Err(Unreadable::None));
        assert_eq!(mould(&["A", "wide"]), Err(NotANumber::NoNumber("wide".into()).into()));
    }
}
