//! Examinations: a method, the question asked, the answer. A negative answer is a result.
use crate::ids::{FindId, ImageId};

crate::text_enum! {
    /// How a find is looked at.
    Method, "method" {
        Visible = "visible", "visible light";
        Raking = "raking", "raking light";
        Uv = "uv", "ultraviolet";
        Microscopy = "microscopy", "microscopy";
        Xray = "xray", "X-ray";
    }
}

crate::text_enum! {
    /// What an examination answered.
    Verdict, "result" {
        Positive = "positive", "positive: it is so";
        Negative = "negative", "negative: looked for and not so";
        Inconclusive = "inconclusive", "inconclusive: cannot be told";
        NotPossible = "not_possible", "not possible: it could not be carried out";
    }
}

/// A rectangle on a picture, in percent of its sides, from the upper left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    pub find: FindId,
    pub left_pct: f64,
    pub top_pct: f64,
    pub width_pct: f64,
    pub height_pct: f64,
    pub seen: String,
}

/// What an examination holds besides the common words of a record. Measures a method does not use are `None` and empty.
#[derive(Debug, Clone, PartialEq)]
pub struct Examination {
    pub method: Method,
    pub question: String,
    pub area: String,
    pub verdict: Verdict,
    pub seen: String,
    /// Direction of raking light in degrees, clockwise from the top of the find.
    pub azimuth_deg: Option<f64>,
    /// Height of the light above the surface in degrees.
    pub elevation_deg: Option<f64>,
    pub wavelength_nm: Option<f64>,
    pub filter: String,
    /// Of the glow under ultraviolet.
    pub colour: String,
    pub intensity: String,
    pub magnification: Option<f64>,
    /// Length of the bar in the picture in µm.
    pub scale_um: Option<f64>,
    pub plate_number: String,
    pub tube_kv: Option<f64>,
    pub tube_ma: Option<f64>,
    pub exposure_s: Option<f64>,
    pub exposure_mas: Option<f64>,
    pub distance_mm: Option<f64>,
    pub view_angle: String,
    pub plate_image: Option<ImageId>,
    /// The photograph of the finds as they lay, so that each can be told apart.
    pub setup_image: Option<ImageId>,
    pub regions: Vec<Region>,
}

/// Why a region will not do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum RegionFault {
    #[error("give all four: left, top, width, height, or none")]
    Incomplete,
    #[error("a region needs a width and a height")]
    Empty,
    #[error("it reaches beyond the picture: left and width, top and height make 100 % at most")]
    Outside,
}

impl Method {
    /// The caution that belongs to it; local rules and licensed practice come first. Empty where light does no harm.
    pub const fn caution(self) -> &'static str {
        match self {
            Method::Uv => {
                "Ultraviolet harms eyes and skin: cover both, keep the time short, hang out the sign, note the wavelength. Light-sensitive finds as briefly as can be. Local rules come first."
            }
            Method::Xray => {
                "X-rays only by a trained and authorised operator, in a shielded unit, under the local rules for radiation. An X-ray does not identify the metal."
            }
            Method::Visible | Method::Raking | Method::Microscopy => "",
        }
    }
}

impl Examination {
    /// An examination by a method of which nothing more is known yet.
    pub fn by(method: Method, verdict: Verdict) -> Self {
        Self {
            method,
            question: String::new(),
            area: String::new(),
            verdict,
            seen: String::new(),
            azimuth_deg: None,
            elevation_deg: None,
            wavelength_nm: None,
            filter: String::new(),
            colour: String::new(),
            intensity: String::new(),
            magnification: None,
            scale_um: None,
            plate_number: String::new(),
            tube_kv: None,
            tube_ma: None,
            exposure_s: None,
            exposure_mas: None,
            distance_mm: None,
            view_angle: String::new(),
            plate_image: None,
            setup_image: None,
            regions: Vec::new(),
        }
    }

    /// What it still lacks to be closed, each field with the sentence that asks for it.
    pub fn lacks(&self) -> Vec<(&'static str, &'static str)> {
        let taken = self.verdict != Verdict::NotPossible;
        let xray = self.method == Method::Xray && taken;
        let missing = [
            (self.question.is_empty(), "question", "Write the question that was asked."),
            (self.area.is_empty(), "area", "Say which part was looked at."),
            (self.seen.is_empty(), "seen", "Say what was seen, or why it was not possible."),
            (xray && self.plate_number.is_empty(), "plate_number", "Write the number of the plate."),
            (
                self.method == Method::Uv && taken && self.wavelength_nm.is_none(),
                "wavelength_nm",
                "Note the wavelength of the lamp.",
            ),
        ];
        missing.into_iter().filter(|(lacks, ..)| *lacks).map(|(_, field, ask)| (field, ask)).collect()
    }

    /// Whether current, time and their product are at odds by more than a tenth; the product is defined by mAs = mA × s.
    pub fn exposure_is_at_odds(&self) -> bool {
        match (self.tube_ma, self.exposure_s, self.exposure_mas) {
            (Some(ma), Some(s), Some(mas)) => (ma * s - mas).abs() > 0.1 * mas,
            _ => false,
        }
    }
}

/// A region within the picture, or what is wrong with it; nothing where no side was given.
///
/// ```
/// use domain::examination::{region, RegionFault};
/// assert_eq!(region([Some(10.0), Some(0.0), Some(90.0), Some(50.0)]), Ok(Some([10.0, 0.0, 90.0, 50.0])));
/// assert_eq!(region([Some(60.0), Some(0.0), Some(50.0), Some(50.0)]), Err(RegionFault::Outside));
/// assert_eq!(region([None, None, None, None]), Ok(None));
/// ```
pub fn region(sides: [Option<f64>; 4]) -> Result<Option<[f64; 4]>, RegionFault> {
    match sides {
        [None, None, None, None] => Ok(None),
        [Some(left), Some(top), Some(width), Some(height)] => {
            if width <= 0.0 || height <= 0.0 {
                Err(RegionFault::Empty)
            } else if left < 0.0 || top < 0.0 || left + width > 100.0 || top + height > 100.0 {
                Err(RegionFault::Outside)
            } else {
                Ok(Some([left, top, width, height]))
            }
        }
        _ => Err(RegionFault::Incomplete),
    }
}
