//! Prints of a photograph for the screen: upright, in sRGB, on white, without metadata.

use std::sync::Arc;

use fast_image_resize::{
    FilterType, IntoImageView, IntoImageViewMut, PixelTrait, ResizeAlg, ResizeError, ResizeOptions, Resizer,
    pixels,
};
use image::{ColorType, DynamicImage, ImageBuffer, ImageDecoder, Rgb, RgbImage};
use jpeg_encoder::{Encoder, SamplingFactor};
use moxcms::{ColorProfile, DataColorSpace, Layout, Transform16BitExecutor, TransformOptions};
use serde::{Deserialize, Serialize};

use crate::{Foreign, Inspection, MediaError, inspect};

type Rgb16 = ImageBuffer<Rgb<u16>, Vec<u16>>;

/// JPEG quality of prints: about 350 KB for 1 600 pixels of a photograph.
const QUALITY: u8 = 82;

/// The prints made of each photograph.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Variant {
    /// for lists, at most 400 pixels a side
    Thumb,
    /// for pages, at most 1 600 pixels a side
    Screen,
    /// for a closer look and for print, at most 2 400 pixels a side
    Large,
}

impl Variant {
    /// From the largest down, as each is made from the one before.
    pub const ALL: [Self; 3] = [Self::Large, Self::Screen, Self::Thumb];

    /// The word in paths and links.
    pub fn name(self) -> &'static str {
        match self {
            Self::Thumb => "thumb",
            Self::Screen => "screen",
            Self::Large => "large",
        }
    }

    /// The variant of that name.
    pub fn of_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|variant| variant.name() == name)
    }

    /// Longest side in pixels.
    pub fn fit_px(self) -> u32 {
        match self {
            Self::Thumb => 400,
            Self::Screen => 1600,
            Self::Large => 2400,
        }
    }
}

/// One print, a JPEG file.
#[derive(Clone, Debug)]
pub struct Print {
    pub variant: Variant,
    pub width_px: u32,
    pub height_px: u32,
    pub jpeg: Vec<u8>,
}

/// Decodes the file once and makes all prints of [`Variant::ALL`]; none is larger than the original.
///
/// CMYK pictures are turned to RGB by the plain formula, without their profile: good enough to recognise a find.
/// Memory: the decoded picture, held once, and beside it once in 16-bit colour where its samples are rare; call it for one file
/// at a time.
///
/// # Errors
/// [`MediaError::Damaged`] or [`MediaError::Unsupported`] if the pixels cannot be decoded.
pub fn develop(file: &[u8], inspection: &Inspection) -> Result<Vec<Print>, MediaError> {
    let mut decoder = inspect::decoder(file, inspection.kind)?;
    let orientation = decoder.orientation().unwrap_or(image::metadata::Orientation::NoTransforms);
    let profile = colour_profile(decoder.icc_profile().ok().flatten(), inspection);
    let original = DynamicImage::from_decoder(decoder).map_err(|cause| inspect::refuse(&cause))?;
    let grey = !original.color().has_color();
    // shrunk first: colour and orientation then touch a few megapixels at most
    let small = fit(original, Variant::Large.fit_px())?;
    let mut picture = match profile {
        None if !small.color().has_alpha() => DynamicImage::from(small.into_rgb8()),
        profile => {
            let mut flat = on_white(&small);
            drop(small);
            if let Some(profile) = profile {
                to_srgb(&mut flat, &profile, grey);
            }
            DynamicImage::from(DynamicImage::from(flat).into_rgb8())
        }
    };
    picture.apply_orientation(orientation);
    let mut prints = Vec::new();
    for variant in Variant::ALL {
        picture = fit(picture, variant.fit_px())?;
        let rgb = picture.into_rgb8();
        prints.push(print(&rgb, variant)?);
        picture = DynamicImage::from(rgb);
    }
    Ok(prints)
}

/// The embedded profile, or Adobe RGB where a camera only marked it so. A profile that cannot be read is passed over.
fn colour_profile(icc: Option<Vec<u8>>, inspection: &Inspection) -> Option<ColorProfile> {
    match icc {
        Some(bytes) => ColorProfile::new_from_slice(&bytes)
            .inspect_err(|cause| tracing::debug!(%cause, "an embedded colour profile could not be read"))
            .ok(),
        None => inspection.is_adobe_rgb.then(ColorProfile::new_adobe_rgb),
    }
}

/// Shrinks to at most `longest_px` a side, keeping proportions; never enlarges.
fn fit(picture: DynamicImage, longest_px: u32) -> Result<DynamicImage, MediaError> {
    let longest = picture.width().max(picture.height());
    if longest <= longest_px {
        return Ok(picture);
    }
    let scaled = |side: u32| {
        let rounded = (u64::from(side) * u64::from(longest_px) + u64::from(longest) / 2) / u64::from(longest);
        u32::try_from(rounded).unwrap_or(longest_px).max(1)
    };
    let picture = as_shrunk(picture);
    let mut small = DynamicImage::new(scaled(picture.width()), scaled(picture.height()), picture.color());
    let shrunk = match picture.color() {
        ColorType::L8 => shrink::<pixels::U8>(&picture, &mut small),
        ColorType::L16 => shrink::<pixels::U16>(&picture, &mut small),
        ColorType::Rgb8 => shrink::<pixels::U8x3>(&picture, &mut small),
        ColorType::Rgba8 => shrink::<pixels::U8x4>(&picture, &mut small),
        _ => shrink::<pixels::U16x3>(&picture, &mut small),
    };
    shrunk.map_err(|cause| {
        tracing::error!(%cause, color = ?picture.color(), "a picture could not be shrunk");
        MediaError::Unsupported(Foreign::Variety)
    })?;
    Ok(small)
}

/// In samples that [`fit`] has an arm for. The library is translated anew for every kind of samples: those hardly ever
/// seen, 16 bits that shine through, grey that does, and floating point, become 16-bit colour on white first.
fn as_shrunk(picture: DynamicImage) -> DynamicImage {
    match picture.color() {
        ColorType::L8 | ColorType::L16 | ColorType::Rgb8 | ColorType::Rgba8 | ColorType::Rgb16 => picture,
        _ => on_white(&picture).into(),
    }
}

/// Lanczos of three lobes. Pictures of another kind than `P` are refused.
fn shrink<P: PixelTrait>(picture: &DynamicImage, small: &mut DynamicImage) -> Result<(), ResizeError> {
    let (Some(from), Some(mut to)) = (picture.image_view::<P>(), small.image_view_mut::<P>()) else {
        return Err(ResizeError::PixelTypesAreDifferent);
    };
    let lanczos = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::Lanczos3));
    Resizer::new().resize_typed(&from, &mut to, &lanczos)
}

/// RGB at 16 bits, so that nothing is lost before the colours are converted; what shines through becomes white.
fn on_white(picture: &DynamicImage) -> Rgb16 {
    if !picture.color().has_alpha() {
        return picture.to_rgb16();
    }
    let transparent = picture.to_rgba16();
    Rgb16::from_fn(picture.width(), picture.height(), |x, y| {
        let [r, g, b, alpha] = transparent.get_pixel(x, y).0;
        Rgb([r, g, b].map(|sample| over_white(sample, alpha)))
    })
}

fn over_white(sample: u16, alpha: u16) -> u16 {
    const FULL: u64 = u16::MAX as u64;
    let sum = u64::from(sample) * u64::from(alpha) + FULL * (FULL - u64::from(alpha));
    // at most FULL, so nothing is cut off
    ((sum + FULL / 2) / FULL) as u16
}

/// Converts in place. Profiles of other colour models (CMYK, Lab) do not describe these samples and are passed over,
/// as is one that cannot be followed: a picture with slightly wrong colours is better than none.
fn to_srgb(picture: &mut Rgb16, profile: &ColorProfile, grey: bool) {
    let layout = match profile.color_space {
        DataColorSpace::Rgb => Layout::Rgb,
        DataColorSpace::Gray if grey => Layout::Gray,
        _ => return,
    };
    let srgb = ColorProfile::new_srgb();
    let samples: Vec<u16> = match layout {
        Layout::Gray => picture.pixels().map(|pixel| pixel.0[0]).collect(),
        _ => picture.as_raw().clone(),
    };
    let converted = profile
        .create_transform_16bit(layout, &srgb, Layout::Rgb, TransformOptions::default())
        .and_then(|transform: Arc<Transform16BitExecutor>| transform.transform(&samples, picture));
    if let Err(cause) = converted {
        tracing::debug!(%cause, "an embedded colour profile could not be followed");
    }
}

fn print(picture: &RgbImage, variant: Variant) -> Result<Print, MediaError> {
    let (width_px, height_px) = picture.dimensions();
    // at most 2 400 a side, which fits
    let (width, height) = (width_px as u16, height_px as u16);
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, QUALITY);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    encoder.encode(picture, width, height, jpeg_encoder::ColorType::Rgb).map_err(|cause| {
        tracing::error!(%cause, "a print could not be written");
        MediaError::Damaged
    })?;
    Ok(Print { variant, width_px, height_px, jpeg })
}
