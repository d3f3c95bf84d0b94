//! A number as people write it in a cell.
use super::Decimal;
use super::words::one_line;
use crate::field::Unit;

/// A number read from text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Written {
    pub value: f64,
    /// The unit written behind it.
    pub unit: Option<Unit>,
    /// Written as about that much: `c. 5`, `~5`, `5?`.
    pub about: bool,
}

/// Why a text is no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotANumber {
    /// `5–7`, `5 to 7`, `1/2`.
    Range,
    /// `12 x 5 x 3`, `12; 15`.
    Several,
    /// `<1`, `5+`.
    Limit,
    Other,
}

/// What one cell tells of the decimal mark of its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Evidence {
    /// No mark in it.
    None,
    Certain(Decimal),
    /// One mark with three digits behind it: `1,234` or `1.234`.
    Unclear(Decimal),
}

const ABOUT: &[&str] = &[
    "circa",
    "approximately",
    "approx.",
    "approx",
    "about",
    "ca.",
    "ca",
    "c.",
    "est.",
    "est",
    "~",
    "≈",
    "c",
];
const LIMITS: &[&str] =
    &["<", ">", "≤", "≥", "less than", "more than", "under", "over", "up to", "at least", "min", "max"];
const BEHIND: &[&str] =
    &["aod", "od", "approx.", "approx", "(approx)", "(approx.)", "?", "(?)", "ish", "total"];

/// Reads a number; where the text alone does not tell the decimal mark, `decimal` does.
pub fn read(text: &str, decimal: Decimal) -> Result<Written, NotANumber> {
    let parts = take_apart(text)?;
    let value = value(&parts.digits, decimal).ok_or(NotANumber::Other)?;
    let value = if parts.negative { -value } else { value };
    if value.is_finite() {
        Ok(Written { value, unit: parts.unit, about: parts.about })
    } else {
        Err(NotANumber::Other)
    }
}

/// What the text tells of the decimal mark.
pub fn evidence(text: &str) -> Evidence {
    take_apart(text).map_or(Evidence::None, |parts| marks(&parts.digits))
}

struct Parts {
    digits: String,
    negative: bool,
    unit: Option<Unit>,
    about: bool,
}

/// Parts the digits from sign, unit and words like “about”.
fn take_apart(text: &str) -> Result<Parts, NotANumber> {
    let tidy = one_line(super::words::unquoted(text.trim())).to_lowercase();
    let mut rest = tidy.as_str();
    let mut about = false;
    if rest.ends_with('+') {
        return Err(NotANumber::Limit);
    }
    // most cells begin with their digits: no word need be looked for
    if !rest.starts_with(|c: char| c.is_ascii_digit()) {
        if LIMITS.iter().any(|limit| rest.starts_with(limit)) {
            return Err(NotANumber::Limit);
        }
        while let Some(stripped) = ABOUT.iter().find_map(|word| rest.strip_prefix(word)) {
            about = true;
            rest = stripped.trim_start();
        }
    }
    let last = rest.rfind(|c: char| c.is_ascii_digit()).ok_or(NotANumber::Other)?;
    let (body, behind) = rest.split_at(last + 1);
    let (unit, doubted) = unit_behind(behind)?;
    let negative = body.starts_with(['-', '−']);
    let digits = body.trim_start_matches(['-', '−', '+']).trim_start();
    refuse_several(digits)?;
    Ok(Parts { digits: digits.to_owned(), negative, unit, about: about || doubted })
}

/// The unit behind a number, and whether a word or question mark there doubts it.
fn unit_behind(behind: &str) -> Result<(Option<Unit>, bool), NotANumber> {
    let mut rest = behind.trim().trim_start_matches(['.', ',']).trim();
    if rest.is_empty() {
        return Ok((None, false));
    }
    let mut doubted = false;
    while let Some((word, stripped)) =
        BEHIND.iter().find_map(|word| rest.strip_suffix(word).map(|rest| (word, rest)))
    {
        doubted = doubted || !matches!(*word, "aod" | "od" | "total");
        rest = stripped.trim_end();
    }
    if rest.is_empty() {
        return Ok((None, doubted));
    }
    match Unit::named(rest) {
        Some(unit) => Ok((Some(unit), doubted)),
        None => Err(NotANumber::Other),
    }
}

/// Refuses what holds more than one number.
fn refuse_several(digits: &str) -> Result<(), NotANumber> {
    if digits.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b',')) {
        return Ok(());
    }
    let letters: Vec<char> = digits.chars().collect();
    if digits.contains([';', '&', '×', '*'])
        || digits.contains(", ")
        || digits.contains('x')
        || digits.contains(" and ")
    {
        return Err(NotANumber::Several);
    }
    let exponent = |at: usize| at > 0 && letters[at - 1] == 'e';
    let dash = letters.iter().enumerate().any(|(at, c)| "-–—/".contains(*c) && !exponent(at));
    if dash || digits.contains(" to ") || digits.contains('½') || digits.contains('¼') || digits.contains('¾')
    {
        return Err(NotANumber::Range);
    }
    if digits.contains('+') && !digits.contains("e+") { Err(NotANumber::Several) } else { Ok(()) }
}

/// Which mark stands for decimals in these digits.
fn marks(digits: &str) -> Evidence {
    let points = digits.matches('.').count();
    let commas = digits.matches(',').count();
    let (mark, count, decimal, other) = match (points, commas) {
        (0, 0) => return Evidence::None,
        (_, 0) => ('.', points, Decimal::Point, Decimal::Comma),
        (0, _) => (',', commas, Decimal::Comma, Decimal::Point),
        _ => {
            let comma_last = digits.rfind(',') > digits.rfind('.');
            return Evidence::Certain(if comma_last { Decimal::Comma } else { Decimal::Point });
        }
    };
    if count > 1 {
        return Evidence::Certain(other);
    }
    let (before, after) = digits.split_once(mark).unwrap_or_default();
    let thousands = after.len() == 3 && (1..=3).contains(&before.len()) && before != "0";
    if thousands { Evidence::Unclear(decimal) } else { Evidence::Certain(decimal) }
}

/// The value of digits with marks and groups.
fn value(digits: &str, decimal: Decimal) -> Option<f64> {
    if let Some((mantissa, exponent)) = digits.split_once('e') {
        let sound = !mantissa.is_empty()
            && exponent.trim_start_matches(['+', '-']).bytes().all(|b| b.is_ascii_digit());
        return if sound { format!("{}e{exponent}", mantissa.replace(',', ".")).parse().ok() } else { None };
    }
    let decimal = match marks(digits) {
        Evidence::Certain(certain) => certain,
        _ => decimal,
    };
    let mark = if decimal == Decimal::Point { '.' } else { ',' };
    let (whole, fraction) = digits.split_once(mark).unwrap_or((digits, ""));
    if !fraction.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let groups: Vec<&str> = whole.split(['.', ',', ' ', '\'', '’', '_']).collect();
    let figures = groups.iter().all(|group| group.bytes().all(|byte| byte.is_ascii_digit()));
    let grouped =
        groups.len() == 1 || (groups[0].len() <= 3 && groups[1..].iter().all(|group| group.len() == 3));
    if !figures || !grouped || (whole.is_empty() && fraction.is_empty()) {
        return None;
    }
    format!("{}.{fraction}0", if whole.is_empty() { "0".to_owned() } else { groups.concat() }).parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(text: &str) -> Result<f64, NotANumber> {
        read(text, Decimal::Point).map(|written| written.value)
    }

    #[test]
    fn numbers_are_read_as_people_write_them() {
        for (text, value) in [
            ("12", 12.0),
            ("12.5", 12.5),
            ("12,5", 12.5),
            ("1,234", 1234.0),
            ("1,234.5", 1234.5),
            ("1.234,5", 1234.5),
            ("1 234,5", 1234.5),
            ("1\u{a0}234", 1234.0),
            ("1'234.50", 1234.5),
            ("1,234,567", 1234567.0),
            ("0,125", 0.125),
            (".5", 0.5),
            ("-1.25", -1.25),
            ("−1.25", -1.25),
            ("'12", 12.0),
            ("12 g", 12.0),
            ("c. 5", 5.0),
            ("1.2E+03", 1200.0),
            ("-1.32m OD", -1.32),
        ] {
            assert_eq!(point(text), Ok(value), "{text}");
        }
        assert_eq!(read("1,234", Decimal::Comma).map(|w| w.value), Ok(1.234));
        assert_eq!(read("0.4kg", Decimal::Point).map(|w| (w.value, w.unit)), Ok((0.4, Some(Unit::Kilogram))));
        assert_eq!(read("~5?", Decimal::Point).map(|w| w.about), Ok(true));
    }

    #[test]
    fn what_is_no_single_number_is_refused_with_its_reason() {
        for (text, reason) in [
            ("5-7", NotANumber::Range),
            ("5 – 7 g", NotANumber::Range),
            ("5 to 7", NotANumber::Range),
            ("1/2", NotANumber::Range),
            ("12 x 5 x 3", NotANumber::Several),
            ("12, 15", NotANumber::Several),
            ("<1", NotANumber::Limit),
            ("20+", NotANumber::Limit),
            ("light", NotANumber::Other),
            ("12 sherds", NotANumber::Other),
            ("1,23,4", NotANumber::Other),
        ] {
            assert_eq!(point(text), Err(reason), "{text}");
        }
    }
}
