//! What a zipped spreadsheet unpacks to, measured before any reader trusts it.
//!
//! Sizes that the archive declares are added up first, then every part that a reader will open is unpacked once into
//! nothing, counted and looked through. What passes here cannot fill memory later: readers work on a stream, and no
//! single run of text, table of styles or promised count in it is large.
use super::{FileKind, Limits, Unreadable};
use memchr::memmem::{Finder, find};
use std::io::{Cursor, Read};
use zip::ZipArchive;
use zip::result::ZipError;

/// Parts in one archive at most; a workbook with a hundred sheets has some four hundred.
const PARTS: usize = 10_000;
/// Bytes without any mark-up at most. A cell holds 32,767 characters.
const RUN: usize = 1_000_000;
/// Shared words of a workbook, unpacked, in bytes: these are held in memory.
const SHARED_WORDS: u64 = 96_000_000;
/// Styles of a workbook, unpacked, in bytes, and the tags among them. Excel allows 65,490 cell formats
/// (Microsoft, "Excel specifications and limits").
const STYLES: u64 = 16_000_000;
const STYLE_TAGS: usize = 400_000;
/// Promised number of shared words, for which the reader makes room at once.
const PROMISED: u64 = 5_000_000;

const ODS: &str = "application/vnd.oasis.opendocument.spreadsheet";

/// The parts of an archive as far as they matter.
#[derive(Debug, Default)]
pub(super) struct Parts {
    names: Vec<String>,
    mimetype: Option<String>,
    /// Whether any sheet may hold formulas.
    pub formulas: bool,
    /// Whether any sheet may have joined cells.
    pub merged: bool,
}

impl Parts {
    /// Which spreadsheet it is.
    pub fn kind(&self) -> Result<FileKind, Unreadable> {
        let any = |test: fn(&str) -> bool| self.names.iter().any(|name| test(name));
        if let Some(mimetype) = &self.mimetype {
            return match mimetype.strip_prefix(ODS) {
                Some("" | "-template") => Ok(FileKind::Ods),
                _ => Err(not_a_table(
                    "a document of another kind",
                    "Choose the spreadsheet itself (.xlsx, .ods or CSV).",
                )),
            };
        }
        if any(|name| name.ends_with("workbook.bin")) {
            return Err(Unreadable::BinaryExcel);
        }
        if any(|name| name.starts_with("xl/")) {
            return Ok(FileKind::Xlsx);
        }
        Err(if any(|name| name.starts_with("word/")) {
            not_a_table(
                "a word-processor document",
                "Copy its table into a spreadsheet and save that as .xlsx, .ods or CSV.",
            )
        } else if any(|name| name.ends_with(".iwa")) {
            not_a_table("a Numbers document", "Export it from Numbers as Excel or CSV and choose that.")
        } else if any(|name| name == "[content_types].xml") {
            not_a_table(
                "an office document of another kind",
                "Choose the spreadsheet itself (.xlsx, .ods or CSV).",
            )
        } else {
            not_a_table("a packed file", "Unpack it first and choose the register inside.")
        })
    }
}

fn not_a_table(what: &'static str, advice: &'static str) -> Unreadable {
    Unreadable::NotATable { what, advice }
}

impl From<ZipError> for Unreadable {
    fn from(error: ZipError) -> Self {
        match error {
            ZipError::UnsupportedArchive(message) if message == ZipError::PASSWORD_REQUIRED => {
                Unreadable::Protected
            }
            _ => Unreadable::Damaged,
        }
    }
}

/// Looks through the archive.
pub(super) fn inspect(bytes: &[u8], limits: &Limits) -> Result<Parts, Unreadable> {
    let mut archive = ZipArchive::new(Cursor::new(bytes))?;
    if archive.len() > PARTS {
        return Err(Unreadable::OddlyBuilt { part: "too many parts" });
    }
    let mut parts = Parts::default();
    let mut declared = 0u64;
    for at in 0..archive.len() {
        let part = archive.by_index_raw(at)?;
        if part.encrypted() {
            return Err(Unreadable::Protected);
        }
        declared = declared.saturating_add(part.size());
        parts.names.push(part.name()?.to_lowercase().replace('\\', "/"));
    }
    if declared > limits.unpacked {
        return Err(Unreadable::TooLargeUnpacked { limit: limits.unpacked });
    }
    read_envelope(&mut archive, &mut parts)?;
    parts.kind()?;
    let mut left = limits.unpacked;
    for at in 0..archive.len() {
        let name = parts.names[at].clone();
        if name.ends_with(".xml") || name.ends_with(".rels") {
            let mut scan = Scan::new(&name);
            scan.part(&mut archive.by_index(at)?, left).map_err(|error| match error {
                Unreadable::TooLargeUnpacked { .. } => {
                    Unreadable::TooLargeUnpacked { limit: limits.unpacked }
                }
                other => other,
            })?;
            left -= scan.bytes;
            let sheet = name.contains("sheet");
            parts.formulas |= sheet && scan.formulas;
            parts.merged |= sheet && scan.merged;
        }
    }
    Ok(parts)
}

/// The two small parts that tell the kind of an OpenDocument file and whether it is encrypted.
fn read_envelope(archive: &mut ZipArchive<Cursor<&[u8]>>, parts: &mut Parts) -> Result<(), Unreadable> {
    let mut small = |name: &str, most: u64| -> Result<Option<Vec<u8>>, Unreadable> {
        let Some(at) = parts.names.iter().position(|other| other == name) else { return Ok(None) };
        let mut bytes = Vec::new();
        archive.by_index(at)?.take(most).read_to_end(&mut bytes).map_err(|_| Unreadable::Damaged)?;
        Ok(Some(bytes))
    };
    if let Some(manifest) = small("meta-inf/manifest.xml", 1_000_000)?
        && find(&manifest, b"encryption-data").is_some()
    {
        return Err(Unreadable::Protected);
    }
    let mimetype = small("mimetype", 100)?;
    parts.mimetype = mimetype.map(|bytes| String::from_utf8_lossy(&bytes).trim().to_owned());
    Ok(())
}

/// One part as it streams by.
struct Scan {
    bytes: u64,
    tags: usize,
    run: usize,
    formulas: bool,
    merged: bool,
    styles: bool,
    shared: bool,
}

/// Kept from one piece to the next, so that nothing hides on the seam.
const SEAM: usize = 64;

impl Scan {
    fn new(name: &str) -> Self {
        let (styles, shared) = (name.ends_with("styles.xml"), name.ends_with("sharedstrings.xml"));
        Self { bytes: 0, tags: 0, run: 0, formulas: false, merged: false, styles, shared }
    }

    /// Unpacks a part into nothing.
    fn part(&mut self, part: &mut impl Read, left: u64) -> Result<(), Unreadable> {
        let most = if self.shared { left.min(SHARED_WORDS) } else { left };
        let finders = Finders::new();
        let mut piece = vec![0u8; 256 * 1024];
        let mut kept = 0;
        loop {
            let read = part.read(&mut piece[kept..]).map_err(|_| Unreadable::Damaged)?;
            if read == 0 {
                return Ok(());
            }
            if self.bytes == 0 && matches!(piece[0], 0 | 0xfe | 0xff) {
                return Err(Unreadable::OddlyBuilt { part: "two-byte letters" });
            }
            self.bytes += read as u64;
            if self.bytes > most {
                return Err(Unreadable::TooLargeUnpacked { limit: most });
            }
            self.marks(&piece[kept..kept + read])?;
            let seen = &piece[..kept + read];
            self.words(seen, &finders)?;
            let end = kept + read;
            kept = SEAM.min(end);
            piece.copy_within(end - kept..end, 0);
        }
    }

    /// Counts tags and watches for text without end.
    fn marks(&mut self, piece: &[u8]) -> Result<(), Unreadable> {
        let mut from = 0;
        for at in memchr::memchr_iter(b'<', piece) {
            self.run += at - from;
            if self.run > RUN {
                break;
            }
            self.run = 0;
            self.tags += 1;
            from = at;
        }
        self.run += piece.len() - from;
        if self.run > RUN {
            return Err(Unreadable::OddlyBuilt { part: "a text without end" });
        }
        if self.styles && (self.tags > STYLE_TAGS || self.bytes > STYLES) {
            return Err(Unreadable::OddlyBuilt { part: "too many styles" });
        }
        Ok(())
    }

    /// Looks for declarations of entities, promised counts, formulas and joined cells.
    fn words(&mut self, seen: &[u8], finders: &Finders) -> Result<(), Unreadable> {
        if finders.declaration.find_iter(seen).any(|at| {
            seen[at..].starts_with(b"<!DOCTYPE")
                || seen[at..].starts_with(b"<!ENTITY")
                || seen[at..].starts_with(b"<!doctype")
        }) {
            return Err(Unreadable::OddlyBuilt { part: "entities of its own" });
        }
        if self.shared && finders.promise.find_iter(seen).any(|at| promised(&seen[at..]) > PROMISED) {
            return Err(Unreadable::OddlyBuilt { part: "a false count" });
        }
        self.formulas =
            self.formulas || finders.formula.find(seen).is_some() || finders.prefixed.find(seen).is_some();
        self.merged = self.merged || finders.merged.find(seen).is_some();
        Ok(())
    }
}

/// The number in `uniqueCount = "123"`; beyond belief when the number does not stand close by.
fn promised(bytes: &[u8]) -> u64 {
    let after = &bytes["uniqueCount".len()..];
    let near = &after[..after.len().min(32)];
    let mut rest = near.iter().copied().skip_while(u8::is_ascii_whitespace).peekable();
    match rest.next() {
        Some(b'=') => {}
        Some(_) => return 0,
        // cut off by the seam: the next piece shows it again
        None => return if near.len() < 32 { 0 } else { u64::MAX },
    }
    let digits: Vec<u8> =
        rest.skip_while(|byte| !byte.is_ascii_digit()).take_while(u8::is_ascii_digit).collect();
    match std::str::from_utf8(&digits).ok().and_then(|digits| digits.parse().ok()) {
        Some(count) => count,
        None if digits.is_empty() && near.len() < 32 => 0,
        None => u64::MAX,
    }
}

struct Finders {
    declaration: Finder<'static>,
    promise: Finder<'static>,
    formula: Finder<'static>,
    prefixed: Finder<'static>,
    merged: Finder<'static>,
}

impl Finders {
    fn new() -> Self {
        Self {
            declaration: Finder::new("<!"),
            promise: Finder::new("uniqueCount"),
            formula: Finder::new("<f"),
            prefixed: Finder::new(":f"),
            merged: Finder::new("mergeCell"),
        }
    }
}
