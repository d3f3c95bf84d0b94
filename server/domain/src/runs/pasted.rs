//! Two columns pasted from a spreadsheet: a moment and a value a line, every line that cannot be read told by its number.
use chrono::{NaiveDate, NaiveDateTime, NaiveTime};

/// Most lines that are read at once.
pub const MOST_LINES: usize = 2_000;

/// Units of mass with their grams.
pub const MASSES: &[(&str, f64)] = &[("g", 1.0), ("kg", 1000.0), ("mg", 0.001)];

/// A line that was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair<T> {
    /// Counted from 1.
    pub line: usize,
    pub at: T,
    pub value: f64,
}

/// What was read, and a sentence for each line that could not be.
#[derive(Debug, Clone, PartialEq)]
pub struct Pasted<T> {
    pub pairs: Vec<Pair<T>>,
    pub faults: Vec<String>,
}

/// How the two columns are to be read.
pub struct Columns<'a, T> {
    /// Reads the first column.
    pub first: fn(&str) -> Option<T>,
    /// What the first column holds, with an example: “a date and time such as 2031-09-14 08:30”.
    pub first_words: &'a str,
    /// Units the second column may name, the first of them meant where none stands.
    pub units: &'a [(&'a str, f64)],
}

/// Reads the lines; empty ones are passed over, and the first may be a heading. The columns are separated by a tab, a
/// semicolon, a comma or blanks; numbers may have a decimal comma.
///
/// ```
/// use domain::runs::pasted::{Columns, MASSES, moment, read};
/// let columns = Columns { first: moment, first_words: "a date", units: MASSES };
/// let pasted = read("14.09.2031 08:30\t182,40\n15.09.2031 08:30\t175,10 g\n16.09.2031\tabout 173", &columns);
/// assert_eq!(pasted.pairs[1].value, 175.1);
/// assert_eq!(pasted.faults, ["Line 3: “about 173” is no number."]);
/// ```
pub fn read<T>(text: &str, columns: &Columns<'_, T>) -> Pasted<T> {
    let mut pasted = Pasted { pairs: Vec::new(), faults: Vec::new() };
    let mut unit = columns.units.first().map_or(1.0, |(_, factor)| *factor);
    let filled = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    for (position, (at, line)) in filled.enumerate() {
        let (number, line) = (at + 1, line.trim());
        if position >= MOST_LINES {
            pasted.faults.push(format!("Line {number} and what follows: {MOST_LINES} lines fit at once."));
            break;
        }
        if position == 0 && !line.contains(|c: char| c.is_ascii_digit()) {
            match unit_of_heading(line, columns.units) {
                Ok(named) => unit = named.unwrap_or(unit),
                Err(sentence) => pasted.faults.push(format!("Line {number}: {sentence}")),
            }
            continue;
        }
        match pair(line, columns, unit) {
            Ok((at, value)) => pasted.pairs.push(Pair { line: number, at, value }),
            Err(sentence) => pasted.faults.push(format!("Line {number}: {sentence}")),
        }
    }
    pasted
}

fn pair<T>(line: &str, columns: &Columns<'_, T>, unit: f64) -> Result<(T, f64), String> {
    let (first, second) = halves(line, columns).ok_or_else(|| {
        format!("“{line}” does not begin with {}, followed by a number.", columns.first_words)
    })?;
    if second.contains(['\t', ';']) {
        return Err("there are more than two columns; paste the two that are asked for.".into());
    }
    Ok((first, amount(second, columns.units, unit)?))
}

/// Where the line falls apart so that its first half can be read.
fn halves<'l, T>(line: &'l str, columns: &Columns<'_, T>) -> Option<(T, &'l str)> {
    let cut = |at: usize, width: usize| {
        let first = (columns.first)(line[..at].trim())?;
        Some((first, line[at + width..].trim()))
    };
    for sign in ['\t', ';'] {
        if let Some(at) = line.find(sign) {
            return cut(at, 1);
        }
    }
    let mut commas = line.match_indices(", ").chain(line.match_indices(','));
    let blanks = line.rmatch_indices(char::is_whitespace);
    // the longest beginning that reads as a moment wins, so that the time is not taken for the number
    let by_blank = blanks.clone().find_map(|(at, blank)| cut(at, blank.len()));
    let by_comma = commas.find_map(|(at, sign)| cut(at, sign.len()));
    match (by_blank, by_comma) {
        (Some(blank), Some(comma)) if comma.1.len() < blank.1.len() => Some(comma),
        (Some(blank), _) => Some(blank),
        (None, comma) => comma,
    }
}

/// A number with a unit or without; a unit that is not in the list is refused.
pub fn amount(typed: &str, units: &[(&str, f64)], unmarked: f64) -> Result<f64, String> {
    let typed = typed.trim();
    let split = typed.find(|c: char| c.is_alphabetic() || c == '%' || c == '°').unwrap_or(typed.len());
    let (digits, unit) = (typed[..split].trim(), typed[split..].trim());
    if digits.is_empty() {
        return Err(format!("“{typed}” is no number."));
    }
    let value = number(digits).ok_or_else(|| format!("“{typed}” is no number."))?;
    if unit.is_empty() {
        return Ok(value * unmarked);
    }
    let known = units.iter().find(|(name, _)| *name == unit);
    let names: Vec<&str> = units.iter().map(|(name, _)| *name).collect();
    known.map(|(_, factor)| value * factor).ok_or_else(|| match names.as_slice() {
        [] => format!("“{unit}” is not expected here; write the number alone."),
        names => format!("“{unit}” is no unit known here; write {}.", names.join(", ")),
    })
}

/// A decimal number with point or comma; where both stand, the last of them is the decimal sign.
pub fn number(typed: &str) -> Option<f64> {
    let plain: String = typed.chars().filter(|c| !c.is_whitespace() && *c != '\'').collect();
    let plain = match (plain.rfind('.'), plain.rfind(',')) {
        (Some(point), Some(comma)) if comma > point => plain.replace('.', "").replace(',', "."),
        (Some(_), Some(_)) => plain.replace(',', ""),
        _ => plain.replace(',', "."),
    };
    let sound = plain.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+'));
    plain.parse().ok().filter(|_| sound)
}

/// A unit in brackets or after a slash at the end of a heading.
fn unit_of_heading(line: &str, units: &[(&str, f64)]) -> Result<Option<f64>, String> {
    let named = line.rsplit(['(', '[', '/']).next().filter(|_| line.contains(['(', '[', '/']));
    let Some(named) = named.map(|unit| unit.trim_end_matches([')', ']', ' ', '"'])) else { return Ok(None) };
    match units.iter().find(|(name, _)| *name == named) {
        Some((_, factor)) => Ok(Some(*factor)),
        None => {
            let names: Vec<&str> = units.iter().map(|(name, _)| *name).collect();
            Err(format!("“{named}” is no unit known here; write {}.", names.join(", ")))
        }
    }
}

/// A date with a time of day; a date alone counts as noon.
pub fn moment(typed: &str) -> Option<NaiveDateTime> {
    const DAYS: [&str; 5] = ["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d %b %Y", "%d %B %Y"];
    const TIMES: [&str; 2] = ["%H:%M", "%H:%M:%S"];
    let typed = typed.trim().trim_matches('"').trim_end_matches('Z');
    let sane = |day: &NaiveDate| (1900..2200).contains(&chrono::Datelike::year(day));
    let day_alone = DAYS.iter().find_map(|format| NaiveDate::parse_from_str(typed, format).ok());
    if let Some(day) = day_alone {
        return Some(day.and_time(NaiveTime::from_hms_opt(12, 0, 0)?)).filter(|_| sane(&day));
    }
    let (day, time) = typed.rsplit_once(['T', ' '])?;
    let day = DAYS
        .iter()
        .find_map(|format| NaiveDate::parse_from_str(day.trim().trim_end_matches(','), format).ok());
    let time = TIMES.iter().find_map(|format| NaiveTime::parse_from_str(time, format).ok())?;
    day.filter(sane).map(|day| day.and_time(time))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn masses(text: &str) -> Pasted<NaiveDateTime> {
        read(text, &Columns { first: moment, first_words: "a date", units: MASSES })
    }

    #[test]
    fn columns_may_be_parted_in_every_usual_way() {
        for line in [
            "2031-09-14 08:30\t182.40",
            "14/09/2031 08:30;182,40",
            "14.09.2031 08:30 182,40 g",
            "2031-09-14T08:30:00,182.40",
            "2031-09-14 08:30, 0.1824 kg",
            "14 Sep 2031 08:30 182.40",
        ] {
            let pasted = masses(line);
            assert_eq!(pasted.faults, Vec::<String>::new(), "{line}");
            assert!((pasted.pairs[0].value - 182.4).abs() < 1e-9, "{line}");
            assert_eq!(pasted.pairs[0].at.to_string(), "2031-09-14 08:30:00", "{line}");
        }
    }

    #[test]
    fn a_heading_may_name_the_unit_and_an_unknown_one_is_told() {
        assert!((masses("Date\tMass (kg)\n2031-09-14\t0,1824").pairs[0].value - 182.4).abs() < 1e-9);
        assert_eq!(
            masses("Date\tMass (oz)\n2031-09-14\t6 oz").faults,
            [
                "Line 1: “oz” is no unit known here; write g, kg, mg.",
                "Line 2: “oz” is no unit known here; write g, kg, mg."
            ]
        );
    }

    #[test]
    fn every_bad_line_is_told_by_its_number() {
        let faults = masses("2031-09-14\t182.40\n\nyesterday\t175\n2031-09-16\t\n2031-09-17\t173\t45").faults;
        assert_eq!(faults.len(), 3, "{faults:?}");
        for (fault, line) in faults.iter().zip(["Line 3", "Line 4", "Line 5"]) {
            assert!(fault.starts_with(line), "{fault}");
        }
    }

    #[test]
    fn both_signs_in_one_number_leave_the_last_as_the_decimal_one() {
        assert_eq!(number("1.234,5"), Some(1234.5));
        assert_eq!(number("1,234.5"), Some(1234.5));
        assert_eq!(number("1 234,5"), Some(1234.5));
        assert_eq!((number("nan"), number("inf"), number("1e3"), number("")), (None, None, None, None));
    }
}
