//! What a file is, told from its first bytes.
use super::Unreadable;

/// The kinds of file that are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum FileKind {
    /// Text with a separator between the cells.
    Text,
    /// Office Open XML spreadsheet.
    Xlsx,
    /// OpenDocument spreadsheet.
    Ods,
}

impl FileKind {
    /// What the kind is called on screen.
    pub fn label(self) -> &'static str {
        match self {
            FileKind::Text => "text file (CSV)",
            FileKind::Xlsx => "Excel workbook (XLSX)",
            FileKind::Ods => "OpenDocument spreadsheet (ODS)",
        }
    }
}

/// How the bytes are packed.
pub(super) enum Container {
    Text,
    Zip,
}

const SAVE_AS: &str = "Open it in a spreadsheet program and save it as .xlsx, .ods or CSV.";
const TABLE_WANTED: &str = "Choose the register itself, saved as .xlsx, .ods or CSV.";
const PICTURES: &str =
    "Photographs are added on the page of the find; here a register is wanted (.xlsx, .ods or CSV).";
const UNPACK: &str = "Unpack it first and choose the register inside.";
const EXPORT: &str = "Export the table of finds from it as CSV and choose that.";

/// Beginnings of files that are no register: offset, bytes, what it is, what to do.
const OTHERS: &[(usize, &[u8], &str, &str)] = &[
    (0, b"%PDF", "a PDF", "Ask for the spreadsheet it was made from; a PDF cannot be read as a table."),
    (0, b"\x89PNG", "a picture", PICTURES),
    (0, b"\xff\xd8\xff", "a picture", PICTURES),
    (0, b"GIF8", "a picture", PICTURES),
    (0, b"II*\0", "a picture", PICTURES),
    (0, b"MM\0*", "a picture", PICTURES),
    (4, b"ftyp", "a picture or a film", PICTURES),
    (8, b"WEBP", "a picture", PICTURES),
    (0, b"{\\rtf", "a word-processor document", TABLE_WANTED),
    (0, b"\x1f\x8b", "a packed file", UNPACK),
    (0, b"7z\xbc\xaf", "a packed file", UNPACK),
    (0, b"Rar!", "a packed file", UNPACK),
    (0, b"BZh", "a packed file", UNPACK),
    (0, b"\xfd7zXZ", "a packed file", UNPACK),
    (0, b"SQLite format 3", "a database", EXPORT),
    (4, b"Standard Jet DB", "a database", EXPORT),
    (4, b"Standard ACE DB", "a database", EXPORT),
];

/// Beginnings of text that is no table, in lower case.
const MARKED_UP: &[(&str, &str)] = &[
    ("<!doctype html", "a web page"),
    ("<html", "a web page"),
    ("<table", "a web page"),
    ("<?xml", "an XML file"),
    ("<office:document", "an XML file"),
    ("{\"", "a JSON file"),
    ("[{", "a JSON file"),
];

/// Tells text from a zipped spreadsheet and refuses everything else.
pub(super) fn container(bytes: &[u8]) -> Result<Container, Unreadable> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(Unreadable::Empty);
    }
    if bytes.starts_with(b"PK\x03\x04") {
        return Ok(Container::Zip);
    }
    if bytes.starts_with(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1") {
        return Err(compound(bytes));
    }
    let other =
        OTHERS.iter().find(|(at, mark, ..)| bytes.get(*at..).is_some_and(|rest| rest.starts_with(mark)));
    if let Some(&(_, _, what, advice)) = other {
        return Err(Unreadable::NotATable { what, advice });
    }
    let opening: String = bytes
        .iter()
        .filter(|byte| byte.is_ascii() && **byte != 0)
        .take(200)
        .map(|byte| char::from(byte.to_ascii_lowercase()))
        .collect();
    let opening = opening.trim_start();
    if let Some(&(_, what)) = MARKED_UP.iter().find(|(mark, _)| opening.starts_with(mark)) {
        return Err(Unreadable::NotATable { what, advice: SAVE_AS });
    }
    let wide = bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff");
    if !wide && bytes.contains(&0) {
        return Err(Unreadable::NotATable {
            what: "a file of a kind that is not known here",
            advice: TABLE_WANTED,
        });
    }
    Ok(Container::Text)
}

/// The old compound format holds .xls, .doc and password-protected new files; its stream names are UTF-16
/// (Microsoft, MS-CFB §2.6.1; MS-OFFCRYPTO §2.3.4 names EncryptedPackage).
fn compound(bytes: &[u8]) -> Unreadable {
    let holds = |name: &str| {
        let wide: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
        memchr::memmem::find(bytes, &wide).is_some()
    };
    if holds("EncryptedPackage") {
        Unreadable::Protected
    } else if holds("Workbook") || (holds("Book") && !holds("WordDocument")) {
        Unreadable::OldExcel
    } else {
        Unreadable::NotATable { what: "a document in an old office format", advice: SAVE_AS }
    }
}
