//! TIFF: a new file with one directory of the fields that make the picture, its strips or tiles copied as they are.
//! Further pages, previews and the directories of cameras and editors are not carried over.

use crate::{
    MediaError,
    tiff::{
        ASCII, Directory, LONG, ORIENTATION, Order, STRIP_BYTE_COUNTS, STRIP_OFFSETS, TILE_BYTE_COUNTS,
        TILE_OFFSETS,
    },
};

/// TIFF 6.0, tag 33432
const COPYRIGHT: u16 = 33432;

/// Fields without which the pixels or their colours cannot be understood (TIFF 6.0; 34675 is the ICC profile,
/// ICC.1 annex B.5), in ascending order. Offsets and the credit are written anew.
const KEPT: [u16; 33] = [
    256, // ImageWidth
    257, // ImageLength
    258, // BitsPerSample
    259, // Compression
    262, // PhotometricInterpretation
    266, // FillOrder
    ORIENTATION,
    277, // SamplesPerPixel
    278, // RowsPerStrip
    STRIP_BYTE_COUNTS,
    280, // MinSampleValue
    281, // MaxSampleValue
    282, // XResolution
    283, // YResolution
    284, // PlanarConfiguration
    292, // T4Options
    293, // T6Options
    296, // ResolutionUnit
    301, // TransferFunction
    317, // Predictor
    318, // WhitePoint
    319, // PrimaryChromaticities
    320, // ColorMap
    322, // TileWidth
    323, // TileLength
    TILE_BYTE_COUNTS,
    332, // InkSet
    338, // ExtraSamples
    339, // SampleFormat
    347, // JPEGTables
    530, // YCbCrSubSampling
    532, // ReferenceBlackWhite
    34675,
];

/// A field to be written: tag, type, count and value bytes.
struct Field {
    tag: u16,
    form: u16,
    count: u32,
    value: Vec<u8>,
}

pub(super) fn strip(original: &[u8], credit: &str) -> Result<Vec<u8>, MediaError> {
    let directory = Directory::read(original)?;
    let order = directory.order;
    let mut copy = if order == Order::Little { b"II*\0".to_vec() } else { b"MM\0*".to_vec() };
    // place of the directory, filled in at the end
    copy.extend([0; 4]);
    let mut fields: Vec<Field> =
        directory.entries.iter().filter(|e| KEPT.contains(&e.tag)).map(Field::of).collect();
    fields.push(copy_blocks(original, &directory, &mut copy)?);
    if !credit.is_empty() {
        let value = [credit.as_bytes(), b"\0"].concat();
        fields.push(Field { tag: COPYRIGHT, form: ASCII, count: length(&value)?, value });
    }
    fields.sort_by_key(|field| field.tag);
    let start = push_directory(&mut copy, order, &fields)?;
    copy[4..8].copy_from_slice(&order.bytes_of_u32(start));
    Ok(copy)
}

impl Field {
    fn of(entry: &crate::tiff::Entry<'_>) -> Self {
        Self { tag: entry.tag, form: entry.form, count: entry.count, value: entry.value.to_vec() }
    }
}

/// Copies the strips or tiles and returns the field that tells their new places.
fn copy_blocks(original: &[u8], directory: &Directory<'_>, copy: &mut Vec<u8>) -> Result<Field, MediaError> {
    let (tag, counts_tag) = match directory.numbers(TILE_OFFSETS) {
        Some(_) => (TILE_OFFSETS, TILE_BYTE_COUNTS),
        None => (STRIP_OFFSETS, STRIP_BYTE_COUNTS),
    };
    let offsets = directory.numbers(tag).ok_or(MediaError::Damaged)?;
    let counts = directory.numbers(counts_tag).ok_or(MediaError::Damaged)?;
    let total: u64 = counts.iter().copied().map(u64::from).sum();
    // more would mean that blocks overlap, by which a small file could ask for an endless copy
    if offsets.len() != counts.len() || total > original.len() as u64 {
        return Err(MediaError::Damaged);
    }
    let mut value = Vec::with_capacity(offsets.len() * 4);
    for (offset, count) in offsets.iter().zip(&counts) {
        let start = *offset as usize;
        let block = original.get(start..start.saturating_add(*count as usize)).ok_or(MediaError::Damaged)?;
        value.extend(directory.order.bytes_of_u32(place(copy)?));
        copy.extend(block);
    }
    Ok(Field {
        tag,
        form: LONG,
        count: u32::try_from(offsets.len()).map_err(|_| MediaError::Damaged)?,
        value,
    })
}

/// Writes long values, then the directory; returns where the directory begins.
fn push_directory(copy: &mut Vec<u8>, order: Order, fields: &[Field]) -> Result<u32, MediaError> {
    let mut directory = order.bytes_of_u16(fields.len() as u16).to_vec();
    for field in fields {
        directory.extend(order.bytes_of_u16(field.tag));
        directory.extend(order.bytes_of_u16(field.form));
        directory.extend(order.bytes_of_u32(field.count));
        if field.value.len() <= 4 {
            let mut inline = [0; 4];
            inline[..field.value.len()].copy_from_slice(&field.value);
            directory.extend(inline);
        } else {
            directory.extend(order.bytes_of_u32(place(copy)?));
            copy.extend(&field.value);
        }
    }
    // no further directory
    directory.extend([0; 4]);
    let start = place(copy)?;
    copy.extend(directory);
    Ok(start)
}

/// Where the next bytes will stand: on a word boundary, as TIFF wants of values and directories.
fn place(copy: &mut Vec<u8>) -> Result<u32, MediaError> {
    if copy.len() % 2 == 1 {
        copy.push(0);
    }
    length(copy)
}

fn length(bytes: &[u8]) -> Result<u32, MediaError> {
    u32::try_from(bytes.len()).map_err(|_| MediaError::Damaged)
}
