//! The order of nodes within their rows, with few crossings.
use super::gather;
use super::sheet::Sheet;

/// Sweeps down and up; more bring next to nothing.
const SWEEPS: usize = 24;
/// Sweeps without a gain after which the search ends.
const PATIENCE: usize = 6;

/// Orders all rows so that lines cross seldom: what belongs together first side by side, then row by row by the mean place
/// of what it is joined to, down and up in turn, then neighbours exchanged where it helps. The best order met is kept.
pub(super) fn reduce_crossings(sheet: &mut Sheet) {
    start_together(sheet);
    let (mut best, mut fewest) = (sheet.rows.clone(), crossings(sheet));
    let mut since = 0;
    for sweep in 0..SWEEPS {
        if fewest == 0 || since == PATIENCE {
            break;
        }
        sort_rows(sheet, sweep % 2 == 0);
        exchange(sheet);
        let count = crossings(sheet);
        since += 1;
        if count < fewest {
            (best, fewest, since) = (sheet.rows.clone(), count, 0);
        }
    }
    sheet.rows = best;
    gather::loose_last(sheet);
}

/// Rows in the order in which a walk along lines, from the top left, meets their nodes.
fn start_together(sheet: &mut Sheet) {
    let mut is_met = vec![false; sheet.nodes.len()];
    let mut rows = vec![Vec::new(); sheet.rows.len()];
    for start in sheet.rows.iter().flatten().copied() {
        let mut open = vec![start];
        while let Some(node) = open.pop() {
            if std::mem::replace(&mut is_met[node], true) {
                continue;
            }
            rows[sheet.nodes[node].row].push(node);
            let near: Vec<usize> = sheet.lowers(node).chain(sheet.uppers(node)).collect();
            open.extend(near.into_iter().rev().filter(|&other| !is_met[other]));
        }
    }
    sheet.rows = rows;
}

/// Sorts each row by the mean place of its neighbours in the row before. Nodes without any stay where they are.
fn sort_rows(sheet: &mut Sheet, is_downwards: bool) {
    let mut places = sheet.places();
    let count = sheet.rows.len();
    for n in 1..count {
        let row = if is_downwards { n } else { count - 1 - n };
        let mean = |node: usize| -> Option<f64> {
            let near: Vec<usize> =
                if is_downwards { sheet.uppers(node).collect() } else { sheet.lowers(node).collect() };
            let sum: usize = near.iter().map(|&other| places[other]).sum();
            (!near.is_empty()).then(|| sum as f64 / near.len() as f64)
        };
        let means: Vec<(usize, Option<f64>)> =
            sheet.rows[row].iter().map(|&node| (node, mean(node))).collect();
        let mut moving: Vec<(usize, f64)> =
            means.iter().filter_map(|&(node, mean)| Some((node, mean?))).collect();
        moving.sort_by(|one, two| one.1.total_cmp(&two.1));
        let mut moving = moving.into_iter();
        let sorted: Vec<usize> = means
            .iter()
            .map(|&(node, mean)| mean.and_then(|_| moving.next()).map_or(node, |(other, _)| other))
            .collect();
        sorted.iter().enumerate().for_each(|(place, &node)| places[node] = place);
        sheet.rows[row] = sorted;
    }
}

/// Exchanges neighbours wherever fewer lines then cross, once through all rows.
fn exchange(sheet: &mut Sheet) {
    let mut places = sheet.places();
    for row in 0..sheet.rows.len() {
        let sorted = |near: &mut dyn Iterator<Item = usize>| {
            let mut list: Vec<usize> = near.map(|other| places[other]).collect();
            list.sort_unstable();
            list
        };
        let mut nodes: Vec<(usize, Vec<usize>, Vec<usize>)> = sheet.rows[row]
            .iter()
            .map(|&node| (node, sorted(&mut sheet.uppers(node)), sorted(&mut sheet.lowers(node))))
            .collect();
        for place in 1..nodes.len() {
            let ((_, left_up, left_down), (_, up, down)) = (&nodes[place - 1], &nodes[place]);
            let now = inversions(left_up, up) + inversions(left_down, down);
            let then = inversions(up, left_up) + inversions(down, left_down);
            if then < now {
                nodes.swap(place - 1, place);
            }
        }
        let order: Vec<usize> = nodes.into_iter().map(|(node, _, _)| node).collect();
        order.iter().enumerate().for_each(|(place, &node)| places[node] = place);
        sheet.rows[row] = order;
    }
}

/// Pairs of which the one from `left` is greater than the one from `right`; both sorted.
fn inversions(left: &[usize], right: &[usize]) -> usize {
    let mut passed = 0;
    let each = left.iter().map(|one| {
        while right.get(passed).is_some_and(|other| other < one) {
            passed += 1;
        }
        passed
    });
    each.sum()
}

/// Crossings of steps over the whole sheet.
fn crossings(sheet: &Sheet) -> usize {
    let places = sheet.places();
    sheet.rows.iter().map(|row| crossings_below(sheet, row, &places)).sum()
}

/// Crossings of the steps that leave a row: pairs in the opposite order below, counted with a binary indexed tree
/// (Fenwick 1994, from memory).
fn crossings_below(sheet: &Sheet, row: &[usize], places: &[usize]) -> usize {
    let mut ends: Vec<usize> = Vec::new();
    for &node in row {
        let mut own: Vec<usize> = sheet.lowers(node).map(|other| places[other]).collect();
        own.sort_unstable();
        ends.extend(own);
    }
    let size = ends.iter().max().map_or(0, |last| last + 1);
    let mut tree = vec![0_usize; size + 1];
    let mut crossings = 0;
    for (before, &end) in ends.iter().enumerate() {
        let (mut upto, mut not_beyond) = (end + 1, 0);
        while upto > 0 {
            not_beyond += tree[upto];
            upto &= upto - 1;
        }
        crossings += before - not_beyond;
        let mut at = end + 1;
        while at <= size {
            tree[at] += 1;
            at += at & at.wrapping_neg();
        }
    }
    crossings
}
