//! A mixture by volume percentage. Its words are made here, so that a test and a treatment with the same mixture are known
//! to be the same however either was written.
use super::table::{Solvent, find, near};
use crate::words::fold;

/// How far the percentages may be from 100, so that thirds can be written with one decimal.
const TOLERANCE: f64 = 0.1;
/// Written for no liquid at all.
pub const DRY: &str = "dry swab";

/// One part of a mixture.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    pub solvent: &'static Solvent,
    /// Of the volume before mixing.
    pub percent: f64,
}

/// What is put on the surface. Without parts: a dry swab.
#[derive(Debug, Clone, PartialEq)]
pub struct Mixture {
    pub parts: Vec<Part>,
    /// What is dissolved in it, with its concentration: “1 % w/v triammonium citrate”.
    pub added: String,
}

/// Why words or parts are no mixture.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MixtureFault {
    #[error("Name the reagent or mixture: “water” and “dry swab” are answers too.")]
    Empty,
    #[error("{}", unknown(.words, .near))]
    Unknown { words: String, near: Vec<&'static str> },
    #[error("{name} stands there twice. Write it once, with its whole share.")]
    Twice { name: String },
    #[error("Say how many percent of the volume {name} is.")]
    NoShare { name: String },
    #[error("{name} is {percent} %: a part is more than 0 % and at most 100 %.")]
    Share { name: String, percent: f64 },
    #[error("The parts come to {sum} %, not 100 %. Correct the percentages.")]
    Sum { sum: f64 },
    #[error("A dry swab takes no liquid: leave the other parts out.")]
    DryAndWet,
}

fn unknown(words: &str, near: &[&str]) -> String {
    let hint = if near.is_empty() {
        "Choose one of the list.".to_owned()
    } else {
        format!("Perhaps {}?", near.join(" or "))
    };
    format!("“{words}” is not in the table of solvents. {hint}")
}

impl Mixture {
    /// Names with their percentages; one alone needs none, of several at most one may go without and takes the rest.
    pub fn of(named: &[(String, Option<f64>)], added: &str) -> Result<Self, MixtureFault> {
        let named: Vec<_> = named.iter().filter(|(name, _)| !name.trim().is_empty()).collect();
        if named.is_empty() {
            return Err(MixtureFault::Empty);
        }
        let added = added.trim().to_owned();
        if named.iter().any(|(name, _)| fold(name) == DRY) {
            let dry = Self { parts: Vec::new(), added };
            return if named.len() == 1 { Ok(dry) } else { Err(MixtureFault::DryAndWet) };
        }
        let given: f64 = named.iter().filter_map(|(_, percent)| *percent).sum();
        let silent = named.iter().filter(|(_, percent)| percent.is_none()).count();
        let mut parts: Vec<Part> = Vec::new();
        for (name, percent) in &named {
            let solvent = find(name)
                .ok_or_else(|| MixtureFault::Unknown { words: name.trim().to_owned(), near: near(name) })?;
            let name = solvent.name.clone();
            if parts.iter().any(|part| part.solvent == solvent) {
                return Err(MixtureFault::Twice { name });
            }
            let percent = match percent {
                Some(percent) => *percent,
                None if silent == 1 => 100.0 - given,
                None => return Err(MixtureFault::NoShare { name }),
            };
            if !(percent > 0.0 && percent <= 100.0) {
                return Err(MixtureFault::Share { name, percent });
            }
            parts.push(Part { solvent, percent });
        }
        let sum: f64 = parts.iter().map(|part| part.percent).sum();
        if (sum - 100.0).abs() > TOLERANCE + 1e-9 {
            return Err(MixtureFault::Sum { sum: (sum * 10.0).round() / 10.0 });
        }
        Ok(Self { parts, added })
    }

    /// Reads words: “water”, “ethanol 50 % in water”, “50 % ethanol + 50 % water with 1 % w/v citrate”.
    pub fn read(words: &str) -> Result<Self, MixtureFault> {
        let (liquid, added) = words.split_once(" with ").unwrap_or((words, ""));
        if find(liquid).is_some() {
            return Self::of(&[(liquid.to_owned(), None)], added);
        }
        let liquid =
            [" in ", " and ", ";"].iter().fold(liquid.to_owned(), |text, word| text.replace(word, "+"));
        let named: Vec<_> = liquid.split('+').map(share_and_name).collect();
        Self::of(&named, added)
    }

    /// In words, the largest part first.
    ///
    /// ```
    /// use domain::solvents::Mixture;
    /// assert_eq!(Mixture::read("ethanol 30 % in water").unwrap().words(), "water 70 % + ethanol 30 %");
    /// assert_eq!(Mixture::read("Deionised water").unwrap().words(), "water");
    /// ```
    pub fn words(&self) -> String {
        let mut parts: Vec<&Part> = self.parts.iter().collect();
        parts.sort_by(|a, b| {
            b.percent.total_cmp(&a.percent).then_with(|| a.solvent.name.cmp(&b.solvent.name))
        });
        let liquid = match parts.as_slice() {
            [] => DRY.to_owned(),
            [one] => one.solvent.name.clone(),
            several => several
                .iter()
                .map(|p| format!("{} {} %", p.solvent.name, p.percent))
                .collect::<Vec<_>>()
                .join(" + "),
        };
        if self.added.is_empty() { liquid } else { format!("{liquid} with {}", self.added) }
    }

    /// The lowest flash point among its parts, °C: that of the mixture is taken to be no better.
    pub fn lowest_flash_c(&self) -> Option<f64> {
        self.parts.iter().filter_map(|part| part.solvent.flash_c).min_by(f64::total_cmp)
    }
}

/// “ethanol 50 %”, “50 % ethanol” or a name alone.
fn share_and_name(piece: &str) -> (String, Option<f64>) {
    let piece = piece.trim();
    let number = |text: &str| text.trim().trim_end_matches('%').trim().replace(',', ".").parse::<f64>().ok();
    if find(piece).is_some() {
        return (piece.to_owned(), None);
    }
    if let Some(before) = piece.strip_suffix('%')
        && let Some((name, share)) = before.trim_end().rsplit_once(' ')
        && let Some(share) = number(share)
    {
        return (name.trim().to_owned(), Some(share));
    }
    if let Some((share, name)) = piece.split_once('%')
        && let Some(share) = number(share)
    {
        return (name.trim().to_owned(), Some(share));
    }
    (piece.to_owned(), None)
}

/// By what two mixtures are known to be the same; words that are no mixture of the table are only folded.
///
/// ```
/// use domain::solvents::key;
/// assert_eq!(key("ethanol 50 % in water"), key("50 % Water + 50 % ethanol"));
/// assert_ne!(key("ethanol 50 % in water"), key("ethanol"));
/// assert_eq!(key("White spirit"), key("white  spirit"));
/// ```
pub fn key(words: &str) -> String {
    let Ok(mixture) = Mixture::read(words) else { return fold(words) };
    let mut parts: Vec<String> =
        mixture.parts.iter().map(|p| format!("{} {:.0}", p.solvent.name, p.percent * 10.0)).collect();
    parts.sort();
    let liquid = if parts.is_empty() { DRY.to_owned() } else { parts.join(" + ") };
    if mixture.added.is_empty() { liquid } else { format!("{liquid} with {}", fold(&mixture.added)) }
}
