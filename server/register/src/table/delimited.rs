//! Text files with a separator between the cells.
//!
//! Parsed here, not by a library: every library at hand drops empty lines, and then the row numbers in a problem are not
//! those that the person's spreadsheet shows. Quoting follows RFC 4180 §2, with its common loosenings: a quote that
//! stands inside an unquoted cell is itself, and text after a closing quote still belongs to the cell.
use super::cell::Fault;
use super::rows::Rows;
use super::text::{Separator, decode, separator};
use super::{Cell, FileKind, Limits, Reading, Table, Unreadable};
use std::borrow::Cow;

/// Reads a text file.
pub(super) fn read(bytes: &[u8], reading: &Reading, limits: &Limits) -> Result<Table, Unreadable> {
    let (text, encoding, note) = decode(bytes, reading.encoding);
    let (named, text) = named_separator(&text);
    let separator = reading.separator.or(named).unwrap_or_else(|| separator(text));
    let mut rows = Rows::new(limits);
    for field in Fields::new(text, separator) {
        if field.unclosed {
            return Err(Unreadable::UnclosedQuote { row: field.row + 1, column: field.column });
        }
        let cell = match Fault::shown(&field.text) {
            Some(fault) => Cell::Fault(fault),
            None => rows.text(field.row, field.column, &field.text, field.quoted)?,
        };
        rows.put(field.row, field.column, cell)?;
    }
    if rows.is_empty() {
        return Err(Unreadable::Empty);
    }
    let (rows, merged) = rows.finish();
    Ok(Table {
        kind: FileKind::Text,
        sheets: Vec::new(),
        sheet: None,
        rows,
        merged,
        encoding: Some(encoding),
        separator: Some(separator),
        notes: note.into_iter().collect(),
    })
}

/// A first line `sep=;`, which spreadsheet programs obey and hide.
fn named_separator(text: &str) -> (Option<Separator>, &str) {
    let Some(rest) = text.strip_prefix("sep=") else { return (None, text) };
    let Some(separator) = Separator::ALL.iter().find(|s| rest.as_bytes().first() == Some(&s.byte())) else {
        return (None, text);
    };
    let rest = &rest[1..];
    match rest.strip_prefix("\r\n").or_else(|| rest.strip_prefix(['\n', '\r'])) {
        Some(below) => (Some(*separator), below),
        None => (None, text),
    }
}

/// One cell of a text file, row and column from 0.
pub(super) struct Field<'a> {
    pub row: usize,
    pub column: usize,
    pub text: Cow<'a, str>,
    pub quoted: bool,
    /// Its quotation mark is open at the end of the file.
    pub unclosed: bool,
}

/// The cells of a text file in order. An empty line is a row with one empty cell.
pub(super) struct Fields<'a> {
    text: &'a str,
    separator: u8,
    at: usize,
    row: usize,
    column: usize,
}

impl<'a> Fields<'a> {
    pub fn new(text: &'a str, separator: Separator) -> Self {
        Self { text, separator: separator.byte(), at: 0, row: 0, column: 0 }
    }

    /// Where the cell that is not quoted from `from` on ends.
    fn end(&self, from: usize) -> usize {
        memchr::memchr3(self.separator, b'\n', b'\r', &self.text.as_bytes()[from..])
            .map_or(self.text.len(), |offset| from + offset)
    }

    /// The cell whose opening quote stands just before `from`: its text, its end, and whether it was never closed.
    fn quoted(&self, from: usize) -> (Cow<'a, str>, usize, bool) {
        let bytes = self.text.as_bytes();
        let mut text = Cow::Borrowed("");
        let mut at = from;
        loop {
            let Some(offset) = memchr::memchr(b'"', &bytes[at..]) else {
                text += &self.text[at..];
                return (text, bytes.len(), true);
            };
            text += &self.text[at..at + offset];
            at += offset + 1;
            if bytes.get(at) == Some(&b'"') {
                text += "\"";
                at += 1;
                continue;
            }
            let end = self.end(at);
            text += self.text[at..end].trim_end();
            return (text, end, false);
        }
    }
}

impl<'a> Iterator for Fields<'a> {
    type Item = Field<'a>;

    fn next(&mut self) -> Option<Field<'a>> {
        let bytes = self.text.as_bytes();
        if self.at > bytes.len() || (self.at == bytes.len() && self.column == 0) {
            return None;
        }
        let spaces = bytes[self.at..].iter().take_while(|byte| **byte == b' ').count();
        let quoted = bytes.get(self.at + spaces) == Some(&b'"');
        let (text, end, unclosed) = if quoted {
            self.quoted(self.at + spaces + 1)
        } else {
            let end = self.end(self.at);
            (Cow::Borrowed(&self.text[self.at..end]), end, false)
        };
        let field = Field { row: self.row, column: self.column, text, quoted, unclosed };
        match bytes.get(end) {
            Some(byte) if *byte == self.separator => {
                self.column += 1;
                self.at = end + 1;
            }
            Some(byte) => {
                self.row += 1;
                self.column = 0;
                self.at = end + if *byte == b'\r' && bytes.get(end + 1) == Some(&b'\n') { 2 } else { 1 };
            }
            None => self.at = bytes.len() + 1,
        }
        Some(field)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(text: &str, separator: Separator) -> Vec<(usize, usize, String)> {
        Fields::new(text, separator).map(|f| (f.row, f.column, f.text.into_owned())).collect()
    }

    #[test]
    fn quotes_keep_separators_quotes_and_line_ends_inside_a_cell() {
        let text = "a,\"b,\"\"c\"\"\r\nd\", \"e\" \r\n\r\nf";
        let expected = [(0, 0, "a"), (0, 1, "b,\"c\"\r\nd"), (0, 2, "e"), (1, 0, ""), (2, 0, "f")];
        assert_eq!(cells(text, Separator::Comma), expected.map(|(r, c, t)| (r, c, t.to_owned())));
    }

    #[test]
    fn an_inch_mark_inside_a_cell_is_itself() {
        assert_eq!(cells("12\" nail;x\n", Separator::Semicolon)[0].2, "12\" nail");
    }

    #[test]
    fn the_separator_is_the_one_that_parts_rows_evenly() {
        assert_eq!(separator("a;b;c\n1,5;2,5;3,5\n2,25;1,0;0,5\n"), Separator::Semicolon);
        assert_eq!(separator("Site, 2031\na,b\n1,\"x; y\"\n2,z\n"), Separator::Comma);
        assert_eq!(separator("a\tb\nshort, long, wide\tx\ny, z, w\tq\n"), Separator::Tab);
    }
}
