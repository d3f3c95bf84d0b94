//! JPEG: all segments of the picture itself stay as they are; of the others only JFIF, ICC profile and colour transform.

use crate::{
    Inspection, MediaError,
    jpeg::{APP0, APP1, APP2, APP14, COM, Segment, segments},
};

/// The JFIF segment without its thumbnail (JFIF 1.02: identifier, version, density, thumbnail width and height).
const JFIF_BYTES: usize = 14;

pub(super) fn strip(original: &[u8], inspection: &Inspection, credit: &str) -> Result<Vec<u8>, MediaError> {
    let mut copy = Vec::with_capacity(original.len());
    copy.extend([0xFF, 0xD8]);
    let (asides, picture): (Vec<_>, Vec<_>) = segments(original)?.into_iter().partition(Segment::is_aside);
    if let Some(jfif) = asides.iter().find(|s| s.marker == APP0 && s.payload.starts_with(b"JFIF\0")) {
        push_jfif(&mut copy, jfif.payload);
    }
    if inspection.orientation != 1 {
        let block = super::orientation_block(inspection.orientation);
        push(&mut copy, APP1, &[b"Exif\0\0", block.as_slice()].concat())?;
    }
    if inspection.is_adobe_rgb {
        push_adobe_rgb(&mut copy)?;
    }
    for aside in asides.iter().filter(|aside| carries_colour(aside)) {
        copy.extend(aside.raw);
    }
    if !credit.is_empty() {
        push(&mut copy, COM, credit.as_bytes())?;
    }
    picture.iter().for_each(|segment| copy.extend(segment.raw));
    copy.extend([0xFF, 0xD9]);
    Ok(copy)
}

/// Pieces of an ICC profile (ICC.1, annex B.4), and Adobe's segment, which tells YCbCr from RGB and YCCK from CMYK
/// (ITU-T T.872, 6.5.3).
fn carries_colour(aside: &Segment<'_>) -> bool {
    match aside.marker {
        APP2 => aside.payload.starts_with(b"ICC_PROFILE\0"),
        APP14 => aside.payload.starts_with(b"Adobe"),
        _ => false,
    }
}

fn push_jfif(copy: &mut Vec<u8>, payload: &[u8]) {
    let mut jfif = [0; JFIF_BYTES];
    // the last two bytes, the size of the thumbnail, stay zero; a shorter segment is broken and left out
    if let Some(head) = payload.get(..JFIF_BYTES - 2) {
        jfif[..JFIF_BYTES - 2].copy_from_slice(head);
        copy.extend([0xFF, APP0, 0, 2 + JFIF_BYTES as u8]);
        copy.extend(jfif);
    }
}

fn push_adobe_rgb(copy: &mut Vec<u8>) -> Result<(), MediaError> {
    let Ok(profile) = moxcms::ColorProfile::new_adobe_rgb().encode() else { return Ok(()) };
    // piece one of one
    push(copy, APP2, &[b"ICC_PROFILE\0\x01\x01", profile.as_slice()].concat())
}

fn push(copy: &mut Vec<u8>, marker: u8, payload: &[u8]) -> Result<(), MediaError> {
    let length = u16::try_from(payload.len() + 2).map_err(|_| MediaError::Damaged)?;
    copy.extend([0xFF, marker]);
    copy.extend(length.to_be_bytes());
    copy.extend(payload);
    Ok(())
}
