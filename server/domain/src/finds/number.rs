//! Find and context numbers: text, unique in their project, sorted as people count.

/// Longest number accepted, in characters.
pub const LONGEST: usize = 40;

/// A number as kept: trimmed, inner white space single, nothing else changed (leading zeros stay).
pub fn normal(typed: &str) -> Option<String> {
    let number = typed.split_whitespace().collect::<Vec<_>>().join(" ");
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
    let folded = crate::words::fold(number);
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
