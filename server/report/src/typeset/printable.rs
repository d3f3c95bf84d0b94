//! Characters that no font of ours can show. A document of either standard may not hold a missing glyph (ISO 19005-2,
//! 6.2.11.8; ISO 14289-1, 7.21.8), so one strange character in one find would keep a whole report from being printed:
//! it is replaced by its code point in words that a reader can look up.
use super::world::{BOOK, FONTS};
use serde_json::Value;
use std::borrow::Cow;
use std::fmt::Write;
use typst::layout::Abs;
use typst::text::{Font, FontStretch, FontStyle, FontVariant, FontVariations, FontWeight};
use unicode_normalization::{UnicodeNormalization, char::is_combining_mark};

/// The typeface of the house, in which letter and accent are set together.
const HOUSE_FACE: &str = "libertinus serif";
/// A word of so many letters may be broken: no column is wide enough for it.
const LONGEST_WORD: usize = 41;
/// The zero-width space, where a line may break.
const BREAK: char = '\u{200b}';
/// The styles our templates use.
const STYLES: [FontVariant; 4] = [
    FontVariant { style: FontStyle::Normal, weight: FontWeight::REGULAR, stretch: FontStretch::NORMAL },
    FontVariant { style: FontStyle::Normal, weight: FontWeight::SEMIBOLD, stretch: FontStretch::NORMAL },
    FontVariant { style: FontStyle::Normal, weight: FontWeight::BOLD, stretch: FontStretch::NORMAL },
    FontVariant { style: FontStyle::Italic, weight: FontWeight::REGULAR, stretch: FontStretch::NORMAL },
];

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
    let is_plain = text.chars().all(|c| c.is_ascii() && !c.is_ascii_control());
    if is_plain && text.split(|c: char| !c.is_alphanumeric()).all(|word| word.len() < LONGEST_WORD) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len());
    let mut solid = 0;
    for c in text.nfc() {
        solid = if c.is_alphanumeric() { solid + 1 } else { 0 };
        if solid == LONGEST_WORD {
            shown.push(BREAK);
            solid = 1;
        }
        match c {
            c if c.is_whitespace() => shown.push(if c == '\u{a0}' || c == '\u{202f}' { c } else { ' ' }),
            c if c.is_control() || is_invisible(c) => {}
            c if is_combining_mark(c) && shown.chars().last().is_some_and(|base| is_set_with(base, c)) => {
                shown.push(c)
            }
            c if !is_combining_mark(c) && has_glyph(c) => shown.push(c),
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

/// Whether the standards allow the character as text, and it has a shape in every style a document uses: in the face
/// of the house, or in the font that the typesetter would take in its stead.
fn has_glyph(c: char) -> bool {
    let private = matches!(c, '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..='\u{10ffff}' | '\u{fffe}'..='\u{ffff}');
    !private && STYLES.iter().all(|style| in_house(*style, c) || in_its_stead(*style, c))
}

/// Whether every face of the house sets the mark on its base: a mark is never set from another font than its base.
fn is_set_with(base: char, mark: char) -> bool {
    STYLES.iter().all(|style| in_house(*style, base) && in_house(*style, mark))
}

fn house_face(style: FontVariant) -> Option<&'static Font> {
    BOOK.select(HOUSE_FACE, style).and_then(|index| FONTS.get(index))
}

fn in_house(style: FontVariant, c: char) -> bool {
    house_face(style).is_some_and(|font| draws(font, c))
}

fn in_its_stead(style: FontVariant, c: char) -> bool {
    let like = house_face(style).map(Font::info);
    let index = BOOK.select_fallback(like, style, c.encode_utf8(&mut [0; 4]));
    index.and_then(|index| FONTS.get(index)).is_some_and(|font| draws(font, c))
}

/// Whether the font draws the character: its own list of what it covers holds ranges that it does not draw.
fn draws(font: &Font, c: char) -> bool {
    let drawn = font.clone().instantiate(FontVariant::default(), Abs::pt(10.0), &FontVariations::default());
    drawn.ttf().glyph_index(c).is_some_and(|glyph| glyph.0 != 0)
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
        assert_eq!(printable_text("e\u{301} x\u{302}"), "é x\u{302}");
        assert_eq!(printable_text(&"x".repeat(40)), "x".repeat(40));
        assert_eq!(printable_text(&"x".repeat(50)), format!("{}\u{200b}{}", "x".repeat(40), "x".repeat(10)));
        assert_eq!(printable_text("\u{a72e} α"), "[U+A72E] α");
        assert_eq!(printable_text("]\u{102e0}"), "][U+102E0]");
    }
}
