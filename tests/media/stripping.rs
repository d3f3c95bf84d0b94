//! The copy without metadata: same pixels, same colours, same way up, nothing else.

use std::io::Cursor;

use image::{ImageDecoder, ImageReader};

use super::{holds, picture, print, quarters};

const CREDIT: &str = "© Vessel Trust, photograph A. Ødegård";

fn stripped(name: &str) -> Vec<u8> {
    media::strip(&picture(name), CREDIT).expect("stripped").bytes
}

fn pixels(file: &[u8]) -> image::DynamicImage {
    image::load_from_memory(file).expect("decodes")
}

fn profile(file: &[u8]) -> Option<Vec<u8>> {
    let reader = ImageReader::new(Cursor::new(file)).with_guessed_format().expect("known");
    reader.into_decoder().expect("decodes").icc_profile().expect("readable")
}

#[test]
fn every_pixel_and_the_colour_profile_stay() {
    for name in [
        "phone.jpg",
        "progressive.jpg",
        "cmyk.jpg",
        "find.png",
        "linear-grey.png",
        "find.tif",
        "lzw.tif",
        "fax.tif",
        "grey16.tif",
    ] {
        let (original, copy) = (picture(name), stripped(name));
        assert_eq!(pixels(&copy), pixels(&original), "{name}");
        assert_eq!(profile(&copy), profile(&original), "{name}");
    }
    assert!(profile(&stripped("phone.jpg")).is_some());
}

#[test]
fn position_camera_words_and_previews_are_gone() {
    for name in ["phone.jpg", "find.png", "find.tif"] {
        let (original, copy) = (picture(name), stripped(name));
        assert!(media::inspect(&original).expect("good").has_position, "{name}");
        for word in [
            &b"GPS"[..],
            b"Invented",
            b"Field 3",
            b"Vessenholt",
            b"quay",
            b"Photoshop",
            b"MPF",
            b"2026:06:14",
            b"xmp",
            b"Location",
        ] {
            assert!(!holds(&copy, word), "{name} still holds {}", String::from_utf8_lossy(word));
        }
        let found = media::inspect(&copy).expect("good");
        assert!(!found.has_position && found.taken_at.is_none() && found.camera_make.is_none(), "{name}");
    }
}

#[test]
fn only_the_orientation_is_left_of_the_exif_fields() {
    for (name, expected) in [("phone.jpg", 6), ("find.png", 6)] {
        let copy = stripped(name);
        let exif = exif::Reader::new().read_from_container(&mut Cursor::new(&copy)).expect("readable");
        let fields: Vec<_> = exif.fields().map(|f| (f.tag, f.value.get_uint(0))).collect();
        assert_eq!(fields, [(exif::Tag::Orientation, Some(expected))], "{name}");
    }
    let copy = stripped("find.tif");
    let exif = exif::Reader::new().read_from_container(&mut Cursor::new(&copy)).expect("readable");
    assert!(exif.fields().all(|f| f.ifd_num == exif::In::PRIMARY), "the second page is gone");
    assert_eq!(media::inspect(&copy).expect("good").orientation, 3);
}

#[test]
fn what_follows_the_end_of_a_jpeg_is_left_behind() {
    let copy = stripped("phone.jpg");
    let ends = copy.windows(2).filter(|pair| pair == &[0xFF, 0xD9]).count();
    assert_eq!(ends, 1, "the second picture a telephone appended is gone");
    assert!(copy.ends_with(&[0xFF, 0xD9]));
}

#[test]
fn the_credit_is_written_and_may_be_left_out() {
    for name in ["phone.jpg", "find.png", "find.tif"] {
        assert!(holds(&stripped(name), CREDIT.as_bytes()), "{name}");
        let without = media::strip(&picture(name), "  \n").expect("stripped").bytes;
        assert!(!holds(&without, b"Copyright") && without.len() < stripped(name).len(), "{name}");
        assert_eq!(pixels(&without), pixels(&picture(name)), "{name}");
    }
}

#[test]
fn colours_marked_as_adobe_rgb_keep_their_meaning() {
    let (original, copy) = (picture("marked-adobe-rgb.jpg"), stripped("marked-adobe-rgb.jpg"));
    assert_eq!(pixels(&copy), pixels(&original));
    assert!(media::inspect(&copy).expect("good").has_colour_profile);
    let variant = media::Variant::Large;
    super::assert_close(
        quarters(&print(&copy, variant)),
        quarters(&print(&original, variant)),
        "prints agree",
    );
}

#[test]
fn a_tiff_whose_strips_overlap_cannot_blow_up_the_copy() {
    let mut file = picture("lzw.tif");
    // lengths of the seven strips as the writer gave them, each made longer than it is
    let counts: Vec<u8> =
        [131u16, 131, 131, 138, 131, 131, 78].iter().flat_map(|n| n.to_le_bytes()).collect();
    let at = file.windows(counts.len()).position(|w| w == counts).expect("seven strips");
    file[at..at + counts.len()].copy_from_slice(&[0xFF, 0x01].repeat(7));
    assert!(matches!(media::strip(&file, ""), Err(media::MediaError::Damaged)));
}
