//! Characters that no font of ours can show. A document of either standard may not hold a missing glyph (ISO 19005-2,
//! 6.2.11.8; ISO 14289-1, 7.21.8), so one strange character in one find would keep a whole report from being printed:
//! it is replaced by its code point in words that a reader can look up.
use super::world::FONTS;
use serde_json::Value;
use std::borrow::Cow;
use std::fmt::Write;

/// The values with every text made printable.
pub fn printable(value: Value) -> Value {
    match value {
        Value::String(text) => Value::String(printable_text(&text).into_owned()),
        Value::Array(items) => Value::Array(items.into_iter().map(printable).collect()),
        Value::Object(fields) => {
            Value::Object(fields.into_iter().map(|(name, value)| (name, printable(value))).collect())
        }
        other => other,
    }
}

/// The text with white space of any kind as single spaces, and "[U+1F3FA]" where a character cannot be shown.
fn printable_text(text: &str) -> Cow<'_, str> {
    if text.chars().all(|c| c.is_ascii() && !c.is_ascii_control()) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            c if c.is_whitespace() => shown.push(if c == '\u{a0}' || c == '\u{202f}' { c } else { ' ' }),
            c if c.is_control() || is_invisible(c) => {}
            c if has_glyph(c) => shown.push(c),
            // Writing into a String cannot fail.
            c => _ = write!(shown, "[U+{:04X}]", u32::from(c)),
        }
    }
    Cow::Owned(shown)
}

/// Marks that steer other characters and have no shape: joiners, direction marks, selectors, soft hyphens.
fn is_invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}'..='\u{1160}' | '\u{17b4}'..='\u{17b5}' | '\u{180b}'..='\u{180f}'
        | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}'
        | '\u{feff}' | '\u{ffa0}' | '\u{fff0}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

/// Whether a font of ours has a shape for the character, and the standards allow it as text.
fn has_glyph(c: char) -> bool {
    let private = matches!(c, '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..='\u{10ffff}' | '\u{fffe}'..='\u{ffff}');
    !private && FONTS.iter().any(|font| font.info().coverage.contains(u32::from(c)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_font_can_show_is_named_by_its_code_point() {
        assert_eq!(printable_text("crème brûlée – Łódź"), "crème brûlée – Łódź");
        assert_eq!(printable_text("pot 🏺 of\ttwo\nlines\u{0}"), "pot [U+1F3FA] of two lines");
        assert_eq!(printable_text("soft\u{ad}hyphen \u{202e}turned"), "softhyphen turned");
        assert_eq!(printable_text("\u{e123}"), "[U+E123]");
    }
}
