//! Photographs and the file store. Pictures by an outside writer lie in `pictures/`, with the script that made them.

mod darkroom;
mod files;
mod prints;
mod refusals;
mod stripping;

use image::{DynamicImage, ImageEncoder, Rgb, RgbImage};
use media::{Print, Variant};

/// Colours of the four corners in the pictures: top left, top right, bottom left, bottom right, as stored.
const CORNERS: [[u8; 3]; 4] = [[200, 100, 50], [60, 160, 90], [90, 80, 170], [128, 128, 128]];

/// A picture from the folder.
fn picture(name: &str) -> Vec<u8> {
    std::fs::read(format!("{}/media/pictures/{name}", env!("CARGO_MANIFEST_DIR")))
        .expect("the picture is there")
}

/// A picture of that size with four distinct corners.
fn corners(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        Rgb(CORNERS[usize::from(x >= width / 2) + 2 * usize::from(y >= height / 2)])
    })
}

/// The picture as JPEG with that EXIF block.
fn jpeg(picture: &RgbImage, exif: Option<Vec<u8>>) -> Vec<u8> {
    let mut file = Vec::new();
    let mut encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut file, 95);
    if let Some(exif) = exif {
        encoder.set_exif_metadata(exif).expect("JPEG takes EXIF");
    }
    encoder.encode_image(picture).expect("written");
    file
}

/// A picture in any of the three formats.
fn encoded(picture: &DynamicImage, format: image::ImageFormat) -> Vec<u8> {
    let mut file = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut file, format).expect("written");
    file.into_inner()
}

/// All prints of a file that is expected to be good.
fn develop(file: &[u8]) -> Vec<Print> {
    media::develop(file, &media::inspect(file).expect("a good picture")).expect("developed")
}

/// The pixels of one print.
fn print(file: &[u8], variant: Variant) -> RgbImage {
    let prints = develop(file);
    let print = prints.iter().find(|p| p.variant == variant).expect("made");
    image::load_from_memory(&print.jpeg).expect("a JPEG").to_rgb8()
}

/// The colours in the middle of the four quarters: top left, top right, bottom left, bottom right.
fn quarters(picture: &RgbImage) -> [[u8; 3]; 4] {
    let (w, h) = picture.dimensions();
    [(1, 1), (3, 1), (1, 3), (3, 3)].map(|(x, y)| picture.get_pixel(w * x / 4, h * y / 4).0)
}

/// Equal but for what JPEG compression changes in an even patch.
fn assert_close(found: [[u8; 3]; 4], expected: [[u8; 3]; 4], what: &str) {
    let off = found.as_flattened().iter().zip(expected.as_flattened()).map(|(f, e)| f.abs_diff(*e)).max();
    assert!(off <= Some(4), "{what}: found {found:?}, expected {expected:?}");
}

fn holds(file: &[u8], word: &[u8]) -> bool {
    file.windows(word.len()).any(|w| w == word)
}

/// An EXIF block with the orientation alone (EXIF 2.3, tag 274, SHORT), little-endian.
fn exif_orientation(orientation: u8) -> Vec<u8> {
    let mut block = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    block.extend([orientation, 0, 0, 0, 0, 0, 0, 0]);
    block
}
