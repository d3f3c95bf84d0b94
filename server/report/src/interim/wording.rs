//! Figures, dates and lists as words, alike in every printed document.
use chrono::NaiveDate;

/// What stands where there is nothing to show.
pub const NONE: &str = "–";

/// "25 Nov 2026".
pub fn day(date: NaiveDate) -> String {
    date.format("%-d %b %Y").to_string()
}

/// "25 November 2026".
pub fn long_day(date: NaiveDate) -> String {
    date.format("%-d %B %Y").to_string()
}

/// A whole number with a comma at every third place: `12345` is "12,345".
pub fn whole(number: usize) -> String {
    let digits = number.to_string();
    let mut grouped = String::with_capacity(digits.len() + digits.len() / 3);
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    grouped
}

/// A count with its noun: "1 find", "2,400 finds".
pub fn counted(number: usize, one: &str, many: &str) -> String {
    format!("{} {}", whole(number), if number == 1 { one } else { many })
}

/// "a", "a and b", "a, b and c".
pub fn listed<S: AsRef<str>>(words: &[S]) -> String {
    match words {
        [] => String::new(),
        [only] => only.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

/// The first letter as a capital, for the start of a sentence or a heading.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The words as a sentence: trimmed, with a full stop unless some mark ends them already; nothing stays nothing.
pub fn sentence(words: &str) -> String {
    let words = words.trim();
    let ends = words.trim_end_matches(['”', '"', ')']).ends_with(['.', '!', '?', '…']);
    if words.is_empty() || ends { words.to_owned() } else { format!("{words}.") }
}

/// Paragraphs of a longer text: separated by line breaks, empty ones left out.
pub fn paragraphs(text: &str) -> Vec<String> {
    text.lines().map(str::trim).filter(|line| !line.is_empty()).map(str::to_owned).collect()
}

/// A length in millimetres, at most one decimal: "42 mm", "10.5 mm".
pub fn millimetres(mm: f64) -> String {
    let text = format!("{mm:.1}");
    together(&[text.strip_suffix(".0").unwrap_or(&text), "mm"])
}

/// Words that no line break parts: "phase 3", "42 mm".
pub fn together(words: &[&str]) -> String {
    words.join("\u{a0}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_and_lists_read_as_a_person_writes_them() {
        assert_eq!(whole(0), "0");
        assert_eq!(whole(999), "999");
        assert_eq!(whole(1_000), "1,000");
        assert_eq!(whole(1_234_567), "1,234,567");
        assert_eq!(counted(1, "find", "finds"), "1 find");
        assert_eq!(listed(&["iron", "glass", "bone"]), "iron, glass and bone");
        assert_eq!(listed::<&str>(&[]), "");
        assert_eq!(sentence("Rim, thin "), "Rim, thin.");
        assert_eq!(sentence("Rim?"), "Rim?");
        assert_eq!(millimetres(42.0), "42\u{a0}mm");
        assert_eq!(millimetres(10.46), "10.5\u{a0}mm");
    }
}
