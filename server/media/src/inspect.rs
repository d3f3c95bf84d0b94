//! What a picture says of itself, read from its header before anything is decoded.

use std::io::Cursor;

use chrono::{NaiveDate, NaiveDateTime};
use exif::{Context, Exif, In, Tag, Value};
use image::{ImageDecoder, ImageError, ImageFormat, ImageReader, Limits};
use serde::{Deserialize, Serialize};

use crate::{Foreign, Kind, MediaError, jpeg, sniff, tiff};

/// Longest side accepted, in pixels.
pub const MAX_SIDE_PX: u32 = 30_000;
/// Most pixels accepted in one picture.
pub const MAX_PIXELS: u64 = 200_000_000;
/// Most memory that opening one picture may take, in bytes: 200 megapixels of an 8-bit TIFF, which is held twice.
const MAX_WORKING_BYTES: u64 = 1_250_000_000;
/// A picture larger than this, in bytes when decoded, must not have shrunk beyond [`MAX_RATIO`] in its file.
const RATIO_FROM_BYTES: u64 = 64_000_000;
/// Deflate, the closest-packing of the three, reaches 1 032 to 1 (RFC 1951: 258 bytes in two bits) and only on a
/// single even colour; photographs stay below 100 to 1.
const MAX_RATIO: u64 = 1_000;
/// Camera names longer than this many characters are cut.
const NAME_CHARS: usize = 100;

/// What the header and the metadata of a picture tell.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Inspection {
    pub kind: Kind,
    /// pixels as stored, before turning upright
    pub width_px: u32,
    /// pixels as stored, before turning upright
    pub height_px: u32,
    /// EXIF orientation, 1 (upright) to 8
    pub orientation: u8,
    /// when the shutter opened, by the camera's own clock and without a zone
    pub taken_at: Option<NaiveDateTime>,
    pub camera_make: Option<String>,
    pub camera_model: Option<String>,
    /// whether the metadata tell where the picture was taken
    pub has_position: bool,
    /// whether an ICC profile is embedded
    pub has_colour_profile: bool,
    /// whether a camera marked the colours as Adobe RGB without embedding a profile (DCF 2.0, "option file")
    pub is_adobe_rgb: bool,
}

impl Inspection {
    /// Width and height in pixels once turned upright.
    pub fn upright_px(&self) -> (u32, u32) {
        // orientations 5 to 8 exchange rows and columns (EXIF 2.3, tag 274)
        if self.orientation >= 5 { (self.height_px, self.width_px) } else { (self.width_px, self.height_px) }
    }
}

/// Reads the header and metadata of a whole file.
///
/// # Errors
/// Empty, unsupported, damaged, too many pixels, or an implausible claim of size; see [`MediaError`].
pub fn inspect(file: &[u8]) -> Result<Inspection, MediaError> {
    let kind = sniff(file)?;
    let held_bytes_per_sample = structure(file, kind)?;
    let mut decoder = decoder(file, kind)?;
    let (width_px, height_px) = decoder.dimensions();
    check_size((width_px, height_px), &decoder, held_bytes_per_sample, file.len() as u64)?;
    let xmp = decoder.xmp_metadata().ok().flatten().unwrap_or_default();
    let has_colour_profile = decoder.icc_profile().is_ok_and(|p| p.is_some());
    let exif = exif(file);
    let text = |tag| exif.as_ref().and_then(|e| text(e, tag));
    Ok(Inspection {
        kind,
        width_px,
        height_px,
        orientation: decoder.orientation().map_or(1, image::metadata::Orientation::to_exif),
        taken_at: exif.as_ref().and_then(taken_at),
        camera_make: text(Tag::Make),
        camera_model: text(Tag::Model),
        has_position: exif.as_ref().is_some_and(tells_position) || xmp_tells_position(&xmp),
        has_colour_profile,
        is_adobe_rgb: !has_colour_profile
            && text(Tag::InteroperabilityIndex).is_some_and(|index| index == "R03"),
    })
}

/// A decoder with the limits set, its header read. Not yet guarded against bombs: [`inspect`] comes first.
pub(crate) fn decoder(file: &[u8], kind: Kind) -> Result<impl ImageDecoder, MediaError> {
    let format = match kind {
        Kind::Jpeg => ImageFormat::Jpeg,
        Kind::Png => ImageFormat::Png,
        Kind::Tiff => ImageFormat::Tiff,
    };
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MAX_WORKING_BYTES);
    let mut reader = ImageReader::with_format(Cursor::new(file), format);
    reader.limits(limits);
    reader.into_decoder().map_err(|cause| refuse(&cause))
}

/// What a decoder's complaint means to the person who sent the file.
pub(crate) fn refuse(cause: &ImageError) -> MediaError {
    tracing::debug!(%cause, "a picture could not be decoded");
    match cause {
        ImageError::Unsupported(_) | ImageError::Limits(_) => MediaError::Unsupported(Foreign::Variety),
        _ => MediaError::Damaged,
    }
}

/// Checks what the decoders let pass, and returns how many bytes per decoded byte the decoder holds at its peak.
fn structure(file: &[u8], kind: Kind) -> Result<u64, MediaError> {
    match kind {
        // a progressive JPEG keeps a 16-bit coefficient beside each 8-bit sample
        Kind::Jpeg => Ok(if jpeg::is_progressive(&jpeg::segments(file)?) { 3 } else { 1 }),
        Kind::Png => Ok(1),
        Kind::Tiff if tiff::Directory::read(file)?.is_camera_raw() => {
            Err(MediaError::Unsupported(Foreign::CameraRaw))
        }
        Kind::Tiff => Ok(2),
    }
}

fn check_size(
    (width_px, height_px): (u32, u32),
    decoder: &impl ImageDecoder,
    held_bytes_per_byte: u64,
    file_bytes: u64,
) -> Result<(), MediaError> {
    let decoded_bytes = decoder.total_bytes();
    if width_px == 0 || height_px == 0 {
        return Err(MediaError::Damaged);
    }
    if width_px.max(height_px) > MAX_SIDE_PX
        || u64::from(width_px) * u64::from(height_px) > MAX_PIXELS
        || decoded_bytes.saturating_mul(held_bytes_per_byte) > MAX_WORKING_BYTES
    {
        return Err(MediaError::TooManyPixels { width_px, height_px });
    }
    if decoded_bytes > RATIO_FROM_BYTES && decoded_bytes / file_bytes > MAX_RATIO {
        return Err(MediaError::Implausible { width_px, height_px });
    }
    Ok(())
}

/// Metadata in a broken state never refuse a picture: what can be read is read.
fn exif(file: &[u8]) -> Option<Exif> {
    exif::Reader::new()
        .continue_on_error(true)
        .read_from_container(&mut Cursor::new(file))
        .or_else(|cause| cause.distill_partial_result(|_| {}))
        .ok()
}

fn text(exif: &Exif, tag: Tag) -> Option<String> {
    let Value::Ascii(parts) = &exif.get_field(tag, In::PRIMARY)?.value else { return None };
    let text = String::from_utf8_lossy(parts.first()?);
    let text: String = text.trim().chars().filter(|c| !c.is_control()).take(NAME_CHARS).collect();
    (!text.is_empty()).then_some(text)
}

fn taken_at(exif: &Exif) -> Option<NaiveDateTime> {
    // not DateTime (306), which is when the file was last changed
    let field = [Tag::DateTimeOriginal, Tag::DateTimeDigitized];
    let text = field.into_iter().find_map(|tag| text(exif, tag))?;
    let stamp = exif::DateTime::from_ascii(text.as_bytes()).ok()?;
    NaiveDate::from_ymd_opt(stamp.year.into(), stamp.month.into(), stamp.day.into())?.and_hms_opt(
        stamp.hour.into(),
        stamp.minute.into(),
        stamp.second.into(),
    )
}

/// Any field of the GPS directory but its version counts: bearings and times can betray a place too.
fn tells_position(exif: &Exif) -> bool {
    exif.fields().any(|field| field.tag.context() == Context::Gps && field.tag != Tag::GPSVersionID)
}

fn xmp_tells_position(xmp: &[u8]) -> bool {
    let holds = |word: &[u8]| xmp.windows(word.len()).any(|w| w == word);
    holds(b"GPSLatitude") || holds(b"GPSLongitude")
}
