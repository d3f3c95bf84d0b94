//! Condition assessments: what is seen kept apart from its presumed cause (CEN/TS 17135 names the result, not the cause),
//! condition and stability on two scales that are independent of each other.
use chrono::NaiveDate;

crate::text_enum! {
    /// A list of words a project keeps for its assessments.
    Scale, "scale" {
        Condition = "condition", "condition";
        Stability = "stability", "stability";
        Alteration = "alteration", "alterations";
    }
}

/// A word of a scale with what it means here.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Term {
    pub word: String,
    pub meaning: String,
}

/// Why a list of words will not do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TermFault {
    #[error("A scale needs at least two words.")]
    TooFew,
    #[error("A scale of more than {MOST_TERMS} words cannot be overlooked. Keep those you use.")]
    TooMany,
    #[error("“{0}” stands on the list twice.")]
    Twice(String),
    #[error("Line {0} has no word before its colon.")]
    NoWord(usize),
    #[error("Line {0} says no meaning. Write it after a colon: “fair: some damage, safe to handle”.")]
    NoMeaning(usize),
    #[error("The word of line {0} is longer than {LONGEST_WORD} characters.")]
    LongWord(usize),
}

/// Words a scale may have.
const MOST_TERMS: usize = 60;
/// Longest word in characters.
const LONGEST_WORD: usize = 60;

/// Something seen on a find: the word of the list, where, how much of the surface in percent, and the presumed cause.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Alteration {
    pub word: String,
    pub place: String,
    /// Percent of the surface looked at, 0 to 100.
    pub extent_pct: Option<f64>,
    pub cause: String,
}

/// What an assessment holds besides the common words of a record.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Assessment {
    pub reason: String,
    pub light: String,
    pub extent: String,
    pub alterations: Vec<Alteration>,
    /// Looked for and nothing seen: a result too.
    pub unaltered: bool,
    pub condition: Term,
    pub stability: Term,
    pub past_treatment: String,
    pub risk: String,
    pub recommendation: String,
    pub review_on: Option<NaiveDate>,
}

impl Assessment {
    /// What it still lacks to be closed, each field with the sentence that asks for it.
    pub fn lacks(&self) -> Vec<(&'static str, &'static str)> {
        let missing = [
            (self.reason.is_empty(), "reason", "Say why it is assessed now."),
            (self.light.is_empty(), "light", "Say in which light it was looked at."),
            (self.extent.is_empty(), "extent", "Say how much of it was looked at."),
            (
                self.alterations.is_empty() && !self.unaltered,
                "alterations",
                "Name what is seen, or say that nothing was seen.",
            ),
            (self.condition.word.is_empty(), "condition", "Choose the condition."),
            (self.stability.word.is_empty(), "stability", "Choose the stability."),
            (
                self.recommendation.is_empty(),
                "recommendation",
                "Say what should be done; “nothing” is an answer.",
            ),
            (self.review_on.is_none(), "review_on", "Say when it is looked at again."),
        ];
        missing.into_iter().filter(|(lacks, ..)| *lacks).map(|(_, field, ask)| (field, ask)).collect()
    }

    /// The assessment in a line: “poor, actively deteriorating”.
    pub fn summary(&self) -> String {
        let words = [self.condition.word.as_str(), self.stability.word.as_str()];
        words.iter().filter(|word| !word.is_empty()).copied().collect::<Vec<_>>().join(", ")
    }
}

/// The words a project starts with. No uniform scale exists (EN 16095 sets contents of a condition report, not grades):
/// condition in the four grades of many collection audits (from memory), stability, and the meanings of both, common
/// practice without source; alterations from the stone glossary of ICOMOS-ISCS (crust to perforation, meanings in our
/// words) and common practice.
const DEFAULTS: &[(Scale, &[(&str, &str)])] = &[
    (
        Scale::Condition,
        &[
            ("good", "sound for its kind; nothing needs to be done"),
            ("fair", "some damage or deposit, but whole enough to be handled and studied"),
            ("poor", "weak, damaged or obscured; needs work before it is studied or shown"),
            ("unacceptable", "cannot be handled, or harms what lies beside it"),
        ],
    ),
    (
        Scale::Stability,
        &[
            ("stable", "no change expected in an ordinary room"),
            ("stable if conditions are held", "no change as long as its climate and support are kept"),
            ("unstable", "will change before the next look unless something is done"),
            ("actively deteriorating", "changing now: fresh powder, droplets, cracks, loss or mould"),
        ],
    ),
    (
        Scale::Alteration,
        &[
            ("crack", "a line where the material has parted"),
            ("loss", "material is missing; old and fresh edges told apart"),
            ("flaking", "scales that lift off the surface"),
            ("delamination", "layers that part from each other"),
            ("powdering", "the surface comes off as powder at a touch"),
            ("blistering", "raised, hollow places in a surface or paint"),
            ("crust", "a coherent layer upon the surface, made of or with the material itself"),
            ("deposit", "matter from outside lying on the surface"),
            ("discolouration", "a change of hue, lightness or depth of colour"),
            ("efflorescence", "loose whitish crystals of salt on the surface"),
            ("encrustation", "a hard mineral layer that clings to the surface"),
            ("pitting", "small hollows with a narrow mouth"),
            ("perforation", "a hole right through"),
            ("corrosion", "products of metal with its surroundings: colour, hardness and place told"),
            ("weeping", "droplets on metal or glass"),
            ("iridescence", "rainbow-coloured scales on glass"),
            ("crizzling", "a fine net of cracks in glass"),
            ("shrinkage", "smaller or curled beside its earlier measure or mould"),
            ("distortion", "bent, twisted or crushed"),
            ("abrasion", "surface rubbed away, with direction"),
            ("mould", "growth with threads or spores"),
            ("residue", "remains of use or contents that are to be kept"),
        ],
    ),
];

/// The words a project starts with.
pub fn default_terms(scale: Scale) -> Vec<Term> {
    let of = DEFAULTS.iter().filter(|(known, _)| *known == scale).flat_map(|(_, terms)| terms.iter());
    of.map(|(word, meaning)| Term { word: (*word).into(), meaning: (*meaning).into() }).collect()
}

/// Reads a list of one word a line, its meaning after the first colon; empty lines are passed over.
///
/// ```
/// use domain::condition::{read_terms, write_terms};
/// let terms = read_terms("good: sound\npoor: weak: needs work\n").unwrap();
/// assert_eq!(terms[1].meaning, "weak: needs work");
/// assert_eq!(write_terms(&terms), "good: sound\npoor: weak: needs work");
/// ```
pub fn read_terms(text: &str) -> Result<Vec<Term>, TermFault> {
    let mut terms: Vec<Term> = Vec::new();
    for (at, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
        let (word, meaning) = line.split_once(':').unwrap_or((line, ""));
        let term = Term { word: word.trim().to_owned(), meaning: meaning.trim().to_owned() };
        let known = crate::words::fold(&term.word);
        match () {
            () if term.word.is_empty() => return Err(TermFault::NoWord(at + 1)),
            () if term.word.chars().count() > LONGEST_WORD => return Err(TermFault::LongWord(at + 1)),
            () if term.meaning.is_empty() => return Err(TermFault::NoMeaning(at + 1)),
            () if terms.iter().any(|other| crate::words::fold(&other.word) == known) => {
                return Err(TermFault::Twice(term.word));
            }
            () => terms.push(term),
        }
    }
    match terms.len() {
        0 | 1 => Err(TermFault::TooFew),
        n if n > MOST_TERMS => Err(TermFault::TooMany),
        _ => Ok(terms),
    }
}

/// The list as its form shows it.
pub fn write_terms(terms: &[Term]) -> String {
    terms.iter().map(|term| format!("{}: {}", term.word, term.meaning)).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_default_list_can_be_read_back() {
        for scale in Scale::ALL {
            let terms = default_terms(*scale);
            assert_eq!(read_terms(&write_terms(&terms)), Ok(terms));
        }
    }

    #[test]
    fn a_list_names_each_word_once_and_says_what_it_means() {
        assert_eq!(read_terms("good: sound\nGood : whole"), Err(TermFault::Twice("Good".into())));
        assert_eq!(read_terms("good: sound\n\nfair"), Err(TermFault::NoMeaning(3)));
        assert_eq!(read_terms(": sound\nfair: x"), Err(TermFault::NoWord(1)));
        assert_eq!(read_terms("good: sound"), Err(TermFault::TooFew));
    }

    #[test]
    fn an_empty_assessment_lacks_all_that_closes_it() {
        let lacks: Vec<&str> = Assessment::default().lacks().into_iter().map(|(field, _)| field).collect();
        assert_eq!(
            lacks,
            [
                "reason",
                "light",
                "extent",
                "alterations",
                "condition",
                "stability",
                "recommendation",
                "review_on"
            ]
        );
        let seen = Assessment { unaltered: true, ..Assessment::default() };
        assert!(!seen.lacks().iter().any(|(field, _)| *field == "alterations"), "nothing seen is a result");
    }
}
