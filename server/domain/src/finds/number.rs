//! Find and context numbers: text, unique in their project, sorted as people count.

use crate::words::{fold, invisible};

/// Longest number accepted, in characters.
pub const LONGEST: usize = 40;

/// A number as kept: trimmed, inner white space single, without letters that do not show; nothing else changed (leading
/// zeros stay).
pub fn normal(typed: &str) -> Option<String> {
    let shown: String = typed.chars().filter(|c| !invisible(*c)).collect();
    let number = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    let fits = !number.is_empty() && number.chars().count() <= LONGEST && !number.contains(char::is_control);
    fits.then_some(number)
}

/// A key that sorts 2 before 10: digit runs are padded to twelve places, letters folded.
///
/// ```
/// use domain::finds::number::sort_key;
/// let mut numbers = ["SF 10", "SF 2", "sf 2a", "SF 1"];
/// numbers.sort_by_key(|n| sort_key(n));
/// assert_eq!(numbers, ["SF 1", "SF 2", "sf 2a", "SF 10"]);
/// ```
pub fn sort_key(number: &str) -> String {
    let folded = fold(number);
    let mut key = String::with_capacity(folded.len() + 12);
    let mut digits = String::new();
    for c in folded.chars().chain(std::iter::once('\0')) {
        if c.is_ascii_digit() {
            digits.push(c);
            continue;
        }
        if !digits.is_empty() {
            key.push_str(&format!("{:0>12}", digits.trim_start_matches('0')));
            digits.clear();
        }
        if c != '\0' {
            key.push(c);
        }
    }
    key
}

/// The sort keys of every way to write a number that people take for the same: `SF 12`, `sf12`, `SF-012`.
///
/// ```
/// use domain::finds::number::{alike_keys, sort_key};
/// assert!(alike_keys("SF 12").contains(&sort_key("sf-012")));
/// assert!(alike_keys("SF 12").contains(&sort_key("sf12")));
/// assert!(!alike_keys("1/2").contains(&sort_key("12")));
/// ```
pub fn alike_keys(number: &str) -> [String; 3] {
    let key = sort_key(number);
    [joined(&key), parted(&key), key]
}

/// The folded words by which a number is searched for, written in one and parted between letters and digits.
///
/// ```
/// assert_eq!(domain::finds::number::spellings("SF 12"), "sf12 sf 12");
/// assert_eq!(domain::finds::number::spellings("61"), "61");
/// ```
pub fn spellings(number: &str) -> String {
    let folded = fold(number);
    let (joined, parted) = (joined(&folded), parted(&folded));
    if joined == parted { joined } else { format!("{joined} {parted}") }
}

/// Whether a letter and a digit meet.
fn meet(one: char, other: char) -> bool {
    one.is_ascii_digit() != other.is_ascii_digit() && one != ' ' && other != ' '
}

/// Without the space between a letter and a digit.
fn joined(folded: &str) -> String {
    let letters: Vec<char> = folded.chars().collect();
    let at = |at: usize| letters.get(at).copied().unwrap_or(' ');
    let goes = |i: usize| letters[i] == ' ' && i > 0 && meet(at(i - 1), at(i + 1));
    (0..letters.len()).filter(|i| !goes(*i)).map(|i| letters[i]).collect()
}

/// With a space between every letter and digit that meet.
fn parted(folded: &str) -> String {
    let mut parted = String::with_capacity(folded.len() + 4);
    let mut last = ' ';
    for c in folded.chars() {
        if meet(last, c) {
            parted.push(' ');
        }
        parted.push(c);
        last = c;
    }
    parted
}
