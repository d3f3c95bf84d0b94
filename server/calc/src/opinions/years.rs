//! Sets of years as sorted, separate stretches.
use crate::chronology::{DateRange, Year};

/// Stands for "no first year" and, with the other sign, for "no last year": farther off than any [`Year`].
const OPEN: i64 = 4 * Year::LIMIT;

/// A stretch of years, both ends included.
pub(super) type Stretch = (i64, i64);

pub(super) fn stretch(range: &DateRange) -> Stretch {
    (range.lo().map_or(-OPEN, Year::number), range.hi().map_or(OPEN, Year::number))
}

/// The set of all years that some stretch holds; neighbours grow together.
pub(super) fn joined(mut stretches: Vec<Stretch>) -> Vec<Stretch> {
    stretches.sort_unstable();
    let mut set: Vec<Stretch> = Vec::new();
    for (lo, hi) in stretches {
        match set.last_mut() {
            Some(last) if lo <= last.1 + 1 => last.1 = last.1.max(hi),
            _ => set.push((lo, hi)),
        }
    }
    set
}

/// The years that both sets hold.
pub(super) fn common(one: &[Stretch], other: &[Stretch]) -> Vec<Stretch> {
    let pairs = one.iter().flat_map(|a| other.iter().map(move |b| (a.0.max(b.0), a.1.min(b.1))));
    joined(pairs.filter(|(lo, hi)| lo <= hi).collect())
}

/// The years between the stretches of a set.
pub(super) fn between(set: &[Stretch]) -> Vec<Stretch> {
    set.windows(2).map(|pair| (pair[0].1 + 1, pair[1].0 - 1)).collect()
}

/// The stretches as ranges; one that is open at both ends is no range and left out.
pub(super) fn ranges(set: &[Stretch]) -> Vec<DateRange> {
    let end = |year: i64| Year::astronomical(year).ok();
    set.iter().filter_map(|&(lo, hi)| DateRange::new(end(lo), end(hi)).ok()).collect()
}
