//! Prints: upright, the right colours, the right size, and nothing told but the picture.

use image::{DynamicImage, ImageBuffer, ImageFormat, Luma, Rgb, Rgba};
use media::Variant;

use super::*;

/// EXIF 2.3 (CIPA DC-008-2012), table of tag 274: on which side of the upright picture the first stored row lies, and on
/// which the first stored column.
const ORIENTATIONS: [(u8, &str, &str); 8] = [
    (1, "top", "left"),
    (2, "top", "right"),
    (3, "bottom", "right"),
    (4, "bottom", "left"),
    (5, "left", "top"),
    (6, "right", "top"),
    (7, "right", "bottom"),
    (8, "left", "bottom"),
];

fn opposite(side: &str) -> &'static str {
    match side {
        "top" => "bottom",
        "bottom" => "top",
        "left" => "right",
        _ => "left",
    }
}

/// The stored corners as they lie once the first row and column are where the table says.
fn upright(first_row: &str, first_column: &str) -> [[u8; 3]; 4] {
    let mut expected = [[0; 3]; 4];
    for (n, colour) in CORNERS.into_iter().enumerate() {
        let row = if n < 2 { first_row } else { opposite(first_row) };
        let column = if n % 2 == 0 { first_column } else { opposite(first_column) };
        let on = |side| usize::from(row == side || column == side);
        expected[on("right") + 2 * on("bottom")] = colour;
    }
    expected
}

#[test]
fn all_eight_orientations_come_out_upright() {
    let stored = corners(120, 80);
    for (orientation, first_row, first_column) in ORIENTATIONS {
        let file = jpeg(&stored, Some(exif_orientation(orientation)));
        let found = media::inspect(&file).expect("good");
        assert_eq!(found.orientation, orientation);
        let print = print(&file, Variant::Screen);
        assert_eq!(print.dimensions(), if orientation < 5 { (120, 80) } else { (80, 120) });
        assert_eq!(print.dimensions(), found.upright_px());
        assert_close(
            quarters(&print),
            upright(first_row, first_column),
            &format!("orientation {orientation}"),
        );
        // the copy without metadata is turned the same way by whoever opens it
        let copy = media::strip(&file, "").expect("stripped").bytes;
        assert_eq!(media::inspect(&copy).expect("good").orientation, orientation);
    }
}

#[test]
fn prints_fit_their_side_and_are_never_enlarged() {
    let sizes = |width, height| {
        develop(&jpeg(&corners(width, height), None))
            .iter()
            .map(|p| (p.width_px, p.height_px))
            .collect::<Vec<_>>()
    };
    assert_eq!(sizes(3000, 2000), [(2400, 1600), (1600, 1067), (400, 267)]);
    assert_eq!(sizes(500, 1000), [(500, 1000), (500, 1000), (200, 400)]);
    assert_eq!(sizes(3000, 1), [(2400, 1), (1600, 1), (400, 1)]);
    assert_eq!(sizes(1, 1), [(1, 1), (1, 1), (1, 1)]);
}

#[test]
fn colours_of_an_embedded_profile_are_converted_to_srgb() {
    // Display P3 to sRGB by LittleCMS (Pillow 13 `ImageCms.profileToProfile`, relative colorimetric)
    let expected = [[215, 93, 31], [0, 163, 82], [92, 80, 176], [128, 128, 128]];
    assert_close(quarters(&print(&picture("find.png"), Variant::Large)), turned_right(expected), "PNG");
    assert_close(quarters(&print(&picture("phone.jpg"), Variant::Large)), turned_right(expected), "JPEG");
    let [a, b, c, d] = expected;
    // orientation 3: turned about
    assert_close(quarters(&print(&picture("find.tif"), Variant::Large)), [d, c, b, a], "TIFF");
}

/// Corners after turning by a quarter clockwise (orientation 6).
fn turned_right([a, b, c, d]: [[u8; 3]; 4]) -> [[u8; 3]; 4] {
    [c, a, d, b]
}

#[test]
fn a_grey_profile_is_followed() {
    // linear grey 55/255 has the sRGB value 128 (IEC 61966-2-1: 1.055·0.2157^(1/2.4) − 0.055 = 0.502)
    let expected = [[128; 3], [128; 3], [0; 3], [255; 3]];
    assert_close(quarters(&print(&picture("linear-grey.png"), Variant::Large)), expected, "linear grey");
}

#[test]
fn colours_that_a_camera_only_marked_as_adobe_rgb_are_converted() {
    let file = picture("marked-adobe-rgb.jpg");
    assert!(media::inspect(&file).expect("good").is_adobe_rgb);
    // Adobe RGB (1998) Color Image Encoding, 4.3.1.2 (gamma 563/256) and its matrix to XYZ; to sRGB by IEC 61966-2-1
    let expected = CORNERS.map(adobe_rgb_to_srgb);
    assert_close(quarters(&print(&file, Variant::Large)), expected, "Adobe RGB");
}

fn adobe_rgb_to_srgb(colour: [u8; 3]) -> [u8; 3] {
    let [r, g, b] = colour.map(|v| (f64::from(v) / 255.0).powf(563.0 / 256.0));
    let x = 0.57667 * r + 0.18556 * g + 0.18823 * b;
    let y = 0.29734 * r + 0.62736 * g + 0.07529 * b;
    let z = 0.02703 * r + 0.07069 * g + 0.99134 * b;
    let linear = [
        3.2406 * x - 1.5372 * y - 0.4986 * z,
        -0.9689 * x + 1.8758 * y + 0.0415 * z,
        0.0557 * x - 0.2040 * y + 1.0570 * z,
    ];
    linear.map(|v| {
        let v = v.clamp(0.0, 1.0);
        let encoded = if v <= 0.0031308 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 };
        (encoded * 255.0).round() as u8
    })
}

#[test]
fn a_cmyk_jpeg_is_neither_inverted_nor_refused() {
    let [none, cyan, red, black] = quarters(&print(&picture("cmyk.jpg"), Variant::Large));
    assert!(none.iter().all(|v| *v > 250), "no ink is white: {none:?}");
    assert!(cyan[0] < 30 && cyan[1] > 120 && cyan[2] > 120, "{cyan:?}");
    assert!(red[0] > 120 && red[1] < 60 && red[2] < 60, "magenta and yellow are red: {red:?}");
    assert!(black.iter().all(|v| *v < 40), "{black:?}");
}

#[test]
fn sixteen_bits_grey_and_line_art_come_out_right() {
    let grey = print(&picture("grey16.tif"), Variant::Large);
    for x in [0, 24, 48, 72, 95] {
        let expected = (x * 255 + 47) / 95;
        assert!(grey.get_pixel(x, 32).0[1].abs_diff(expected as u8) <= 3, "column {x}");
    }
    // a scanned drawing: fax compression, in which 0 stands for white
    assert_close(
        quarters(&print(&picture("fax.tif"), Variant::Large)),
        [[255; 3], [255; 3], [0; 3], [0; 3]],
        "fax",
    );
    let deep = ImageBuffer::from_fn(90, 60, |x, y| {
        Rgb(corners(90, 60).get_pixel(x, y).0.map(|v| u16::from(v) * 257))
    });
    for format in [ImageFormat::Tiff, ImageFormat::Png] {
        let file = encoded(&DynamicImage::ImageRgb16(deep.clone()), format);
        assert_close(quarters(&print(&file, Variant::Large)), CORNERS, "16-bit RGB");
    }
    let bright = DynamicImage::ImageLuma8(ImageBuffer::from_pixel(9, 9, Luma([200])));
    assert_close(
        quarters(&print(&encoded(&bright, ImageFormat::Png), Variant::Thumb)),
        [[200; 3]; 4],
        "grey",
    );
}

#[test]
fn what_is_transparent_becomes_white() {
    // also after shrinking: colours of transparent pixels must not bleed
    for side in [40, 3000] {
        let half =
            ImageBuffer::from_fn(side, side, |x, _| Rgba([0, 0, 0, if x < side / 2 { 128 } else { 0 }]));
        let file = encoded(&DynamicImage::ImageRgba8(half), ImageFormat::Png);
        // black at 128/255 over white: 255 − 128 = 127
        assert_close(
            quarters(&print(&file, Variant::Large)),
            [[127; 3], [255; 3], [127; 3], [255; 3]],
            "alpha",
        );
    }
}

#[test]
fn samples_of_every_kind_are_shrunk() {
    let half = ImageBuffer::from_fn(500, 500, |x, _| Rgba([0, 0, 0, if x < 250 { 128 } else { 0 }]));
    let half = DynamicImage::ImageRgba8(half);
    let faint = [half.to_luma_alpha8().into(), half.to_luma_alpha16().into(), half.to_rgba16().into()];
    for picture in faint {
        let file = encoded(&picture, ImageFormat::Png);
        let found = quarters(&print(&file, Variant::Thumb));
        assert_close(found, [[127; 3], [255; 3], [127; 3], [255; 3]], &format!("{:?}", picture.color()));
    }
    let bright = DynamicImage::ImageRgb8(ImageBuffer::from_pixel(500, 500, Rgb([200; 3])));
    let full = [
        bright.to_luma8().into(),
        bright.to_luma16().into(),
        bright.to_rgb16().into(),
        bright.to_rgb32f().into(),
        bright.to_rgba32f().into(),
        bright,
    ];
    for picture in full {
        let found = quarters(&print(&encoded(&picture, ImageFormat::Tiff), Variant::Thumb));
        assert_close(found, [[200; 3]; 4], &format!("{:?}", picture.color()));
    }
}

#[test]
fn prints_carry_no_metadata() {
    for name in ["phone.jpg", "find.png", "find.tif"] {
        for print in develop(&picture(name)) {
            for word in
                [&b"Exif"[..], b"GPS", b"ICC_PROFILE", b"Photoshop", b"http", b"Invented", b"Vessenholt"]
            {
                assert!(!holds(&print.jpeg, word), "{name}: {}", String::from_utf8_lossy(word));
            }
            let exif = exif::Reader::new().read_from_container(&mut std::io::Cursor::new(&print.jpeg));
            assert!(exif.is_err(), "{name}");
        }
    }
}

#[test]
fn the_header_tells_time_camera_and_whether_there_is_a_position() {
    let found = media::inspect(&picture("phone.jpg")).expect("good");
    assert_eq!(found.taken_at.map(|t| t.to_string()).as_deref(), Some("2026-06-14 10:32:05"));
    assert_eq!(found.camera_make.as_deref(), Some("Invented Optics"));
    assert_eq!(found.camera_model.as_deref(), Some("Field 3"));
    assert_eq!((found.width_px, found.height_px, found.upright_px()), (96, 64, (64, 96)));
    assert!(found.has_position && found.has_colour_profile && !found.is_adobe_rgb);
    assert!(media::inspect(&picture("find.tif")).expect("good").has_position);
    let plain = media::inspect(&picture("progressive.jpg")).expect("good");
    assert!(!plain.has_position && plain.taken_at.is_none() && plain.camera_make.is_none());
}
