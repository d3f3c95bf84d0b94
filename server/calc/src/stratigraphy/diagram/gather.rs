//! Bringing together what no line joins, so that the sheet has no empty middle.
use super::place::apart;
use super::sheet::Sheet;
use petgraph::unionfind::UnionFind;

/// Contexts without any line go to the right end of their rows: there they part nobody.
pub(super) fn loose_last(sheet: &mut Sheet) {
    let nodes = &sheet.nodes;
    for row in &mut sheet.rows {
        row.sort_by_key(|&node| nodes[node].up.is_empty() && nodes[node].down.is_empty());
    }
}

/// Moves each set of joined nodes as a whole to the left, as far as what lies left of it allows.
pub(super) fn close_gaps(sheet: &mut Sheet) {
    let mut joined = UnionFind::<usize>::new(sheet.nodes.len());
    for step in &sheet.steps {
        joined.union(step.upper, step.lower);
    }
    let set = joined.into_labeling();
    let mut members: Vec<Vec<(usize, Option<usize>)>> = vec![Vec::new(); sheet.nodes.len()];
    for row in &sheet.rows {
        let mut left = None;
        for &node in row {
            members[set[node]].push((node, left));
            left = Some(node);
        }
    }
    members.retain(|nodes| !nodes.is_empty());
    let leftmost = |sheet: &Sheet, nodes: &[(usize, Option<usize>)]| {
        nodes.iter().map(|&(node, _)| sheet.nodes[node].x - sheet.nodes[node].half).min().unwrap_or(0)
    };
    let largest = members.iter().max_by_key(|nodes| nodes.len());
    let edge = largest.map_or(0, |nodes| leftmost(sheet, nodes));
    members.sort_by_cached_key(|nodes| leftmost(sheet, nodes));
    for nodes in &members {
        let room = nodes.iter().filter_map(|&(node, left)| {
            let here = &sheet.nodes[node];
            match left {
                Some(left) if set[left] == set[node] => None,
                Some(left) => Some(here.x - sheet.nodes[left].x - apart(&sheet.nodes[left], here)),
                None => Some(here.x - here.half - edge),
            }
        });
        let shift = room.min().unwrap_or(0).max(0);
        nodes.iter().for_each(|&(node, _)| sheet.nodes[node].x -= shift);
    }
}
