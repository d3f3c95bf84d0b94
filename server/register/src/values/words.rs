//! Text as kept, and the words by which people say nothing, yes and no, wet and dry.
use domain::finds::RecoveredState;
use domain::words::{fold, invisible};

/// Text on one line: white space of every kind is one space, none at the ends.
pub fn one_line(text: &str) -> String {
    let mut kept = String::with_capacity(text.len());
    for c in text.chars().filter(|c| !invisible(*c)) {
        if !c.is_whitespace() && !c.is_control() {
            kept.push(c);
        } else if !kept.is_empty() && !kept.ends_with(' ') {
            kept.push(' ');
        }
    }
    kept.truncate(kept.trim_end().len());
    kept
}

/// Text of several lines: each line as [`one_line`], no more than one empty line together.
pub fn prose(text: &str) -> String {
    let lines: Vec<String> =
        text.replace("\r\n", "\n").split(['\n', '\r', '\u{2028}']).map(one_line).collect();
    let mut kept = lines.join("\n");
    while kept.contains("\n\n\n") {
        kept = kept.replace("\n\n\n", "\n\n");
    }
    kept.trim().to_owned()
}

/// Without the apostrophe by which people make a spreadsheet keep `007` as text.
pub fn unquoted(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if rest.starts_with(|c: char| c.is_ascii_digit() || "=+-".contains(c)) => rest,
        Some("") => "",
        _ => text,
    }
}

/// Whether a tidied text says that there is nothing.
pub fn says_nothing(text: &str) -> bool {
    matches!(
        text.to_lowercase().as_str(),
        "" | "-"
            | "–"
            | "—"
            | "−"
            | "--"
            | "---"
            | "."
            | "/"
            | "n/a"
            | "n.a."
            | "na"
            | "n\\a"
            | "none"
            | "nil"
            | "null"
            | "blank"
            | "(blank)"
            | "empty"
            | "(empty)"
    )
}

/// Whether a tidied text in the place of a number names a row that sums up the others.
pub fn sums_up(text: &str) -> bool {
    let word = fold(text);
    let first = word.split(' ').next().unwrap_or_default();
    let only_words = !word.contains(|c: char| c.is_ascii_digit());
    only_words
        && (matches!(first, "total" | "totals" | "subtotal" | "sum" | "average" | "mean")
            || word.ends_with(" total"))
}

/// Whether a tidied text is a formula that the program which wrote the file never worked out.
pub fn is_formula(text: &str) -> bool {
    text.strip_prefix('=').is_some_and(|formula| formula.contains(|c: char| c.is_ascii_alphanumeric()))
}

/// Whether a tidied text says that a number or a day is not known.
pub fn says_unknown(text: &str) -> bool {
    let word = text.to_lowercase();
    says_nothing(&word)
        || matches!(
            word.as_str(),
            "?" | "??"
                | "unknown"
                | "unk"
                | "tbc"
                | "tbd"
                | "not recorded"
                | "nr"
                | "n/r"
                | "not known"
                | "not measured"
                | "not weighed"
                | "not counted"
                | "uncounted"
                | "unweighed"
                | "no date"
                | "nd"
                | "n.d."
                | "undated"
        )
}

/// Yes or no, in the ways people tick a column.
pub fn yes_no(text: &str) -> Option<bool> {
    if matches!(text.trim(), "✓" | "✔" | "☑" | "☒") {
        return Some(true);
    }
    match fold(text).as_str() {
        "y" | "yes" | "true" | "t" | "1" | "x" => Some(true),
        "n" | "no" | "false" | "f" | "0" => Some(false),
        _ => None,
    }
}

/// How wet a find was.
pub fn state(text: &str) -> Option<RecoveredState> {
    Some(match fold(text).as_str() {
        "dry" | "d" => RecoveredState::Dry,
        "damp" | "moist" | "slightly damp" => RecoveredState::Damp,
        "wet" | "w" | "waterlogged" | "water logged" | "wl" | "w l" | "saturated" | "submerged"
        | "in water" => RecoveredState::Wet,
        "unknown" | "not recorded" => RecoveredState::Unknown,
        _ => return None,
    })
}

/// True for bulk, false for registered singly.
pub fn basis(text: &str) -> Option<bool> {
    match fold(text).as_str() {
        "bulk" | "b" | "bulk find" | "bulk finds" => Some(true),
        "registered" | "reg" | "r" | "registered find" | "rf" | "sf" | "small find" | "small" | "single"
        | "singly" | "individual" | "special" | "special find" => Some(false),
        _ => yes_no(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_tidied_without_losing_words() {
        assert_eq!(one_line("\u{a0} iron\u{200b}  nail\t "), "iron nail");
        assert_eq!(prose("a \r\n\r\n\r\n\r\n b\n"), "a\n\nb");
        assert_eq!(unquoted("'007"), "007");
        assert_eq!(unquoted("'s-Gravenhage"), "'s-Gravenhage");
    }

    #[test]
    fn the_ways_of_saying_nothing_are_known() {
        for text in ["", "-", "–", "n/a", "N/A", "none", "None", "NA"] {
            assert!(says_nothing(text), "{text}");
        }
        assert!(!says_nothing("unknown") && says_unknown("unknown") && says_unknown("?"));
    }
}
