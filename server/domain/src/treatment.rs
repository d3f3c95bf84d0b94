//! Treatment steps: what was aimed at, with what, where, how long, what came off, and what a record lacks to be closed.
use crate::stages::Stage;

crate::text_enum! {
    /// What a percentage is of.
    Basis, "basis" {
        WeightPerVolume = "w/v", "% w/v";
        Volume = "v/v", "% v/v";
        Weight = "w/w", "% w/w";
    }
}

/// One material of a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    pub name: String,
    /// Supplier and batch.
    pub batch: String,
    pub concentration: Option<(f64, Basis)>,
}

/// What a record of work holds besides method, materials in words and outcome.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Treatment {
    pub aim: String,
    pub area: String,
    pub area_cm2: Option<f64>,
    /// Minutes since midnight.
    pub begun_min: Option<i64>,
    pub ended_min: Option<i64>,
    /// How many worked on it together.
    pub people: i64,
    pub mass_before_g: Option<f64>,
    pub mass_after_g: Option<f64>,
    /// What came off.
    pub removed: String,
    /// Where what came off is kept, or that it is not.
    pub kept: String,
    pub materials: Vec<Material>,
}

impl Treatment {
    /// The working time of everybody together, in minutes, where both times are known.
    pub fn minutes(&self) -> Option<i64> {
        Some((self.ended_min? - self.begun_min?) * self.people.max(1))
    }

    /// Whether there is nothing in it.
    pub fn is_empty(&self) -> bool {
        *self == Self { people: self.people, ..Self::default() }
    }
}

/// How many people a line names: “O. Marchbank, T. Reedling and B. Lisle-Okoro” is three.
///
/// ```
/// assert_eq!(domain::treatment::count_people("O. Marchbank, T. Reedling and B. Lisle-Okoro"), 3);
/// assert_eq!(domain::treatment::count_people(""), 1);
/// ```
pub fn count_people(done_by: &str) -> i64 {
    let names = done_by.replace(" and ", ",").replace(" & ", ",").replace(';', ",");
    let count = names.split(',').filter(|name| !name.trim().is_empty()).count();
    i64::try_from(count).unwrap_or(i64::MAX).max(1)
}

/// Times a wet find may weigh of what it weighed before; dry cleaning adds nothing (common practice, no source).
const WET_GAIN: f64 = 2.0;

/// Why two masses cannot both be right.
pub fn mass_fault(stage: Stage, before_g: f64, after_g: f64) -> Option<&'static str> {
    match stage {
        Stage::DryClean if after_g > before_g => {
            Some("Dry cleaning adds nothing: the find cannot be heavier afterwards. Check both masses.")
        }
        _ if after_g > WET_GAIN * before_g => {
            Some("The find would weigh more than twice what it did before. Check both masses.")
        }
        _ => None,
    }
}

/// Something a record must hold to be closed. The code is the field of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    Aim,
    Method,
    Materials,
    Area,
    Times,
    Outcome,
    Removed,
    EndRule,
    CheckedBy,
    Container,
    Layers,
    Evidence,
    Consulted,
    Photograph,
}

impl Need {
    /// The field of the form.
    pub const fn field(self) -> &'static str {
        match self {
            Need::Aim => "aim",
            Need::Method => "method",
            Need::Materials => "materials",
            Need::Area => "area",
            Need::Times => "ended",
            Need::Outcome => "outcome",
            Need::Removed => "removed",
            Need::EndRule => "end_rule",
            Need::CheckedBy => "checked_by",
            Need::Container => "container",
            Need::Layers => "layers_to_keep",
            Need::Evidence => "evidence",
            Need::Consulted => "consulted",
            Need::Photograph => "image",
        }
    }

    /// What is lacking, in a word or two.
    pub const fn label(self) -> &'static str {
        match self {
            Need::Aim => "aim",
            Need::Method => "method",
            Need::Materials => "materials",
            Need::Area => "area",
            Need::Times => "times",
            Need::Outcome => "outcome",
            Need::Removed => "what was removed",
            Need::EndRule => "how it was found dry",
            Need::CheckedBy => "who checked it",
            Need::Container => "container",
            Need::Layers => "layers to keep",
            Need::Evidence => "evidence",
            Need::Consulted => "who was consulted",
            Need::Photograph => "a photograph",
        }
    }

    /// What to do about it.
    pub const fn sentence(self) -> &'static str {
        match self {
            Need::Aim => "Say what was aimed at, or leave the record open.",
            Need::Method => "Say how it was done, or leave the record open.",
            Need::Materials => "Say with what it was done, or leave the record open.",
            Need::Area => "Say which part was treated, or leave the record open.",
            Need::Times => "Say when it began and ended, or leave the record open.",
            Need::Outcome => "Say what came of it, or leave the record open.",
            Need::Removed => "Say what came off (“nothing” is an answer too), or leave the record open.",
            Need::EndRule => "Say how you know it is dry: constant mass, or air-dried and by touch.",
            Need::CheckedBy => "Say who checked that it is dry.",
            Need::Container => "Say in what it is packed, or leave the record open.",
            Need::Layers => "Say which layers are to be kept, or leave the record open.",
            Need::Evidence => {
                "Say on what evidence: tick tests or photographs, or write it. Or leave the record open."
            }
            Need::Consulted => "Say who was consulted (“nobody” is an answer too), or leave the record open.",
            Need::Photograph => "A photograph is missing.",
        }
    }

    /// Whether a record cannot be closed without it; a photograph may follow.
    pub const fn blocks(self) -> bool {
        !matches!(self, Need::Photograph)
    }
}

/// What a record of a stage must hold in the end.
pub const fn needs(stage: Stage) -> &'static [Need] {
    match stage {
        Stage::DryClean | Stage::WetClean => &[
            Need::Aim,
            Need::Method,
            Need::Materials,
            Need::Area,
            Need::Times,
            Need::Outcome,
            Need::Removed,
            Need::Photograph,
        ],
        Stage::Drying => &[Need::EndRule, Need::CheckedBy],
        Stage::FirstAid | Stage::Packing => &[Need::Container],
        Stage::CleaningLevel => &[Need::Layers, Need::Evidence, Need::Consulted],
        _ => &[],
    }
}

/// What of it a record lacks.
pub fn lacking(stage: Stage, has: impl Fn(Need) -> bool) -> Vec<Need> {
    needs(stage).iter().copied().filter(|need| !has(*need)).collect()
}
