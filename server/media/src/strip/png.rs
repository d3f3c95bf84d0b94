//! PNG (third edition): the chunks that make the picture and its colours stay as they are.

use crate::{Inspection, MediaError};

const SIGNATURE_BYTES: usize = 8;
/// Length, type and checksum of a chunk.
const FRAME_BYTES: usize = 12;

/// Critical chunks, transparency, colour, and the size of a pixel.
const KEPT: [&[u8; 4]; 12] = [
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"iCCP", b"sRGB", b"gAMA", b"cHRM", b"cICP", b"sBIT",
    b"pHYs",
];

pub(super) fn strip(original: &[u8], inspection: &Inspection, credit: &str) -> Result<Vec<u8>, MediaError> {
    let mut copy = original.get(..SIGNATURE_BYTES).ok_or(MediaError::Damaged)?.to_vec();
    let mut at = SIGNATURE_BYTES;
    loop {
        let (name, chunk) = chunk(original, at).ok_or(MediaError::Damaged)?;
        at += chunk.len();
        if KEPT.contains(&&name) {
            copy.extend(chunk);
        }
        match &name {
            b"IHDR" => push_own(&mut copy, inspection, credit)?,
            b"IEND" => return Ok(copy),
            _ => {}
        }
    }
}

/// Type and whole bytes of the chunk that begins there.
fn chunk(file: &[u8], at: usize) -> Option<([u8; 4], &[u8])> {
    let length = u32::from_be_bytes(file.get(at..at + 4)?.try_into().ok()?) as usize;
    let name = file.get(at + 4..at + 8)?.try_into().ok()?;
    Some((name, file.get(at..at.checked_add(length)?.checked_add(FRAME_BYTES)?)?))
}

fn push_own(copy: &mut Vec<u8>, inspection: &Inspection, credit: &str) -> Result<(), MediaError> {
    if inspection.orientation != 1 {
        push(copy, b"eXIf", &super::orientation_block(inspection.orientation))?;
    }
    if !credit.is_empty() {
        // keyword, not compressed, no language, no translated keyword, UTF-8 text
        push(copy, b"iTXt", &[b"Copyright\0\0\0\0\0", credit.as_bytes()].concat())?;
    }
    Ok(())
}

fn push(copy: &mut Vec<u8>, name: &[u8; 4], content: &[u8]) -> Result<(), MediaError> {
    let length = u32::try_from(content.len()).map_err(|_| MediaError::Damaged)?;
    copy.extend(length.to_be_bytes());
    let checked_from = copy.len();
    copy.extend(name);
    copy.extend(content);
    let sum = crc32(&copy[checked_from..]);
    copy.extend(sum.to_be_bytes());
    Ok(())
}

/// The checksum of a chunk (PNG third edition, annex D), bit by bit: it is taken over a few hundred bytes only.
const fn crc32(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    let mut at = 0;
    while at < bytes.len() {
        sum ^= bytes[at] as u32;
        let mut bit = 0;
        while bit < 8 {
            sum = if sum & 1 == 1 { 0xEDB8_8320 ^ (sum >> 1) } else { sum >> 1 };
            bit += 1;
        }
        at += 1;
    }
    !sum
}

// Checked whenever this is built, since a test program of this crate takes a minute to make. PNG third edition, 11.2.5
// IEND: every PNG file ends in AE 42 60 82; and the usual check value of CRC-32/ISO-HDLC.
const _: () = assert!(crc32(b"IEND") == 0xAE42_6082 && crc32(b"123456789") == 0xCBF4_3926);
