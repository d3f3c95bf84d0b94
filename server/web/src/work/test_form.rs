//! The part of the form that a spot test alone has: the mixture by parts, what carried it, the site on a photograph.
use crate::form::Errors;
use domain::ids::ImageId;
use domain::solvents::{Mixture, MixtureFault};
use domain::spot_tests::{Carrier, Spot, Trial};
use store::work::spot_tests::SpotTest;

/// Rows for parts on the form.
const ROWS: usize = 4;
/// A percentage of the picture’s side or of the volume.
const PERCENT: std::ops::RangeInclusive<f64> = 0.0..=100.0;

/// As typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct TestForm {
    pub part: Vec<String>,
    pub share: Vec<String>,
    /// What is dissolved in the mixture.
    pub added: String,
    pub carrier: String,
    pub swabs: String,
    pub working_time_s: String,
    pub cleared_with: String,
    pub residue: String,
    pub ph: String,
    pub site_image: String,
    pub x_pct: String,
    pub y_pct: String,
}

impl TestForm {
    /// The words of a test that is to be corrected or repeated.
    pub(super) fn of(test: &SpotTest) -> Self {
        let number = |value: Option<f64>| value.map(|v| v.to_string()).unwrap_or_default();
        let count = |value: Option<i64>| value.map(|v| v.to_string()).unwrap_or_default();
        // A test from before parts were kept, or a dry swab, is read from its words.
        let mixture = Mixture::read(&test.row.mixture).ok();
        let dry = mixture.as_ref().is_some_and(|m| m.parts.is_empty());
        let parts: Vec<(String, String)> = match &mixture {
            _ if dry => vec![(domain::solvents::mixture::DRY.to_owned(), String::new())],
            Some(m) => m.parts.iter().map(|p| (p.solvent.name.clone(), p.percent.to_string())).collect(),
            None => Vec::new(),
        };
        let (part, share) = parts.into_iter().unzip();
        let spot = test.spot();
        Self {
            part,
            share,
            added: mixture.map(|m| m.added).unwrap_or_default(),
            carrier: test.row.carrier.clone().unwrap_or_default(),
            swabs: count(test.row.swabs),
            working_time_s: count(test.row.working_time_s),
            cleared_with: test.row.cleared_with.clone(),
            residue: test.row.residue.clone(),
            ph: number(test.row.ph),
            site_image: spot.map(|(image, ..)| image.to_string()).unwrap_or_default(),
            x_pct: number(spot.map(|(_, x, _)| x)),
            y_pct: number(spot.map(|(_, _, y)| y)),
        }
    }

    /// The rows of the form, each with a part and its share.
    pub(super) fn rows(&self) -> Vec<(String, String)> {
        let at = |list: &[String], row: usize| list.get(row).cloned().unwrap_or_default();
        (0..ROWS.max(self.part.len())).map(|row| (at(&self.part, row), at(&self.share, row))).collect()
    }

    /// The mixture of the rows, or where they are empty of the words.
    pub(super) fn mixture(&self, words: &str, errors: &mut Errors) -> Option<Mixture> {
        let mut named = Vec::new();
        for (part, share) in self.rows() {
            if part.trim().is_empty() && !share.trim().is_empty() {
                errors.add(
                    "mixture",
                    "One percentage stands without its part. Choose the part, or clear the percentage.",
                );
            }
            named.push((part, errors.measure("mixture", &share, -1e6..=1e6)));
        }
        if errors.get("mixture").is_some() {
            return None;
        }
        let read = if named.iter().all(|(part, _)| part.trim().is_empty()) {
            if words.trim().is_empty() { Err(MixtureFault::Empty) } else { Mixture::read(words.trim()) }
        } else {
            Mixture::of(&named, "")
        };
        let added = errors.line("added", &self.added);
        match read {
            Ok(mixture) if added.is_empty() => Some(mixture),
            Ok(mixture) => Some(Mixture { added, ..mixture }),
            Err(fault) => {
                errors.add("mixture", fault.to_string());
                None
            }
        }
    }

    /// The trial; `images` are the photographs it may be marked on.
    pub(super) fn trial(&self, mixture: &Mixture, images: &[ImageId], errors: &mut Errors) -> Trial {
        Trial {
            parts: mixture.parts.iter().map(|p| (p.solvent.name.clone(), p.percent)).collect(),
            carrier: if self.carrier.is_empty() {
                None
            } else {
                errors.choice::<Carrier>("carrier", &self.carrier)
            },
            swabs: errors.whole("swabs", &self.swabs, 1),
            working_time_s: errors.whole("working_time_s", &self.working_time_s, 1),
            cleared_with: errors.line("cleared_with", &self.cleared_with),
            residue: errors.text("residue", &self.residue),
            ph: errors.measure("ph", &self.ph, 0.0..=14.0),
            spot: self.spot(images, errors),
        }
    }

    fn spot(&self, images: &[ImageId], errors: &mut Errors) -> Option<Spot> {
        let x_pct = errors.measure("x_pct", &self.x_pct, PERCENT);
        let y_pct = errors.measure("y_pct", &self.y_pct, PERCENT);
        let image = self.site_image.parse::<ImageId>().ok().filter(|image| images.contains(image));
        match (image, x_pct, y_pct) {
            (Some(image), Some(x_pct), Some(y_pct)) => return Some(Spot { image, x_pct, y_pct }),
            (None, None, None) => {}
            (None, ..) if errors.get("x_pct").is_none() && errors.get("y_pct").is_none() => {
                errors.add(
                    "site_image",
                    "Choose the photograph that the site is marked on, or clear its two numbers.",
                );
            }
            (Some(_), x, y) => {
                if x.is_none() {
                    errors.add("x_pct", "Say how far from the left the site is, in percent of the picture.");
                }
                if y.is_none() {
                    errors.add("y_pct", "Say how far from the top the site is, in percent of the picture.");
                }
            }
            _ => {}
        }
        None
    }
}
