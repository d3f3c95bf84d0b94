//! The marker segments of a JPEG file (ITU-T T.81, annex B).

use crate::MediaError;

pub(crate) const APP0: u8 = 0xE0;
pub(crate) const APP1: u8 = 0xE1;
pub(crate) const APP2: u8 = 0xE2;
pub(crate) const APP14: u8 = 0xEE;
pub(crate) const COM: u8 = 0xFE;
const APP15: u8 = 0xEF;
const EOI: u8 = 0xD9;
const SOS: u8 = 0xDA;
/// Progressive frame, Huffman coded.
const SOF2: u8 = 0xC2;

/// A JPEG with more scans than this only costs time: sensible progressive files have about ten.
const MAX_SCANS: usize = 100;

/// One marker segment; that of a scan reaches to the end of its entropy-coded bytes.
pub(crate) struct Segment<'a> {
    pub marker: u8,
    /// what follows the two length bytes
    pub payload: &'a [u8],
    /// the segment as it stands in the file, marker included
    pub raw: &'a [u8],
}

impl Segment<'_> {
    /// Whether this holds application data or a comment, and nothing of the picture.
    pub fn is_aside(&self) -> bool {
        matches!(self.marker, APP0..=APP15 | COM)
    }
}

/// All segments from the start to the end-of-image marker; what follows that marker is not part of the picture.
///
/// # Errors
/// [`MediaError::Damaged`] if the file ends before the end-of-image marker, or has more than 100 scans.
pub(crate) fn segments(file: &[u8]) -> Result<Vec<Segment<'_>>, MediaError> {
    let mut found = Vec::new();
    // after the two bytes of the start-of-image marker
    let mut at = 2;
    loop {
        at = next_marker(file, at).ok_or(MediaError::Damaged)?;
        let marker = file[at + 1];
        if marker == EOI {
            break;
        }
        let segment = segment(file, at, marker).ok_or(MediaError::Damaged)?;
        at += segment.raw.len();
        found.push(segment);
    }
    if found.iter().filter(|s| s.marker == SOS).count() > MAX_SCANS {
        return Err(MediaError::Damaged);
    }
    Ok(found)
}

/// Whether the frame is progressive, whose decoding holds all coefficients in memory.
pub(crate) fn is_progressive(segments: &[Segment<'_>]) -> bool {
    segments.iter().any(|s| s.marker == SOF2)
}

fn segment(file: &[u8], at: usize, marker: u8) -> Option<Segment<'_>> {
    let length = usize::from(u16::from_be_bytes([*file.get(at + 2)?, *file.get(at + 3)?]));
    let payload = file.get(at + 4..at + 2 + length.max(2))?;
    let mut end = at + 4 + payload.len();
    if marker == SOS {
        end = next_marker(file, end)?;
    }
    Some(Segment { marker, payload, raw: &file[at..end] })
}

/// Position of the next marker at or after `at`: 0xFF and a byte that is neither stuffing (0x00), a restart marker
/// (0xD0–0xD7), which belongs to a scan, nor another fill byte (0xFF).
fn next_marker(file: &[u8], at: usize) -> Option<usize> {
    let pairs = file.get(at..)?.windows(2);
    pairs.into_iter().position(|p| p[0] == 0xFF && !matches!(p[1], 0x00 | 0xD0..=0xD7 | 0xFF)).map(|n| at + n)
}
