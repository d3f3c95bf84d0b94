//! Dates as specialists write them, turned into a range of years by a stated convention.
//!
//! A phrase is cut into words ([`token`], [`lexicon`]), put together ([`grammar`], [`bound`]), completed from its
//! neighbours ("late 1st–early 2nd century AD" names the century once) ([`completion`], [`era`]), turned into years
//! ([`span`]), told apart from what says the same again ([`gloss`]) and put together into one [`Reading`] ([`settle`]). What cannot be read is refused with a reason and,
//! where one can be made, a suggestion that would be read.
use super::interval::DateRange;
use crate::error::{CalcError, Unreadable};
use crate::source::Source;
use serde::Serialize;

mod bound;
mod completion;
mod era;
mod gloss;
mod grammar;
mod lexicon;
mod refusal;
mod segment;
mod settle;
mod share;
mod sources;
mod span;
mod suggest;
mod token;
mod wording;

use refusal::Refusal;

/// Longest phrase read, in characters: a date, not an essay.
pub const LONGEST_PHRASE: usize = 200;

/// Widest "circa", in years on each side.
pub const WIDEST_CIRCA: i64 = 500;

/// How many faults a suggestion may mend, one after the other, and how many candidates are tried each time.
const SUGGESTION_DEPTH: usize = 3;
const MOST_CANDIDATES: usize = 12;

/// How a century is cut into early, mid and late.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Convention {
    /// Years 1–33, 34–67, 68–100 (Petrovay 2010 after Baca and others 2006).
    #[default]
    Thirds,
    /// Years 1–25, 26–75, 76–100 (common practice, no source).
    Quarters,
}

impl Convention {
    /// The name used in settings and in JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Thirds => "thirds",
            Self::Quarters => "quarters",
        }
    }

    /// The convention of that name.
    pub fn named(name: &str) -> Option<Self> {
        [Self::Thirds, Self::Quarters].into_iter().find(|one| one.name() == name)
    }
}

/// What a unit has settled about reading dates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Settings {
    pub convention: Convention,
    /// Years that "circa" moves each written limit outwards.
    pub circa_years: i64,
}

impl Default for Settings {
    /// Thirds, and circa ten years (Thornes, Dorrell and Lie 1999).
    fn default() -> Self {
        Self { convention: Convention::Thirds, circa_years: 10 }
    }
}

/// How the named possibilities of a phrase belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Together {
    /// One range.
    One,
    /// "2nd or 4th century": one of them is meant.
    OneOf,
    /// "2nd and 4th centuries": all of them are meant.
    AllOf,
}

/// What the writer says of a possibility; never turned into a number here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Likelihood {
    /// Nothing is said.
    Unsaid,
    /// "more likely", "probably".
    More,
    /// "less likely", "possibly", "perhaps".
    Less,
}

/// One of the possibilities that a phrase names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Alternative {
    pub range: DateRange,
    pub likelihood: Likelihood,
}

/// What a phrase comes to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reading {
    /// The years, the width of "circa" included. With several alternatives: the shortest range that holds them all.
    pub range: DateRange,
    /// The years as written, before "circa" widened them.
    pub stated: DateRange,
    /// "circa", "±", "turn of the century".
    pub approximate: bool,
    /// "?", "probably", "possibly", or the whole in brackets.
    pub uncertain: bool,
    /// The possibilities named, in the order written; empty when there is only one.
    pub alternatives: Vec<Alternative>,
    pub together: Together,
    /// What was done, step by step, in words, to be shown beside the years.
    pub rule: Vec<String>,
    pub settings: Settings,
    /// What stands behind the rules that were applied.
    pub sources: Vec<&'static Source>,
}

impl Reading {
    /// "AD 68 - AD 133".
    pub fn label(&self) -> String {
        self.range.to_string()
    }

    /// The date in standard notation: the years as written, `~` for an approximate and `?` for an uncertain date; a
    /// set in square brackets when one of several separate ranges is meant, in curly ones when all are.
    pub fn edtf(&self) -> String {
        let plain = |range: &DateRange| super::edtf::write(range, self.approximate, self.uncertain);
        if !self.is_broken() {
            return plain(&self.stated);
        }
        let members: Vec<String> =
            self.alternatives.iter().map(|one| super::edtf::member(&one.range)).collect();
        match self.together {
            Together::AllOf => format!("{{{}}}", members.join(",")),
            _ => format!("[{}]", members.join(",")),
        }
    }

    /// Whether there is a gap between the alternatives.
    fn is_broken(&self) -> bool {
        let mut ranges: Vec<DateRange> = self.alternatives.iter().map(|one| one.range).collect();
        ranges.sort_by_key(|range| (range.lo(), range.hi()));
        let mut reach = ranges.first().and_then(DateRange::hi);
        let mut broken = false;
        for range in ranges.iter().skip(1) {
            broken |= matches!((reach, range.lo()), (Some(reach), Some(lo)) if reach.plus(1) < lo);
            reach = reach.and_then(|reach| range.hi().map(|hi| hi.max(reach)));
        }
        broken
    }
}

/// Reads a date phrase.
///
/// # Errors
/// `Unreadable` (field `text`) with a reason and suggestions; `OutOfRange` (field `circa_years`) for a negative or
/// absurd width.
///
/// ```
/// use calc::chronology::{Convention, Settings, read};
/// let thirds = read("late 1st–early 2nd century AD", &Settings::default())?;
/// assert_eq!(thirds.label(), "AD 68 - AD 133");
/// let quarters = Settings { convention: Convention::Quarters, circa_years: 10 };
/// assert_eq!(read("late 1st–early 2nd century AD", &quarters)?.label(), "AD 76 - AD 125");
/// let refused = read("Hadrianc", &quarters).unwrap_err();
/// assert_eq!(refused.suggestions(), ["Hadrianic"]);
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn read(text: &str, settings: &Settings) -> Result<Reading, CalcError> {
    if !(0..=WIDEST_CIRCA).contains(&settings.circa_years) {
        let (value, high) = (settings.circa_years as f64, WIDEST_CIRCA as f64);
        return Err(CalcError::OutOfRange { field: "circa_years", value, low: 0.0, high, unit: "years" });
    }
    read_once(text, settings).map_err(|refusal| {
        CalcError::Unreadable(Unreadable {
            field: "text",
            text: text.to_owned(),
            reason: refusal.reason,
            suggestions: readable(refusal.suggestions, settings),
        })
    })
}

/// At most three of the candidates that are read; where none is, of what is suggested for them in turn.
fn readable(candidates: Vec<String>, settings: &Settings) -> Vec<String> {
    let mut level = candidates;
    for _ in 0..SUGGESTION_DEPTH {
        let mut found: Vec<String> = Vec::new();
        let mut next = Vec::new();
        for one in level {
            match read_once(&one, settings) {
                Ok(_) if found.contains(&one) => {}
                Ok(_) => found.push(one),
                Err(refusal) => next.extend(refusal.suggestions),
            }
        }
        if !found.is_empty() {
            found.truncate(3);
            return found;
        }
        next.truncate(MOST_CANDIDATES);
        level = next;
    }
    Vec::new()
}

fn read_once(text: &str, settings: &Settings) -> Result<Reading, Refusal> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Refusal::plain("Nothing is written: leave the date out, or say what is known of it."));
    }
    if text.chars().count() > LONGEST_PHRASE {
        return Err(Refusal::plain(format!("A date is at most {LONGEST_PHRASE} characters long.")));
    }
    let lexemes = token::cut(text)?;
    let statement = grammar::parse(text, lexemes)?;
    settle::settle(statement, settings)
}
