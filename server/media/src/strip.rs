//! A copy of an original for people who may not know the findspot: the pixels to the bit, the colour profile, which way
//! is up, and a line of credit; no other metadata.
//!
//! The file is taken apart and put together again without decoding. What is kept is listed, all else goes, so that an
//! unknown block cannot betray a place. A turned picture stays as stored, and a fresh orientation field tells which way is up:
//! turning the pixels of a JPEG would mean to compress it again.

mod jpeg;
mod png;
mod tiff;

use crate::{Kind, MediaError, inspect};

/// Credits longer than this many characters are cut.
const CREDIT_CHARS: usize = 500;

/// A copy without metadata.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stripped {
    pub kind: Kind,
    pub bytes: Vec<u8>,
}

/// The copy, with this credit unless it is blank.
///
/// A picture marked as Adobe RGB only in its metadata gets that profile embedded, so that its colours survive.
///
/// # Errors
/// What [`inspect`] refuses, and [`MediaError::Damaged`] if the file cannot be taken apart.
pub fn strip(original: &[u8], credit: &str) -> Result<Stripped, MediaError> {
    let inspection = inspect(original)?;
    let credit: String = credit.trim().chars().filter(|c| !c.is_control()).take(CREDIT_CHARS).collect();
    let bytes = match inspection.kind {
        Kind::Jpeg => jpeg::strip(original, &inspection, &credit)?,
        Kind::Png => png::strip(original, &inspection, &credit)?,
        Kind::Tiff => tiff::strip(original, &credit)?,
    };
    Ok(Stripped { kind: inspection.kind, bytes })
}

/// An EXIF block that holds the orientation and nothing else (TIFF 6.0 layout, big-endian; EXIF 2.3, tag 274).
fn orientation_block(orientation: u8) -> Vec<u8> {
    let mut block = b"MM\0*\0\0\0\x08".to_vec();
    // one field: tag 274, of type SHORT (3), one value, left-justified in four bytes; no further directory
    block.extend([0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0, 0, 0, 0, 0]);
    block
}
