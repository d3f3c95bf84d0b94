//! Rows of boxes and of places where lines pass, joined from row to row.
use crate::stratigraphy::Graph;

/// A box, or the place where a line passes a row.
pub(super) struct Node {
    pub row: usize,
    /// The first context of the box; `None` where a line passes.
    pub context: Option<usize>,
    /// Steps that arrive from the row above, and that leave for the row below.
    pub up: Vec<usize>,
    pub down: Vec<usize>,
    /// Centre and half width, in cells.
    pub x: i32,
    pub half: i32,
}

/// A piece of a line from one row to the next, and how far from the centre of its nodes it leaves and arrives, in cells.
pub(super) struct Step {
    pub upper: usize,
    pub lower: usize,
    pub leaves: i32,
    pub arrives: i32,
}

/// A whole line: its contexts and its steps from top to bottom.
pub(super) struct Chain {
    pub later: usize,
    pub earlier: usize,
    pub steps: Vec<usize>,
}

pub(super) struct Sheet {
    pub nodes: Vec<Node>,
    pub steps: Vec<Step>,
    pub chains: Vec<Chain>,
    /// For each row its nodes from left to right.
    pub rows: Vec<Vec<usize>>,
}

impl Sheet {
    /// The sheet with a box for each first context and a chain for each line, in no particular order across. `rows` holds
    /// the row of each group.
    pub(super) fn new(graph: &Graph, rows: &[usize], kept: &[(usize, usize)]) -> Self {
        let count = rows.iter().max().map_or(0, |last| last + 1);
        let mut sheet =
            Self { nodes: Vec::new(), steps: Vec::new(), chains: Vec::new(), rows: vec![Vec::new(); count] };
        let mut node = vec![0; graph.count()];
        for first in graph.firsts() {
            node[first] = sheet.add(rows[graph.group_of(first)], Some(first));
        }
        for &(later, earlier) in kept {
            let (mut last, lower) = (node[later], node[earlier]);
            let mut steps = Vec::new();
            for row in sheet.nodes[last].row + 1..sheet.nodes[lower].row {
                let pass = sheet.add(row, None);
                steps.push(sheet.join(last, pass));
                last = pass;
            }
            steps.push(sheet.join(last, lower));
            sheet.chains.push(Chain { later, earlier, steps });
        }
        sheet
    }

    fn add(&mut self, row: usize, context: Option<usize>) -> usize {
        let node = self.nodes.len();
        self.nodes.push(Node { row, context, up: Vec::new(), down: Vec::new(), x: 0, half: 0 });
        self.rows[row].push(node);
        node
    }

    fn join(&mut self, upper: usize, lower: usize) -> usize {
        let step = self.steps.len();
        self.steps.push(Step { upper, lower, leaves: 0, arrives: 0 });
        self.nodes[upper].down.push(step);
        self.nodes[lower].up.push(step);
        step
    }

    /// The nodes that a node is joined to in the row above.
    pub(super) fn uppers(&self, node: usize) -> impl Iterator<Item = usize> + '_ {
        self.nodes[node].up.iter().map(|&step| self.steps[step].upper)
    }

    /// The nodes that a node is joined to in the row below.
    pub(super) fn lowers(&self, node: usize) -> impl Iterator<Item = usize> + '_ {
        self.nodes[node].down.iter().map(|&step| self.steps[step].lower)
    }

    /// For each node its place in its row.
    pub(super) fn places(&self) -> Vec<usize> {
        let mut places = vec![0; self.nodes.len()];
        for row in &self.rows {
            row.iter().enumerate().for_each(|(place, &node)| places[node] = place);
        }
        places
    }
}
