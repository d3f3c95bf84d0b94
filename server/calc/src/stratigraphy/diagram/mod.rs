//! The stratigraphic diagram as numbers: boxes, lines and bands with coordinates, for anything that can draw.
//!
//! Later is above earlier. Rows of boxes lie in bands, one for each phase; between rows is room for lines, each horizontal
//! part on its own height. Lines that have to pass a row do so in their own place between the boxes, so no line ever
//! touches a box that is not its own, and no two lines lie on each other. The steps are those of Sugiyama, Tagawa and Toda
//! 1981, "Methods for visual understanding of hierarchical system structures" (from memory). Nothing is left to chance:
//! the same input gives the same diagram.

use super::Graph;
use crate::error::CalcError;
use serde::Serialize;

mod gather;
mod order;
mod phases;
mod place;
mod route;
mod rows;
mod sheet;
mod tracks;

use phases::Phases;
use route::Routes;
use sheet::Sheet;

/// Height of a box, px.
pub const BOX_HEIGHT: i32 = 30;
/// Width taken for each character of a label, px: enough for digits and capitals of 13 px.
pub const CHARACTER_WIDTH: i32 = 8;
/// Room kept free at the head of each band for the name of its phase, px.
pub const BAND_HEAD: i32 = 24;
/// More contexts than this are not drawn: choose a part of the site.
pub const MOST_CONTEXTS: usize = 2_000;
/// More pieces of line from row to row than this are not drawn.
const MOST_STEPS: usize = 200_000;

/// What the diagram shows of a context.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    pub label: String,
    /// Place of its phase in the sequence, later greater; `None` without a phase.
    pub phase: Option<i64>,
}

/// A context, or several found to be the same. Coordinates are px from the top left corner, y downwards.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ContextBox {
    /// Places in the list of contexts, in order.
    pub contexts: Vec<usize>,
    /// Their labels, joined by " = ".
    pub label: String,
    pub x: i32,
    pub y: i32,
    pub width: i32,
    pub height: i32,
    /// Their phase; `None` without one or with different ones.
    pub phase: Option<i64>,
    /// Whether the relations keep it out of the band of its phase: see [`Diagram::phase_conflicts`].
    pub is_out_of_phase: bool,
    /// Whether it stands in one of [`Diagram::contradictions`].
    pub is_contradictory: bool,
}

/// A relation drawn, from the bottom of the later box to the top of the earlier. Successive points differ in x or in y.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Line {
    pub later: usize,
    pub earlier: usize,
    pub points: Vec<(i32, i32)>,
}

/// A band over the whole width; bands follow each other without gap, later above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Band {
    /// `None` for contexts that have no phase and no relation to one that has.
    pub phase: Option<i64>,
    pub top: i32,
    pub bottom: i32,
}

/// The relations say that `later` is later than `earlier`, directly or by way of contexts without a phase, but its phase
/// is the earlier one. Two contexts that are the same but in different phases are named so too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct PhaseConflict {
    pub later: usize,
    pub earlier: usize,
}

/// A diagram ready to be drawn.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagram {
    pub width: i32,
    pub height: i32,
    pub boxes: Vec<ContextBox>,
    /// The relations that say something new; those within a contradiction are not drawn.
    pub lines: Vec<Line>,
    pub bands: Vec<Band>,
    /// To be listed beside the diagram. Relations win: a context that they keep out of its phase is drawn where they put
    /// it.
    pub phase_conflicts: Vec<PhaseConflict>,
    /// Sets of contexts that lead to each other, as of [`Graph::contradictions`]; drawn side by side.
    pub contradictions: Vec<Vec<usize>>,
    /// Relations left out because others say them.
    pub redundant: Vec<(usize, usize)>,
}

/// Lays out a diagram; `entries` are the contexts of the graph in their order.
///
/// # Errors
/// `Unsuitable`: none, fewer or more entries than contexts, or more than [`MOST_CONTEXTS`] (field `contexts`), relations
/// too tangled to be drawn on one sheet (`later_than`).
///
/// ```
/// use calc::stratigraphy::Graph;
/// use calc::stratigraphy::diagram::{Entry, draw};
/// let entry = |label: &str, phase| Entry { label: label.to_owned(), phase: Some(phase) };
/// let graph = Graph::new(3, &[(0, 1), (1, 2), (0, 2)], &[])?;
/// let diagram = draw(&graph, &[entry("101", 2), entry("104", 2), entry("112", 1)])?;
/// assert_eq!(diagram.lines.len(), 2, "that 101 is later than 112 is already said");
/// assert!(diagram.boxes[0].y < diagram.boxes[1].y && diagram.boxes[1].y < diagram.boxes[2].y);
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn draw(graph: &Graph, entries: &[Entry]) -> Result<Diagram, CalcError> {
    check(graph, entries)?;
    let reduction = graph.reduction();
    let below = kept_between_groups(graph, &reduction.kept);
    let phases = phases::phases(graph, &below, entries);
    let rows = rows::rows(&below, &phases);
    let length =
        |&(later, earlier): &(usize, usize)| rows[graph.group_of(earlier)] - rows[graph.group_of(later)];
    if reduction.kept.iter().map(length).sum::<usize>() > MOST_STEPS {
        let sentence = "The relations are too long and too many for one sheet: choose a part of the site.";
        return Err(CalcError::unsuitable("later_than", sentence));
    }
    let labels = labels(graph, entries);
    let mut sheet = Sheet::new(graph, &rows, &reduction.kept);
    order::reduce_crossings(&mut sheet);
    place::set_across(&mut sheet, &labels);
    let routes = route::route(&sheet, &rows, &phases);
    let mut boxes = boxes(graph, &sheet, &routes);
    describe(&mut boxes, graph, entries, &phases);
    Ok(Diagram {
        width: routes.width,
        height: routes.height,
        boxes,
        lines: routes.lines,
        bands: routes.bands,
        phase_conflicts: phases.conflicts,
        contradictions: graph.contradictions(),
        redundant: reduction.redundant,
    })
}

fn check(graph: &Graph, entries: &[Entry]) -> Result<(), CalcError> {
    let sentence = match entries.len() {
        0 => "There is no context to draw.".to_owned(),
        count if count != graph.count() => {
            format!("{count} contexts are described, but the relations are about {}.", graph.count())
        }
        count if count > MOST_CONTEXTS => {
            format!("{count} contexts are too many for one sheet; at most {MOST_CONTEXTS} are drawn.")
        }
        _ => return Ok(()),
    };
    Err(CalcError::unsuitable("contexts", sentence))
}

/// For each group of contexts the groups that a line leads down to, in order.
fn kept_between_groups(graph: &Graph, kept: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let mut below = vec![Vec::new(); graph.groups().len()];
    for &(later, earlier) in kept {
        below[graph.group_of(later)].push(graph.group_of(earlier));
    }
    for list in &mut below {
        list.sort_unstable();
        list.dedup();
    }
    below
}

/// For each first context its label with those of all that are the same; empty for the others.
fn labels(graph: &Graph, entries: &[Entry]) -> Vec<String> {
    let mut labels = vec![String::new(); graph.count()];
    for first in graph.firsts() {
        let all: Vec<&str> = graph.same(first).iter().map(|&one| entries[one].label.as_str()).collect();
        labels[first] = all.join(" = ");
    }
    labels
}

/// The boxes in their places, not yet described.
fn boxes(graph: &Graph, sheet: &Sheet, routes: &Routes) -> Vec<ContextBox> {
    let nodes = sheet.nodes.iter().filter_map(|node| Some((node, node.context?)));
    nodes
        .map(|(node, first)| ContextBox {
            contexts: graph.same(first).to_vec(),
            label: String::new(),
            x: routes.px(node.x - node.half),
            y: routes.tops[node.row],
            width: 2 * node.half * place::CELL,
            height: BOX_HEIGHT,
            phase: None,
            is_out_of_phase: false,
            is_contradictory: false,
        })
        .collect()
}

fn describe(boxes: &mut [ContextBox], graph: &Graph, entries: &[Entry], phases: &Phases) {
    let labels = labels(graph, entries);
    let mut is_wrong = vec![false; graph.count()];
    graph.contradictions().into_iter().flatten().for_each(|one| is_wrong[one] = true);
    for one in boxes {
        let first = one.contexts[0];
        let its_phases = || one.contexts.iter().map(|&context| entries[context].phase);
        let drawn_in = phases.bands[phases.band[graph.group_of(first)]];
        one.is_out_of_phase = its_phases().flatten().any(|phase| Some(phase) != drawn_in);
        one.phase = phases::common(its_phases());
        one.is_contradictory = is_wrong[first];
        one.label.clone_from(&labels[first]);
    }
}
