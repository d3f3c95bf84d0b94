//! Heights of the horizontal parts of lines between two rows.
use std::collections::BTreeMap;

/// How a step gets from the upper row to the lower; heights are counted from the top.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bend {
    Straight,
    /// Across at one height.
    Once(usize),
    /// Across at the first height to a column of its own, down, and across at the second.
    Twice {
        first: usize,
        column: i32,
        second: usize,
    },
}

/// A horizontal part: from the column it comes down in to the column it goes down in.
struct Part {
    step: usize,
    from: i32,
    to: i32,
    /// Parts that have to lie higher, or two lines would lie on each other.
    under: Vec<usize>,
    /// Parts that had better lie higher, or two lines would cross twice that need not cross.
    rather_under: Vec<usize>,
    height: Option<usize>,
}

impl Part {
    fn new(step: usize, from: i32, to: i32) -> Self {
        Self { step, from, to, under: Vec::new(), rather_under: Vec::new(), height: None }
    }

    fn ends(&self) -> (i32, i32) {
        (self.from.min(self.to), self.from.max(self.to))
    }
}

/// The bends of steps, each given by the columns it leaves and arrives in, no two leaving nor two arriving in one column;
/// and the number of heights.
pub(super) fn bends(steps: &[(i32, i32)]) -> (Vec<Bend>, usize) {
    let slanting = steps.iter().enumerate().filter(|(_, (from, to))| from != to);
    let mut parts: Vec<Part> = slanting.map(|(step, &(from, to))| Part::new(step, from, to)).collect();
    // a line that leaves in the column where another arrives has to turn off above it
    let leaving: BTreeMap<i32, usize> = parts.iter().enumerate().map(|(n, part)| (part.from, n)).collect();
    for part in &mut parts {
        part.under.extend(leaving.get(&part.to));
    }
    open_rings(&mut parts, steps);
    prefer(&mut parts);
    let heights = stack(&mut parts);
    let mut bends = vec![Bend::Straight; steps.len()];
    for part in &parts {
        let height = part.height.unwrap_or(0);
        bends[part.step] = match bends[part.step] {
            Bend::Once(first) => Bend::Twice { first, column: part.from, second: height },
            _ => Bend::Once(height),
        };
    }
    (bends, heights)
}

/// Lines that would each have to turn off above the next, round in a ring, are freed by leading one of them through a
/// column of its own. Each part is under one other at most, so rings are found by following.
fn open_rings(parts: &mut Vec<Part>, steps: &[(i32, i32)]) {
    let mut taken: Vec<i32> = steps.iter().flat_map(|&(from, to)| [from, to]).collect();
    let count = parts.len();
    let mut walk_of = vec![usize::MAX; count];
    for start in 0..count {
        let mut at = Some(start);
        while let Some(n) = at.filter(|&n| walk_of[n] == usize::MAX) {
            walk_of[n] = start;
            at = parts[n].under.first().copied();
        }
        // met before on this very walk: a ring
        let Some(n) = at.filter(|&n| walk_of[n] == start) else { continue };
        let column = free_column(parts[n].from, parts[n].to, &taken);
        taken.push(column);
        let mut rest = Part::new(parts[n].step, column, parts[n].to);
        rest.under = std::mem::take(&mut parts[n].under);
        rest.under.push(n);
        parts[n].to = column;
        parts.push(rest);
    }
}

/// The column nearest to the middle in which nothing goes down.
fn free_column(from: i32, to: i32, taken: &[i32]) -> i32 {
    let middle = i32::midpoint(from, to);
    let near = (0..).flat_map(|away| [middle - away, middle + away]);
    // only finitely many columns are taken, so the search ends
    near.into_iter().find(|column| !taken.contains(column)).unwrap_or(middle)
}

/// Of two that lead the same way over each other and need not cross, the one ahead had better turn off first.
fn prefer(parts: &mut [Part]) {
    for one in 0..parts.len() {
        let a = &parts[one];
        let is_ahead = |b: &Part| match a.from < a.to {
            true => b.from < b.to && a.from < b.from && b.from <= a.to && a.to < b.to,
            false => b.to < b.from && b.from < a.from && a.to <= b.from && b.to < a.to,
        };
        let ahead: Vec<usize> = (0..parts.len()).filter(|&two| is_ahead(&parts[two])).collect();
        parts[one].rather_under = ahead;
    }
}

/// Fills height after height from the top with parts that do not touch; returns how many it took.
fn stack(parts: &mut [Part]) -> usize {
    let mut left: Vec<usize> = (0..parts.len()).collect();
    left.sort_by_key(|&n| parts[n].ends());
    let mut height = 0;
    while let Some(&first) = left.first() {
        let mut chosen = that_fit(parts, &left, height, true);
        if chosen.is_empty() {
            // preferences that bite each other: one part regardless of them
            chosen = that_fit(parts, &left, height, false);
            chosen.truncate(1);
        }
        if chosen.is_empty() {
            chosen.push(first);
        }
        chosen.iter().for_each(|&n| parts[n].height = Some(height));
        left.retain(|&n| parts[n].height.is_none());
        height += 1;
    }
    height
}

/// Parts, of those `left` in order from the left, that may share a height and whose fellows lie higher already.
fn that_fit(parts: &[Part], left: &[usize], height: usize, is_strict: bool) -> Vec<usize> {
    let is_higher = |&other: &usize| parts[other].height.is_some_and(|its| its < height);
    let mut chosen: Vec<usize> = Vec::new();
    for &n in left {
        let part = &parts[n];
        let is_room = chosen.last().is_none_or(|&last| parts[last].ends().1 < part.ends().0);
        let may = part.under.iter().all(is_higher);
        if is_room && may && (!is_strict || part.rather_under.iter().all(is_higher)) {
            chosen.push(n);
        }
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::{Bend, bends};

    #[test]
    fn two_lines_that_change_places_are_freed_by_a_column_of_their_own() {
        let (led, heights) = bends(&[(0, 10), (10, 0)]);
        assert_eq!(heights, 3);
        let (Bend::Twice { first, column, second }, Bend::Once(other)) = (led[0], led[1]) else {
            panic!("{led:?}");
        };
        assert!(first < other && other < second, "each turns off above the line that arrives where it left");
        assert!(![0, 10].contains(&column));
    }

    #[test]
    fn lines_that_lead_the_same_way_do_not_cross_needlessly() {
        let (led, _) = bends(&[(0, 10), (5, 20)]);
        assert_eq!(led, [Bend::Once(1), Bend::Once(0)]);
        assert_eq!(bends(&[(3, 3), (9, 9)]), (vec![Bend::Straight; 2], 0));
    }
}
