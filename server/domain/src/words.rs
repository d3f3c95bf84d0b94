//! Words folded once, here, so that both engines search the same text.
use unicode_normalization::UnicodeNormalization;

/// Letters that take no room and are never meant: soft hyphen, joiners, marks of writing direction, byte order mark.
pub fn invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// Lower case without accents; letters and digits stay, everything else parts words.
///
/// ```
/// assert_eq!(domain::words::fold("Façade, Łódź – crème 12.5"), "facade lodz creme 12 5");
/// ```
pub fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for c in text.nfd().flat_map(char::to_lowercase) {
        match c {
            'ł' => folded.push('l'),
            'ø' => folded.push('o'),
            'đ' | 'ð' => folded.push('d'),
            'æ' => folded.push_str("ae"),
            'œ' => folded.push_str("oe"),
            'ß' => folded.push_str("ss"),
            'þ' => folded.push_str("th"),
            c if unicode_normalization::char::is_combining_mark(c) => {}
            c if c.is_alphanumeric() => folded.push(c),
            _ if folded.ends_with(' ') || folded.is_empty() => {}
            _ => folded.push(' '),
        }
    }
    folded.truncate(folded.trim_end().len());
    folded
}
