//! Opinions on a date laid side by side: what they share, what they leave between them, how far they agree.
//!
//! Nothing here makes a date. [`compare`] says in words and years how opinions lie to each other, also where a range is
//! open; [`pool`] adds them to one density, which belongs folded away under the title "not a date".
use crate::chronology::DateRange;
use crate::error::CalcError;
use crate::source::{Basis, Source};
use serde::Serialize;

mod density;
mod pooled;
mod years;

use density::Density;
pub use pooled::{Pool, Step, pool};
use years::{between, common, joined, ranges, stretch};

/// Where the comparison and the pool come from.
pub const OPINIONS: Basis = Basis {
    formula: "each opinion uniform on its range (ranges of one opinion by weight); overlap of two Σ min(p, q) over years; agreement the mean over pairs; pool Σ w p / Σ w; densest years: those at or above the highest density that together hold the mass asked for",
    range: "whole years, both ends counted; densities need ranges with two ends",
    sources: &[
        Source::from_memory("Stone", "1961", "The opinion pool, Annals of Mathematical Statistics 32"),
        Source::from_memory(
            "Genest and Zidek",
            "1986",
            "Combining probability distributions, Statistical Science 1",
        ),
        Source::from_memory(
            "Hyndman",
            "1996",
            "Computing and graphing highest density regions, American Statistician 50:120-126",
        ),
    ],
    caution: "A pool is not a date. It hides who said what; two specialists who follow the same parallel count twice.",
};

/// One author's view of a date: one range, or several with weights where the author prefers some.
#[derive(Debug, Clone, PartialEq)]
pub struct Opinion {
    ranges: Vec<(DateRange, f64)>,
    weight: f64,
}

impl Opinion {
    /// A single range, of weight 1.
    pub fn new(range: DateRange) -> Self {
        Self { ranges: vec![(range, 1.0)], weight: 1.0 }
    }

    /// Several ranges, each with the share that the author gives it; shares need not add up to 1.
    ///
    /// # Errors
    /// `Unsuitable` (field `opinions`) if there is no range, or a share is not above 0.
    ///
    /// ```
    /// use calc::chronology::{DateRange, Year};
    /// use calc::opinions::Opinion;
    /// let late = DateRange::new(Some(Year::ad(1368)?), Some(Year::ad(1400)?))?;
    /// let early = DateRange::new(Some(Year::ad(1401)?), Some(Year::ad(1433)?))?;
    /// // "late fourteenth century, more likely early fifteenth"
    /// assert!(Opinion::of(vec![(late, 1.0), (early, 2.0)]).is_ok());
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn of(ranges: Vec<(DateRange, f64)>) -> Result<Self, CalcError> {
        if ranges.is_empty() {
            return Err(CalcError::unsuitable("opinions", "An opinion has at least one range of years."));
        }
        for (_, share) in &ranges {
            above_nought(*share)?;
        }
        Ok(Self { ranges, weight: 1.0 })
    }

    /// The same opinion, counted `weight` times in a pool.
    ///
    /// # Errors
    /// `Unsuitable` (field `opinions`) for a weight that is not above 0.
    pub fn weighing(self, weight: f64) -> Result<Self, CalcError> {
        above_nought(weight)?;
        Ok(Self { weight, ..self })
    }

    /// The ranges with their shares, as given.
    pub fn ranges(&self) -> &[(DateRange, f64)] {
        &self.ranges
    }

    fn years(&self) -> Vec<years::Stretch> {
        joined(self.ranges.iter().map(|(range, _)| stretch(range)).collect())
    }
}

fn above_nought(weight: f64) -> Result<(), CalcError> {
    if weight.is_finite() && weight > 0.0 && weight <= 1e6 {
        return Ok(());
    }
    let sentence = format!("A weight is {weight}; it has to lie above 0 and at most at 1000000.");
    Err(CalcError::unsuitable("opinions", sentence))
}

/// How opinions lie to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Accord {
    /// There is only one.
    Single,
    /// All hold exactly the same years.
    Same,
    /// Some years are held by all.
    AllShare,
    /// No year is held by all, but some by more than one.
    SomeShare,
    /// No two share a year.
    Apart,
}

impl Accord {
    /// In words, to stand before or instead of a number.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Single => "one opinion only",
            Self::Same => "all hold the same years",
            Self::AllShare => "all share some years",
            Self::SomeShare => "some share years, but not all",
            Self::Apart => "no two share a year",
        }
    }
}

/// Two opinions beside each other; `one` and `other` are places in the list that was compared.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pair {
    pub one: usize,
    pub other: usize,
    /// The years that both hold.
    pub shared: Vec<DateRange>,
    /// Σ min(p, q), 0 (apart) to 1 (the same); `None` if a range of either is open.
    pub overlap: Option<f64>,
}

/// Opinions side by side; see [`OPINIONS`].
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Years that every opinion holds, in order.
    pub shared: Vec<DateRange>,
    /// Years that at least one holds, in order. Empty if together they leave no year out.
    pub held: Vec<DateRange>,
    /// Years between those held that nobody holds.
    pub gaps: Vec<DateRange>,
    /// First to last year held; `None` if open at both ends.
    pub span: Option<DateRange>,
    /// Each with each, the first with the second, the first with the third, and so on.
    pub pairs: Vec<Pair>,
    /// Mean overlap of the pairs, 0 to 1; `None` for a single opinion or where a range is open.
    pub agreement: Option<f64>,
    pub accord: Accord,
}

/// Lays opinions side by side; open ranges are welcome.
///
/// # Errors
/// `Unsuitable` (field `opinions`) if there is none.
///
/// ```
/// use calc::chronology::{DateRange, Year};
/// use calc::opinions::{Accord, Opinion, compare};
/// let range = |lo, hi| DateRange::new(Some(Year::ad(lo)?), Some(Year::ad(hi)?));
/// let apart = compare(&[Opinion::new(range(43, 100)?), Opinion::new(range(150, 200)?)])?;
/// assert_eq!(apart.accord, Accord::Apart);
/// assert_eq!(apart.gaps[0].to_string(), "AD 101 - AD 149");
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn compare(opinions: &[Opinion]) -> Result<Comparison, CalcError> {
    let sets: Vec<_> = opinions.iter().map(Opinion::years).collect();
    let Some(first) = sets.first() else {
        return Err(CalcError::unsuitable("opinions", "There is no opinion to compare."));
    };
    let shared = sets.iter().skip(1).fold(first.clone(), |so_far, set| common(&so_far, set));
    let held = joined(sets.concat());
    let densities: Vec<_> = opinions.iter().map(|one| Density::of(one).ok()).collect();
    let mut pairs = Vec::new();
    for (one, set) in sets.iter().enumerate() {
        for other in one + 1..sets.len() {
            let both = densities[one].as_ref().zip(densities[other].as_ref());
            pairs.push(Pair {
                one,
                other,
                shared: ranges(&common(set, &sets[other])),
                overlap: both.map(|(p, q)| p.overlap(q)),
            });
        }
    }
    let overlaps: Option<Vec<f64>> = pairs.iter().map(|pair| pair.overlap).collect();
    let agreement =
        overlaps.filter(|all| !all.is_empty()).map(|all| all.iter().sum::<f64>() / all.len() as f64);
    let accord = match pairs.len() {
        0 => Accord::Single,
        _ if sets.iter().all(|set| set == first) => Accord::Same,
        _ if !shared.is_empty() => Accord::AllShare,
        _ if pairs.iter().any(|pair| !pair.shared.is_empty()) => Accord::SomeShare,
        _ => Accord::Apart,
    };
    let span = held.first().zip(held.last()).map(|(first, last)| (first.0, last.1));
    Ok(Comparison {
        shared: ranges(&shared),
        gaps: ranges(&between(&held)),
        span: span.and_then(|span| ranges(&[span]).pop()),
        held: ranges(&held),
        pairs,
        agreement,
        accord,
    })
}
