//! What might have been meant.
use super::lexicon::{self, Entry};
use super::segment;

/// "st", "nd", "rd" or "th".
pub(super) fn ordinal_ending(value: i64) -> &'static str {
    match (value % 100, value % 10) {
        (11..=13, _) => "th",
        (_, 1) => "st",
        (_, 2) => "nd",
        (_, 3) => "rd",
        _ => "th",
    }
}

/// "1st", "22nd".
pub(super) fn ordinal(value: i64) -> String {
    format!("{value}{}", ordinal_ending(value))
}

/// The Roman numeral of a small number, in capitals.
pub(super) fn roman(value: i64) -> String {
    const PARTS: &[(i64, &str)] = &[(10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I")];
    let mut left = value;
    let mut numeral = String::new();
    for (worth, letters) in PARTS {
        while left >= *worth {
            numeral.push_str(letters);
            left -= worth;
        }
    }
    numeral
}

/// The phrase with the characters from `start` to `end` replaced, blanks made single.
pub(super) fn replaced(chars: &[char], start: usize, end: usize, with: &str) -> String {
    let before: String = chars[..start].iter().collect();
    let after: String = chars[end..].iter().collect();
    format!("{before}{with}{after}").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The phrase without the brackets that the character `at` stands in; `None` if it stands in none.
pub(super) fn outside_brackets(chars: &[char], at: usize) -> Option<String> {
    let opens = chars[..at].iter().rposition(|one| matches!(one, '(' | '['))?;
    let is_close = |one: &char| matches!(one, ')' | ']');
    if chars[opens..at].iter().any(is_close) {
        return None;
    }
    let closes = chars[at..].iter().position(is_close).map_or(chars.len(), |found| at + found + 1);
    Some(tidied(&replaced(chars, opens, closes, " ")))
}

/// The phrase without the words before or behind the date that are not known or are refused; `None` where such a word
/// stands between words that are known, for then more is said than a date.
pub(super) fn known_words(text: &str, chars: &[char]) -> Option<String> {
    let mut kept = String::new();
    let (mut has_gap, mut at) = (false, 0);
    while at < chars.len() {
        let is_word = chars[at].is_alphanumeric();
        let (is_known, is_silent, end) = match (is_word, lexicon::longest(chars, at)) {
            (false, _) => (true, true, at + 1),
            (true, Some((entry, end))) => {
                (!matches!(entry, Entry::Refused { .. }), matches!(entry, Entry::Silent), end)
            }
            (true, None) => match segment::tokens_of(text, chars, at) {
                Ok(Some((_, end))) => (true, false, end),
                _ => (false, false, end_of_type(chars, segment::end_of(chars, at))),
            },
        };
        if is_known && !is_silent && has_gap {
            return None;
        }
        if is_known {
            kept.extend(&chars[at..end]);
        } else {
            has_gap = kept.contains(char::is_alphanumeric);
        }
        at = end;
    }
    Some(tidied(&kept))
}

/// Where an unknown word ends, the number of a form or type behind it included: "Dressel 20", "Drag. 37".
fn end_of_type(chars: &[char], end: usize) -> usize {
    let is = |at: usize, wanted: fn(&char) -> bool| chars.get(at).is_some_and(wanted);
    let mut start = end;
    while is(start, |one| matches!(one, ' ' | '.')) {
        start += 1;
    }
    let behind = segment::end_of(chars, start);
    let is_number =
        (1..=2).contains(&(behind - start)) && (start..behind).all(|at| is(at, char::is_ascii_digit));
    if is_number && !is(behind, |one| matches!(one, '-' | '/')) { behind } else { end }
}

/// Every bracket left out with what stands in it.
pub(super) fn without_brackets(chars: &[char]) -> String {
    let mut depth = 0_usize;
    let mut kept = String::new();
    for one in chars {
        match one {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            _ if depth == 0 => kept.push(*one),
            _ => {}
        }
    }
    tidied(&kept)
}

/// Signs left hanging at either end, empty brackets, and words behind the date that say nothing of it taken off.
pub(super) fn tidied(text: &str) -> String {
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let text = words.replace("( )", "").replace("()", "");
    let mut rest = text.as_str();
    loop {
        rest = rest.trim_matches([' ', '-', '/', ',', ';', ':', '.', '&']);
        match rest.rsplit_once(' ') {
            Some((before, last)) if lexicon::is_silent(last) => rest = before,
            _ => return rest.to_owned(),
        }
    }
}

/// The known word nearest to a misspelt one: at most two letters out (one in short words), a swap counting as one.
pub(super) fn nearest(word: &str) -> Option<&'static str> {
    let word = word.to_lowercase();
    let length = word.chars().count();
    if length < 4 {
        return None;
    }
    let allowed = if length < 6 { 1 } else { 2 };
    lexicon::vocabulary()
        .map(|known| (distance(&word, &known.to_lowercase()), known))
        .filter(|(away, _)| *away <= allowed)
        .min_by_key(|(away, _)| *away)
        .map(|(_, known)| known)
}

/// Letters inserted, dropped, changed or swapped with a neighbour (optimal string alignment).
fn distance(one: &str, two: &str) -> usize {
    let (one, two): (Vec<char>, Vec<char>) = (one.chars().collect(), two.chars().collect());
    let mut rows: Vec<Vec<usize>> = vec![(0..=two.len()).collect()];
    for i in 1..=one.len() {
        let mut row = vec![i];
        for j in 1..=two.len() {
            let change = usize::from(one[i - 1] != two[j - 1]);
            let mut least = (rows[i - 1][j] + 1).min(row[j - 1] + 1).min(rows[i - 1][j - 1] + change);
            if i > 1 && j > 1 && one[i - 1] == two[j - 2] && one[i - 2] == two[j - 1] {
                least = least.min(rows[i - 2][j - 2] + 1);
            }
            row.push(least);
        }
        rows.push(row);
    }
    rows[one.len()][two.len()]
}

/// Shorthand without its C written out: "L2–E3" becomes "late 2nd century–early 3rd century".
pub(super) fn spelt_out(text: &str) -> String {
    let mut out = String::new();
    for word in text.split_inclusive(|one: char| !one.is_alphanumeric()) {
        let core = word.trim_end_matches(|one: char| !one.is_alphanumeric());
        let tail = &word[core.len()..];
        let letter = core.chars().next();
        let value = core
            .get(1..)
            .and_then(|digits| digits.parse::<i64>().ok())
            .filter(|value| (1..=21).contains(value));
        let part = match letter {
            Some('E' | 'e') => "early",
            Some('M' | 'm') => "mid",
            Some('L' | 'l') => "late",
            _ => "",
        };
        match value {
            Some(value) if !part.is_empty() => {
                out.push_str(&format!("{part} {} century{tail}", ordinal(value)));
            }
            _ => out.push_str(word),
        }
    }
    out
}
