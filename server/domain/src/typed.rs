//! Numbers as people type them.

/// Why a number cannot be read; a sentence for the field.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotANumber {
    #[error("“{typed}” can be read in two ways. Write {plain} or {point}.")]
    TwoWays { typed: String, plain: String, point: String },
    #[error("“{0}” is no number. Write it like 12.5, without the unit.")]
    NoNumber(String),
}

/// Reads a finite number. A decimal comma is understood; where it may part thousands as well, nobody guesses.
///
/// ```
/// use domain::typed::{NotANumber, number};
/// assert_eq!(number(" 12,5 "), Ok(12.5));
/// assert!(matches!(number("1,234"), Err(NotANumber::TwoWays { .. })));
/// assert!(matches!(number("12 g"), Err(NotANumber::NoNumber(_))));
/// ```
pub fn number(typed: &str) -> Result<f64, NotANumber> {
    let typed = typed.trim();
    if unclear(typed) {
        let (plain, point) = (typed.replace(',', ""), typed.replace(',', "."));
        return Err(NotANumber::TwoWays { typed: typed.to_owned(), plain, point });
    }
    let read = typed.replace(',', ".").parse::<f64>().ok().filter(|value| value.is_finite());
    read.ok_or_else(|| NotANumber::NoNumber(typed.to_owned()))
}

/// Whether a comma may part decimals or thousands: `1,234`.
fn unclear(typed: &str) -> bool {
    let figures = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    typed.split_once(',').is_some_and(|(before, after)| {
        after.len() == 3
            && (1..=3).contains(&before.len())
            && !before.starts_with('0')
            && figures(before)
            && figures(after)
    })
}
