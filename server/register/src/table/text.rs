//! Bytes as text: which encoding, which separator.
use super::delimited::Fields;
use std::borrow::Cow;

domain::text_enum! {
    /// How the letters of a text file are written.
    Encoding, "encoding" {
        Utf8 = "utf8", "UTF-8";
        Utf16Le = "utf16le", "UTF-16 (little-endian)";
        Utf16Be = "utf16be", "UTF-16 (big-endian)";
        Windows1252 = "windows1252", "Windows-1252 (western European)";
        Windows1250 = "windows1250", "Windows-1250 (central European)";
        Macintosh = "macintosh", "Mac Roman (old Macintosh)";
    }
}

domain::text_enum! {
    /// What stands between the cells of a text file.
    Separator, "separator" {
        Comma = "comma", "comma (,)";
        Semicolon = "semicolon", "semicolon (;)";
        Tab = "tab", "tab";
        Bar = "bar", "bar (|)";
    }
}

impl Encoding {
    fn codec(self) -> &'static encoding_rs::Encoding {
        match self {
            Encoding::Utf8 => encoding_rs::UTF_8,
            Encoding::Utf16Le => encoding_rs::UTF_16LE,
            Encoding::Utf16Be => encoding_rs::UTF_16BE,
            Encoding::Windows1252 => encoding_rs::WINDOWS_1252,
            Encoding::Windows1250 => encoding_rs::WINDOWS_1250,
            Encoding::Macintosh => encoding_rs::MACINTOSH,
        }
    }
}

impl Separator {
    /// The byte itself.
    pub fn byte(self) -> u8 {
        match self {
            Separator::Comma => b',',
            Separator::Semicolon => b';',
            Separator::Tab => b'\t',
            Separator::Bar => b'|',
        }
    }
}

/// The text of a file, how it was read, and what the person should know about that.
///
/// Without a choice: a byte order mark decides; else UTF-8 where the bytes are UTF-8; else Windows-1252.
pub(super) fn decode(bytes: &[u8], chosen: Option<Encoding>) -> (Cow<'_, str>, Encoding, Option<String>) {
    if let Some(encoding) = chosen {
        let (text, broken) = encoding.codec().decode_with_bom_removal(bytes);
        let note = broken.then(|| {
            format!("Some letters are not {encoding} and show as \u{fffd}. Choose another encoding.")
        });
        return (text, encoding, note);
    }
    for (mark, encoding) in [
        (&b"\xef\xbb\xbf"[..], Encoding::Utf8),
        (&b"\xff\xfe"[..], Encoding::Utf16Le),
        (&b"\xfe\xff"[..], Encoding::Utf16Be),
    ] {
        if bytes.starts_with(mark) {
            let (text, broken) = encoding.codec().decode_with_bom_removal(bytes);
            return (
                text,
                encoding,
                broken.then(|| "Some letters are damaged in the file and show as \u{fffd}.".into()),
            );
        }
    }
    if let Ok(text) = std::str::from_utf8(bytes) {
        return (Cow::Borrowed(text), Encoding::Utf8, None);
    }
    let (text, _) = Encoding::Utf8.codec().decode_without_bom_handling(bytes);
    let damaged = text.chars().filter(|c| *c == '\u{fffd}').count();
    let sound = text.chars().filter(|c| !c.is_ascii() && *c != '\u{fffd}').count();
    if damaged * 10 < sound {
        return (
            text,
            Encoding::Utf8,
            Some("Some letters are damaged in the file and show as \u{fffd}.".into()),
        );
    }
    let (text, _) = Encoding::Windows1252.codec().decode_without_bom_handling(bytes);
    let note = "The file is not UTF-8; it was read as Windows-1252 (western European). If letters such as é, ø or – look \
                wrong, choose another encoding.";
    (text, Encoding::Windows1252, Some(note.into()))
}

/// How many records are looked at to find the separator.
const SAMPLE: usize = 200;

/// The separator that parts the most records into the same number of cells.
///
/// A comma counts less than a semicolon that does as well: where cells are separated by semicolons, commas are decimals.
pub(super) fn separator(text: &str) -> Separator {
    let judged = Separator::ALL.iter().map(|&separator| (separator, evenness(text, separator)));
    let mut best = (Separator::Comma, 0.0);
    for (separator, even) in judged {
        let even = if separator == Separator::Comma { even * 0.9 } else { even };
        if even > best.1 {
            best = (separator, even);
        }
    }
    best.0
}

/// The share of records with the same number of cells, squared, times the cells beyond the first (to twelve).
fn evenness(text: &str, separator: Separator) -> f64 {
    let mut widths: Vec<usize> = Vec::new();
    for field in Fields::new(text, separator) {
        if field.row >= SAMPLE {
            break;
        }
        widths.resize(field.row + 1, 0);
        widths[field.row] = field.column + 1;
    }
    let mut best = 0.0;
    for &width in widths.iter().filter(|width| **width > 1) {
        let alike = widths.iter().filter(|other| **other == width).count();
        let share = alike as f64 / widths.len() as f64;
        best = f64::max(best, share * share * (width.min(13) - 1) as f64);
    }
    best
}
