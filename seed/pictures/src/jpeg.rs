//! The picture as a JPEG file.
use super::{Exif, Picture};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

/// A JPEG file of a quality from 1 to 100, with a camera's words in it where given.
///
/// Empty when the picture has no pixels or a side above 65,535.
pub fn jpeg(picture: &Picture, quality: u8, exif: Option<&Exif>) -> Vec<u8> {
    let mut file = Vec::new();
    let mut encoder = Encoder::new(&mut file, quality.clamp(1, 100));
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    if let Some(exif) = exif
        && encoder.add_exif_metadata(&exif.block()).is_err()
    {
        return Vec::new();
    }
    let (Ok(width), Ok(height)) = (u16::try_from(picture.width), u16::try_from(picture.height)) else {
        return Vec::new();
    };
    match encoder.encode(&picture.rgb, width, height, ColorType::Rgb) {
        Ok(()) => file,
        Err(_) => Vec::new(),
    }
}
