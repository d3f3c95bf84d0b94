//! Where nodes lie across the sheet, in cells.
use super::sheet::{Node, Sheet};
use super::{CHARACTER_WIDTH, gather};

/// Side of a cell, px. Lines leave and arrive only on whole cells, so two of them are never closer than this.
pub(super) const CELL: i32 = 6;
/// Cells between two lines at the same box, or two that pass a row side by side.
const BETWEEN_LINES: i32 = 2;
/// Cells between two boxes.
const BETWEEN_BOXES: i32 = 3;
/// The least half width of a box, cells.
const LEAST_HALF: i32 = 4;
/// Passes down and up.
const PASSES: usize = 8;

/// Gives each node its half width and its centre, and each step its place at the edges of boxes. The order within rows
/// stays. `labels` holds the label of each first context.
pub(super) fn set_across(sheet: &mut Sheet, labels: &[String]) {
    set_ports(sheet);
    for node in &mut sheet.nodes {
        let Some(context) = node.context else { continue };
        let text = labels[context].chars().count() as i32 * CHARACTER_WIDTH + 2 * CELL;
        let lines = node.up.len().max(node.down.len()) as i32;
        node.half = (text + 2 * CELL - 1).div_euclid(2 * CELL).max(lines).max(LEAST_HALF);
    }
    let count = sheet.rows.len();
    for row in 0..count {
        for (n, offset) in offsets(sheet, row).into_iter().enumerate() {
            let node = sheet.rows[row][n];
            sheet.nodes[node].x = offset;
        }
    }
    for pass in 0..PASSES {
        let is_downwards = pass % 2 == 0;
        for n in 0..count {
            settle(sheet, if is_downwards { n } else { count - 1 - n }, is_downwards);
        }
    }
    gather::close_gaps(sheet);
}

/// Spreads the lines of each box along its edges, in the order of where they lead.
fn set_ports(sheet: &mut Sheet) {
    let places = sheet.places();
    let offset = |n: usize, count: usize| (2 * n as i32 - (count as i32 - 1)) * BETWEEN_LINES / 2;
    for node in &sheet.nodes {
        let mut down = node.down.clone();
        down.sort_by_key(|&step| places[sheet.steps[step].lower]);
        for (n, &step) in down.iter().enumerate() {
            sheet.steps[step].leaves = offset(n, down.len());
        }
        let mut up = node.up.clone();
        up.sort_by_key(|&step| places[sheet.steps[step].upper]);
        for (n, &step) in up.iter().enumerate() {
            sheet.steps[step].arrives = offset(n, up.len());
        }
    }
}

/// How far the centre of each node of a row lies at least from that of the first.
fn offsets(sheet: &Sheet, row: usize) -> Vec<i32> {
    let nodes = sheet.rows[row].iter().map(|&node| &sheet.nodes[node]);
    let mut before: Option<(&Node, i32)> = None;
    nodes
        .map(|node| {
            let offset = before.map_or(0, |(left, offset)| offset + apart(left, node));
            before = Some((node, offset));
            offset
        })
        .collect()
}

/// The least distance between the centres of neighbours.
pub(super) fn apart(left: &Node, right: &Node) -> i32 {
    let is_boxes = left.context.is_some() && right.context.is_some();
    left.half + right.half + if is_boxes { BETWEEN_BOXES } else { BETWEEN_LINES }
}

/// Neighbours pushed together.
struct Block {
    /// Wishes for the place of the row's first node, each with its weight, sorted.
    wishes: Vec<(i32, i32)>,
    nodes: usize,
    /// Where that node would lie for these neighbours.
    at: i32,
}

impl Block {
    fn new(mut wishes: Vec<(i32, i32)>, nodes: usize) -> Self {
        // two sorted runs: a stable sort merges them in one pass
        wishes.sort();
        let at = middle(&wishes);
        Self { wishes, nodes, at }
    }

    fn join(mut self, other: Self) -> Self {
        self.wishes.extend(other.wishes);
        Self::new(self.wishes, self.nodes + other.nodes)
    }
}

/// The lower weighted median.
fn middle(wishes: &[(i32, i32)]) -> i32 {
    let total: i32 = wishes.iter().map(|wish| wish.1).sum();
    let mut so_far = 0;
    let reached = wishes.iter().find(|wish| {
        so_far += wish.1;
        2 * so_far >= total
    });
    reached.map_or(0, |wish| wish.0)
}

/// Moves the nodes of a row so that the steps from the row before bend as little as possible altogether, the order and
/// the distances kept: pooling of neighbours that wish to pass each other (isotonic regression by absolute deviations,
/// Barlow and others 1972, from memory). Whole cells throughout, so what can be straight is straight.
fn settle(sheet: &mut Sheet, row: usize, is_downwards: bool) {
    let offsets = offsets(sheet, row);
    let mut blocks: Vec<Block> = Vec::new();
    for (&node, offset) in sheet.rows[row].iter().zip(&offsets) {
        let mut wishes = wishes(sheet, node, is_downwards);
        wishes.iter_mut().for_each(|wish| wish.0 -= offset);
        let mut block = Block::new(wishes, 1);
        while let Some(left) = blocks.pop_if(|left| left.at > block.at) {
            block = left.join(block);
        }
        blocks.push(block);
    }
    let starts = blocks.iter().flat_map(|block| std::iter::repeat_n(block.at, block.nodes));
    for (n, (start, offset)) in starts.zip(offsets).enumerate() {
        let node = sheet.rows[row][n];
        sheet.nodes[node].x = start + offset;
    }
}

/// Where a node would lie if each of its steps in that direction were straight; where it lies, if it has none.
fn wishes(sheet: &Sheet, node: usize, is_downwards: bool) -> Vec<(i32, i32)> {
    let here = &sheet.nodes[node];
    let steps = if is_downwards { &here.up } else { &here.down };
    if steps.is_empty() {
        return vec![(here.x, 1)];
    }
    let wish = |&step: &usize| {
        let step = &sheet.steps[step];
        let (other, shift) = match is_downwards {
            true => (&sheet.nodes[step.upper], step.leaves - step.arrives),
            false => (&sheet.nodes[step.lower], step.arrives - step.leaves),
        };
        // long lines are to be straight before all else
        let weight = match (here.context, other.context) {
            (None, None) => 8,
            (Some(_), Some(_)) => 1,
            _ => 2,
        };
        (other.x + shift, weight)
    };
    steps.iter().map(wish).collect()
}
