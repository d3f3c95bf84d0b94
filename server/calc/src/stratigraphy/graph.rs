//! Contexts and what is later than what.
use super::reduction::{Reduction, reduce};
use crate::error::CalcError;
use petgraph::algo::kosaraju_scc;
use petgraph::graph::DiGraph;
use petgraph::unionfind::UnionFind;

/// Contexts, those found to be the same merged, and the relations between them; see [`super::ORDER`].
#[derive(Debug, Clone)]
pub struct Graph {
    /// For each context the first that it is the same as: itself, if it stands alone.
    first: Vec<usize>,
    /// For each first context all that are the same, in order; empty for the others.
    same: Vec<Vec<usize>>,
    /// For each first context the first contexts directly earlier, in order, without repeats.
    earlier: Vec<Vec<usize>>,
    /// For each first context its place in `groups`.
    group: Vec<usize>,
    /// First contexts that lead to each other, later groups before earlier ones; of one context unless there is a
    /// contradiction.
    groups: Vec<Vec<usize>>,
}

impl Graph {
    /// A graph of `count` contexts. A pair of `later_than` names the later context first.
    ///
    /// # Errors
    /// `Unsuitable` (field `later_than` or `same_as`) for a place that is not below `count`.
    ///
    /// ```
    /// use calc::stratigraphy::Graph;
    /// // 0 over 1 over 3, 2 is the same as 1
    /// let graph = Graph::new(4, &[(0, 1), (2, 3)], &[(1, 2)])?;
    /// assert!(graph.is_acyclic());
    /// assert_eq!(graph.reduction().kept, [(0, 1), (1, 3)]);
    /// assert_eq!(graph.levels(), [2, 1, 1, 0]);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn new(
        count: usize,
        later_than: &[(usize, usize)],
        same_as: &[(usize, usize)],
    ) -> Result<Self, CalcError> {
        within(count, "later_than", later_than)?;
        within(count, "same_as", same_as)?;
        let (first, same) = merged(count, same_as);
        let mut earlier = vec![Vec::new(); count];
        for &(later, below) in later_than {
            earlier[first[later]].push(first[below]);
        }
        for below in &mut earlier {
            below.sort_unstable();
            below.dedup();
        }
        let groups = groups(&first, &earlier);
        let mut group = vec![0; count];
        for (n, members) in groups.iter().enumerate() {
            members.iter().for_each(|&one| group[one] = n);
        }
        Ok(Self { first, same, earlier, group, groups })
    }

    /// The number of contexts, those merged counted each.
    pub fn count(&self) -> usize {
        self.first.len()
    }

    /// The context by which a merged one is spoken of: the first it is the same as.
    ///
    /// # Panics
    /// For a place that is not below [`Graph::count`], as indexing does; so do all that take a context.
    pub fn first(&self, context: usize) -> usize {
        self.first[context]
    }

    /// All contexts that are the same as this one, itself included, in order.
    pub fn same(&self, context: usize) -> &[usize] {
        &self.same[self.first[context]]
    }

    /// Whether no context leads back to itself.
    pub fn is_acyclic(&self) -> bool {
        self.groups.iter().all(|group| !self.is_contradiction(group))
    }

    /// Contexts that lead to each other, each such set in order with all that were merged into it; a context later than
    /// itself or than one it is the same as is a set too. Each set holds at least one wrong relation.
    ///
    /// ```
    /// use calc::stratigraphy::Graph;
    /// let graph = Graph::new(4, &[(0, 1), (1, 2), (2, 1), (2, 3)], &[])?;
    /// assert_eq!(graph.contradictions(), [vec![1, 2]]);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn contradictions(&self) -> Vec<Vec<usize>> {
        let wrong = self.groups.iter().filter(|group| self.is_contradiction(group));
        let mut sets: Vec<Vec<usize>> = wrong
            .map(|group| {
                let mut all: Vec<usize> =
                    group.iter().flat_map(|&one| self.same[one].iter().copied()).collect();
                all.sort_unstable();
                all
            })
            .collect();
        sets.sort_unstable();
        sets
    }

    fn is_contradiction(&self, group: &[usize]) -> bool {
        group.len() > 1 || group.iter().any(|&one| self.earlier[one].contains(&one))
    }

    /// Which relations say something that the others do not; time in the order of relations × contexts / 64.
    pub fn reduction(&self) -> Reduction {
        reduce(self)
    }

    /// For each context its level: 0 with nothing below, otherwise one more than the highest directly below. Contexts
    /// that contradict each other share theirs.
    pub fn levels(&self) -> Vec<usize> {
        let mut level = vec![0; self.groups.len()];
        for (n, group) in self.groups.iter().enumerate().rev() {
            let below = self.below(n, group);
            level[n] = below.map(|other| level[other] + 1).max().unwrap_or(0);
        }
        self.first.iter().map(|&first| level[self.group[first]]).collect()
    }

    /// First contexts with nothing above, in order.
    pub fn top(&self) -> Vec<usize> {
        let mut has_above = vec![false; self.groups.len()];
        for (n, group) in self.groups.iter().enumerate() {
            self.below(n, group).for_each(|other| has_above[other] = true);
        }
        self.firsts().filter(|&one| !has_above[self.group[one]]).collect()
    }

    /// First contexts with nothing below, in order.
    pub fn bottom(&self) -> Vec<usize> {
        let is_bottom = |n: usize| self.below(n, &self.groups[n]).next().is_none();
        self.firsts().filter(|&one| is_bottom(self.group[one])).collect()
    }

    /// The contexts that stand for themselves or for those merged with them, in order.
    pub fn firsts(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.count()).filter(|&one| self.first[one] == one)
    }

    /// Groups directly below the `n`th, with repeats.
    fn below<'a>(&'a self, n: usize, group: &'a [usize]) -> impl Iterator<Item = usize> + 'a {
        let direct = group.iter().flat_map(|&one| &self.earlier[one]);
        direct.map(|&other| self.group[other]).filter(move |&other| other != n)
    }

    /// The place of a context's group among [`Graph::groups`].
    pub(super) fn group_of(&self, context: usize) -> usize {
        self.group[self.first[context]]
    }

    /// Groups of first contexts that lead to each other; what is later stands before what is earlier.
    pub(super) fn groups(&self) -> &[Vec<usize>] {
        &self.groups
    }

    /// First contexts directly earlier than a first context.
    pub(super) fn earlier(&self, first: usize) -> &[usize] {
        &self.earlier[first]
    }
}

fn within(count: usize, field: &'static str, pairs: &[(usize, usize)]) -> Result<(), CalcError> {
    match pairs.iter().position(|&(one, other)| one.max(other) >= count) {
        None => Ok(()),
        Some(n) => {
            let sentence = format!("Relation {} names a context that is not in the list.", n + 1);
            Err(CalcError::unsuitable(field, sentence))
        }
    }
}

fn merged(count: usize, same_as: &[(usize, usize)]) -> (Vec<usize>, Vec<Vec<usize>>) {
    let mut sets = UnionFind::<usize>::new(count);
    for &(one, other) in same_as {
        sets.union(one, other);
    }
    let mut first_of_set = vec![None; count];
    let (mut first, mut same) = (Vec::with_capacity(count), vec![Vec::new(); count]);
    for (context, set) in sets.into_labeling().into_iter().enumerate() {
        let its_first = *first_of_set[set].get_or_insert(context);
        first.push(its_first);
        same[its_first].push(context);
    }
    (first, same)
}

fn groups(first: &[usize], earlier: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let mut graph = DiGraph::<usize, ()>::new();
    let mut node = vec![None; first.len()];
    for (context, its_first) in first.iter().enumerate() {
        if context == *its_first {
            node[context] = Some(graph.add_node(context));
        }
    }
    for (later, below) in earlier.iter().enumerate() {
        for (one, other) in below.iter().filter_map(|&other| node[later].zip(node[other])) {
            graph.add_edge(one, other, ());
        }
    }
    // the library gives components so that none leads to one after it
    let mut groups: Vec<Vec<usize>> = kosaraju_scc(&graph)
        .into_iter()
        .map(|members| {
            let mut contexts: Vec<usize> = members.into_iter().map(|one| graph[one]).collect();
            contexts.sort_unstable();
            contexts
        })
        .collect();
    groups.reverse();
    groups
}
