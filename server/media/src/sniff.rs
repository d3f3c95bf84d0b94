//! What a file really is, by its first bytes. Names and declared types are never asked.

use serde::{Deserialize, Serialize};

use crate::{Foreign, MediaError};

/// How many leading bytes [`sniff`] wants to see; fewer do when the file is shorter.
pub(crate) const HEAD_BYTES: usize = 4096;

/// The kinds of picture that are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    Jpeg,
    Png,
    Tiff,
}

impl Kind {
    /// Media type as registered with IANA.
    pub fn mime(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Tiff => "image/tiff",
        }
    }

    /// Ending for a file name offered to a visitor, without the dot.
    pub fn ending(self) -> &'static str {
        match self {
            Self::Jpeg => "jpg",
            Self::Png => "png",
            Self::Tiff => "tif",
        }
    }
}

/// The kind of a file from its leading bytes (all of them, or at least the first 4 096).
///
/// # Errors
/// [`MediaError::Empty`] for no bytes, [`MediaError::Unsupported`] with advice for every other kind.
pub fn sniff(bytes: &[u8]) -> Result<Kind, MediaError> {
    let head = &bytes[..bytes.len().min(HEAD_BYTES)];
    if head.is_empty() {
        return Err(MediaError::Empty);
    }
    match foreign(head) {
        Some(foreign) => Err(MediaError::Unsupported(foreign)),
        None if head.starts_with(&[0xFF, 0xD8, 0xFF]) => Ok(Kind::Jpeg),
        None if head.starts_with(b"\x89PNG\r\n\x1a\n") => Ok(Kind::Png),
        None if head.starts_with(b"II*\0") || head.starts_with(b"MM\0*") => Ok(Kind::Tiff),
        None => Err(MediaError::Unsupported(Foreign::Unknown)),
    }
}

/// Kinds that are known and refused, among them camera files that would pass for a TIFF.
fn foreign(head: &[u8]) -> Option<Foreign> {
    let starts = |magic: &[u8]| head.starts_with(magic);
    let holds = |at: usize, magic: &[u8]| head.get(at..).is_some_and(|rest| rest.starts_with(magic));
    if holds(4, b"ftyp") {
        return Some(brand(head.get(8..12).unwrap_or_default()));
    }
    if starts(b"II+\0") || starts(b"MM\0+") {
        return Some(Foreign::BigTiff);
    }
    let canon_raw = starts(b"II*\0") && holds(8, b"CR");
    if canon_raw || starts(b"IIRO") || starts(b"IIRS") || starts(b"IIU\0") || starts(b"FUJIFILMCCD-RAW") {
        return Some(Foreign::CameraRaw);
    }
    if starts(b"GIF87a") || starts(b"GIF89a") {
        return Some(Foreign::Gif);
    }
    if starts(b"RIFF") && holds(8, b"WEBP") {
        return Some(Foreign::WebP);
    }
    if starts(b"%PDF-") {
        return Some(Foreign::Pdf);
    }
    is_svg(head).then_some(Foreign::Svg)
}

/// Major brand of an ISO base media file (ISO/IEC 14496-12); the still picture brands are those of ISO/IEC 23008-12.
fn brand(brand: &[u8]) -> Foreign {
    match brand {
        b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx" | b"mif1" | b"msf1" => Foreign::Heic,
        b"avif" | b"avis" => Foreign::Avif,
        b"crx " => Foreign::CameraRaw,
        _ => Foreign::Film,
    }
}

fn is_svg(head: &[u8]) -> bool {
    let text = String::from_utf8_lossy(head);
    let text = text.trim_start_matches('\u{feff}').trim_start();
    text.starts_with('<') && text.to_ascii_lowercase().contains("<svg")
}
