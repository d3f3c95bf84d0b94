//! Which band each context is drawn in: that of its phase, unless the relations forbid it.
use super::{Entry, PhaseConflict};
use crate::stratigraphy::Graph;
use fixedbitset::FixedBitSet;

/// Bands, and the band of each group of contexts.
pub(super) struct Phases {
    /// Latest first; `None`, last, for contexts with no phase near.
    pub bands: Vec<Option<i64>>,
    /// For each group its place in `bands`; along a relation from later to earlier it never falls.
    pub band: Vec<usize>,
    pub conflicts: Vec<PhaseConflict>,
}

/// The one phase that all those have which have any; `None` if they differ or none has.
pub(super) fn common(phases: impl Iterator<Item = Option<i64>>) -> Option<i64> {
    let mut known: Vec<i64> = phases.flatten().collect();
    known.sort_unstable();
    known.dedup();
    if known.len() == 1 { known.pop() } else { None }
}

/// `below` holds for each group those directly below it.
pub(super) fn phases(graph: &Graph, below: &[Vec<usize>], entries: &[Entry]) -> Phases {
    let wanted: Vec<Option<i64>> = graph
        .groups()
        .iter()
        .map(|group| {
            let contexts = group.iter().flat_map(|&first| graph.same(first));
            common(contexts.map(|&one| entries[one].phase))
        })
        .collect();
    let mut conflicts = between_likes(graph, entries);
    conflicts.extend(between_groups(graph, below, &wanted));
    conflicts.sort_unstable();
    let held = held(below, &wanted);
    let mut known: Vec<i64> = held.iter().flatten().copied().collect();
    known.sort_unstable_by(|one, two| two.cmp(one));
    known.dedup();
    let place = |phase: i64| known.iter().position(|other| *other == phase);
    let fixed: Vec<Option<usize>> = held.iter().map(|phase| phase.and_then(place)).collect();
    let band = bands(below, &fixed, known.len());
    let mut bands: Vec<Option<i64>> = known.into_iter().map(Some).collect();
    if band.contains(&bands.len()) {
        bands.push(None);
    }
    Phases { bands, band, conflicts }
}

/// Contexts found to be the same but put into different phases.
fn between_likes(graph: &Graph, entries: &[Entry]) -> Vec<PhaseConflict> {
    let mut conflicts = Vec::new();
    for first in graph.firsts() {
        let phased = graph.same(first).iter().copied().filter(|&one| entries[one].phase.is_some());
        let phased: Vec<usize> = phased.collect();
        let others = phased.iter().filter(|&&one| entries[one].phase != entries[phased[0]].phase);
        conflicts.extend(others.map(|&one| PhaseConflict { later: phased[0], earlier: one }));
    }
    conflicts
}

/// Pairs in the wrong order of phases with no other phase on the way between them. Wherever two contexts farther apart
/// are in the wrong order, so is some such pair on every way between them.
fn between_groups(graph: &Graph, below: &[Vec<usize>], wanted: &[Option<i64>]) -> Vec<PhaseConflict> {
    let named = |group: usize| graph.groups()[group][0];
    let mut conflicts = Vec::new();
    for (start, phase) in wanted.iter().enumerate() {
        let Some(phase) = phase else { continue };
        let mut is_seen = FixedBitSet::with_capacity(below.len());
        let mut open = below[start].clone();
        while let Some(next) = open.pop() {
            if is_seen.put(next) {
                continue;
            }
            match wanted[next] {
                None => open.extend(&below[next]),
                Some(other) if other > *phase => {
                    conflicts.push(PhaseConflict { later: named(start), earlier: named(next) });
                }
                Some(_) => {}
            }
        }
    }
    conflicts
}

/// The phases that can be kept all together. While two contexts stand in the wrong order, the one with the most such
/// pairs (of several the one farthest down) gives up its phase, so that one slip does not push a whole site out of its
/// bands.
fn held(below: &[Vec<usize>], wanted: &[Option<i64>]) -> Vec<Option<i64>> {
    let mut held = wanted.to_vec();
    let against = wrong_pairs(below, wanted);
    let mut left: Vec<usize> = against.iter().map(Vec::len).collect();
    while let Some(worst) = (0..left.len()).max_by_key(|&n| left[n]).filter(|&n| left[n] > 0) {
        held[worst] = None;
        left[worst] = 0;
        for &other in &against[worst] {
            left[other] = left[other].saturating_sub(1);
        }
    }
    held
}

/// For each group all that it stands in the wrong order of phases with.
fn wrong_pairs(below: &[Vec<usize>], wanted: &[Option<i64>]) -> Vec<Vec<usize>> {
    let mut against: Vec<Vec<usize>> = vec![Vec::new(); below.len()];
    let mut reached: Vec<FixedBitSet> = vec![FixedBitSet::new(); below.len()];
    for later in (0..below.len()).rev() {
        let mut all = FixedBitSet::with_capacity(below.len());
        for &other in &below[later] {
            all.insert(other);
            all.union_with(&reached[other]);
        }
        for earlier in all.ones() {
            if wanted[later].zip(wanted[earlier]).is_some_and(|(above, under)| above < under) {
                against[later].push(earlier);
                against[earlier].push(later);
            }
        }
        reached[later] = all;
    }
    against
}

/// A band for everything: the fixed ones where they are, the others with the highest fixed one below them, or with the
/// lowest above them, or (with neither) in the band `none`.
fn bands(below: &[Vec<usize>], fixed: &[Option<usize>], none: usize) -> Vec<usize> {
    let mut ceiling: Vec<Option<usize>> = fixed.to_vec();
    for n in (0..below.len()).rev() {
        if ceiling[n].is_none() {
            ceiling[n] = below[n].iter().filter_map(|&other| ceiling[other]).min();
        }
    }
    let mut floor: Vec<Option<usize>> = vec![None; below.len()];
    let mut band = vec![none; below.len()];
    for n in 0..below.len() {
        band[n] = ceiling[n].or(floor[n]).unwrap_or(none);
        for &other in &below[n] {
            floor[other] = floor[other].max(Some(band[n]));
        }
    }
    band
}
