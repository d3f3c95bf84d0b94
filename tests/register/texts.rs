//! Text files: encodings, separators, quotes, rows as the spreadsheet numbers them.
use super::{bytes, table};
use register::table::{Cell, Encoding, Limits, Reading, Separator, read};

fn text(words: &str) -> Cell {
    Cell::Text(words.into())
}

#[test]
fn western_european_letters_and_semicolons_are_recognised() {
    let found = table("western.csv");
    assert_eq!((found.encoding, found.separator), (Some(Encoding::Windows1252), Some(Separator::Semicolon)));
    assert_eq!(found.cell(1, 3), &text("crème slip – “fine”"));
    assert_eq!(found.cell(1, 6), &text("Søren Béchard"));
    assert_eq!(found.notes.len(), 1, "the person is told that the encoding is a guess");
}

#[test]
fn a_byte_order_mark_quotes_line_ends_and_ragged_rows_do_no_harm() {
    let found = table("marked.csv");
    assert_eq!((found.encoding, found.separator), (Some(Encoding::Utf8), Some(Separator::Comma)));
    assert_eq!(found.cell(0, 0), &text("Find"));
    assert_eq!(found.cell(1, 5), &text("two lines,\r\nand a \"quote\""));
    assert_eq!(found.cell(2, 5), &Cell::Empty, "a short row");
    assert_eq!(found.cell(5, 0), &text("3"), "an empty line is a row, as in the spreadsheet");
    assert_eq!((found.cell(5, 3), found.cell(5, 7)), (&text("12\" nail"), &text("c")));
}

#[test]
fn unicode_text_with_tabs_is_read() {
    let found = table("unicode.txt");
    assert_eq!((found.encoding, found.separator), (Some(Encoding::Utf16Le), Some(Separator::Tab)));
    assert_eq!((found.cell(1, 3), found.cell(2, 3)), (&text("Χαλκός, ξύλο"), &text("Æ ø å")));
}

#[test]
fn the_person_may_choose_encoding_and_separator() {
    let reading =
        Reading { encoding: Some(Encoding::Macintosh), separator: Some(Separator::Comma), sheet: None };
    let found = read(b"a,b;c\nn\x8e,x\n", &reading, &Limits::default()).unwrap();
    // 0x8E is e with acute accent: Apple, Mac OS Roman to Unicode table (ROMAN.TXT)
    assert_eq!((found.cell(0, 1), found.cell(1, 0)), (&text("b;c"), &text("né")));
    let found = read(&bytes("western.csv"), &Reading::default(), &Limits::default()).unwrap();
    assert_eq!(found.cell(3, 4), &text("1.250,75"));
}

#[test]
fn a_first_line_that_names_the_separator_is_obeyed_and_not_counted() {
    let found = read(b"sep=|\r\nFind|Weight, g\r\n1|2\r\n", &Reading::default(), &Limits::default()).unwrap();
    assert_eq!((found.cell(0, 1), found.cell(1, 0)), (&text("Weight, g"), &text("1")));
}
