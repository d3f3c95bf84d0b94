//! Taking out relations that others already say.
use super::Graph;
use fixedbitset::FixedBitSet;
use serde::Serialize;

/// Groups are looked at so many at a time, so that ten thousand contexts take megabytes and a hundred thousand not
/// gigabytes.
const AT_A_TIME: usize = 8192;

/// Relations sorted out, each between first contexts, in order, without repeats. A relation `(a, b)` says that `a` is
/// later than `b`.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Reduction {
    /// What has to be drawn: without any one of these something would be lost (among contexts that contradict each
    /// other, several may say the same).
    pub kept: Vec<(usize, usize)>,
    /// What follows from those kept.
    pub redundant: Vec<(usize, usize)>,
    /// Relations within a contradiction: one at least of each set is wrong.
    pub contradictory: Vec<(usize, usize)>,
}

pub(super) fn reduce(graph: &Graph) -> Reduction {
    let count = graph.groups().len();
    let below: Vec<Vec<usize>> = (0..count).map(|n| groups_below(graph, n)).collect();
    let mut is_redundant: Vec<Vec<bool>> = below.iter().map(|all| vec![false; all.len()]).collect();
    for start in (0..count).step_by(AT_A_TIME) {
        mark_block(&below, start, AT_A_TIME.min(count - start), &mut is_redundant);
    }
    let mut sorted = Reduction::default();
    for later in graph.firsts() {
        let group = graph.group_of(later);
        for &earlier in graph.earlier(later) {
            let list = match below[group].binary_search(&graph.group_of(earlier)) {
                Err(_) => &mut sorted.contradictory,
                Ok(n) if is_redundant[group][n] => &mut sorted.redundant,
                Ok(_) => &mut sorted.kept,
            };
            list.push((later, earlier));
        }
    }
    sorted
}

/// The groups directly below, in order, without repeats and without the group itself.
pub(super) fn groups_below(graph: &Graph, n: usize) -> Vec<usize> {
    let direct = graph.groups()[n].iter().flat_map(|&one| graph.earlier(one));
    let mut below: Vec<usize> =
        direct.map(|&other| graph.group_of(other)).filter(|&other| other != n).collect();
    below.sort_unstable();
    below.dedup();
    below
}

/// Marks the relations that lead to groups from `start` on, `width` of them. Groups are numbered from the latest to the
/// earliest, so what lies below has a greater number and is done first.
fn mark_block(below: &[Vec<usize>], start: usize, width: usize, is_redundant: &mut [Vec<bool>]) {
    let mut reached: Vec<FixedBitSet> = vec![FixedBitSet::new(); below.len()];
    for n in (0..below.len()).rev() {
        if n >= start + width {
            continue;
        }
        let mut here = FixedBitSet::with_capacity(width);
        for &other in below[n].iter().filter(|&&other| other < start + width) {
            here.union_with(&reached[other]);
        }
        // `here` is now what is reached by two steps or more
        for (place, &other) in below[n].iter().enumerate() {
            if (start..start + width).contains(&other) {
                is_redundant[n][place] |= here.contains(other - start);
            }
        }
        for &other in below[n].iter().filter(|&&other| (start..start + width).contains(&other)) {
            here.insert(other - start);
        }
        reached[n] = here;
    }
}
