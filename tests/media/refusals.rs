//! What is refused, and with which advice.

use media::{Foreign, Kind, MediaError, inspect, sniff};

use super::{corners, encoded, holds, jpeg, picture};

fn foreign(file: &[u8]) -> Foreign {
    match sniff(file) {
        Err(MediaError::Unsupported(foreign)) => foreign,
        other => panic!("expected a refusal, found {other:?}"),
    }
}

/// A PNG of which nothing is there but the claim of its size (RFC 2083, 11.2.2) and an empty end. The checksums of the
/// header chunks were taken with zlib.
fn png_claiming(width: u32, height: u32, crc: u32) -> Vec<u8> {
    let mut file = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
    file.extend(width.to_be_bytes());
    file.extend(height.to_be_bytes());
    // 8 bits, RGB, deflate, adaptive filter, not interlaced
    file.extend([8, 2, 0, 0, 0]);
    file.extend(crc.to_be_bytes());
    file.extend(b"\0\0\0\0IDAT\x35\xaf\x06\x1e\0\0\0\0IEND\xae\x42\x60\x82");
    file
}

#[test]
fn an_empty_file_is_refused_as_such() {
    assert!(matches!(inspect(&[]), Err(MediaError::Empty)));
}

#[test]
fn heic_is_refused_with_advice_for_the_camera() {
    // file type box of ISO/IEC 14496-12 with the brands a telephone writes (ISO/IEC 23008-12)
    let file = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic";
    assert_eq!(foreign(file), Foreign::Heic);
    let sentence = MediaError::Unsupported(foreign(file)).to_string();
    assert!(sentence.contains("Set the camera to 'most compatible' or export as JPEG"), "{sentence}");
}

#[test]
fn a_drawing_that_could_carry_a_program_is_refused_under_any_name() {
    for file in [
        "<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        "\u{feff}<?xml version='1.0'?>\n<!-- drawn by hand -->\n<SVG/>",
        "\n  <!DOCTYPE svg PUBLIC '-//W3C//DTD SVG 1.1//EN' ''><svg/>",
    ] {
        assert_eq!(foreign(file.as_bytes()), Foreign::Svg, "{file}");
    }
}

#[test]
fn other_kinds_are_named_in_their_refusal() {
    for (file, expected) in [
        (&b"GIF89a\x01\0"[..], Foreign::Gif),
        (b"RIFF\x10\0\0\0WEBPVP8 ", Foreign::WebP),
        (b"%PDF-1.7\n", Foreign::Pdf),
        (b"II+\0\x08\0\0\0", Foreign::BigTiff),
        (b"II*\0\x10\0\0\0CR\x02\0", Foreign::CameraRaw),
        (b"\0\0\0\x14ftypqt  ", Foreign::Film),
        (b"\0\0\0\x1cftypavif", Foreign::Avif),
        (b"find,context\n1,2\n", Foreign::Unknown),
        (b"\xff", Foreign::Unknown),
    ] {
        assert_eq!(foreign(file), expected);
        assert!(expected.advice().ends_with('.'));
    }
}

#[test]
fn the_preview_in_a_camera_file_is_not_taken_for_the_photograph() {
    let refused = inspect(&picture("camera-raw.tif"));
    assert!(matches!(refused, Err(MediaError::Unsupported(Foreign::CameraRaw))), "{refused:?}");
}

#[test]
fn a_jpeg_is_known_as_one_whatever_it_is_called() {
    // neither a name nor a declared type can be given
    assert_eq!(inspect(&picture("progressive.jpg")).expect("good").kind, Kind::Jpeg);
    assert_eq!(inspect(&picture("find.png")).expect("good").kind, Kind::Png);
    assert_eq!(inspect(&picture("find.tif")).expect("good").kind, Kind::Tiff);
}

#[test]
fn a_few_bytes_claiming_a_giant_picture_are_refused_before_decoding() {
    let refused = inspect(&png_claiming(50_000, 50_000, 0xC4CD_AA9D));
    assert!(
        matches!(refused, Err(MediaError::TooManyPixels { width_px: 50_000, height_px: 50_000 })),
        "{refused:?}"
    );
    // within every limit, and 540 MB to decode
    let refused = inspect(&png_claiming(20_000, 9_000, 0x6A20_7E26));
    assert!(matches!(refused, Err(MediaError::Implausible { .. })), "{refused:?}");
}

#[test]
fn a_progressive_jpeg_is_measured_by_what_it_holds_while_decoding() {
    let mut file = picture("progressive.jpg");
    // start of frame 2 (ITU-T T.81, B.2.2): marker, length, precision, lines, samples per line
    let frame = file.windows(2).position(|w| w == [0xFF, 0xC2]).expect("progressive");
    file[frame + 5..frame + 9].copy_from_slice(&[14_000u16.to_be_bytes(), 14_000u16.to_be_bytes()].concat());
    assert!(matches!(inspect(&file), Err(MediaError::TooManyPixels { .. })));
}

#[test]
fn a_truncated_picture_is_refused_as_damaged() {
    let picture = image::DynamicImage::from(corners(600, 400));
    let written = jpeg(&picture.to_rgb8(), None);
    for keep in [written.len() / 2, written.len() - 2, 20, 4] {
        assert!(matches!(inspect(&written[..keep]), Err(MediaError::Damaged)), "JPEG of {keep} bytes");
    }
    for format in [image::ImageFormat::Png, image::ImageFormat::Tiff] {
        let written = encoded(&picture, format);
        let half = &written[..written.len() / 2];
        let refused = inspect(half).and_then(|found| media::develop(half, &found).map(|_| ()));
        assert!(matches!(refused, Err(MediaError::Damaged)), "{format:?}: {refused:?}");
    }
}

#[test]
fn noise_in_a_good_file_never_panics() {
    for name in ["phone.jpg", "find.png", "find.tif", "lzw.tif", "fax.tif"] {
        let good = picture(name);
        // bytes of headers, directories and tables turned over, one at a time
        for at in 0..good.len().min(600) {
            let mut file = good.clone();
            file[at] ^= 0xFF;
            let _ = media::strip(&file, "");
            if let Ok(found) = inspect(&file)
                && at % 10 == 0
            {
                let _ = media::develop(&file, &found);
            }
        }
    }
}

#[test]
fn no_refusal_shows_its_cause() {
    let cause = std::io::Error::other("/srv/files/originals: input/output error");
    let sentence = MediaError::from(cause).to_string();
    assert!(!holds(sentence.as_bytes(), b"/srv"), "{sentence}");
}
