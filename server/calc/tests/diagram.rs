//! The diagram held to its geometry: what touches, crosses and overlaps is measured on the points themselves.
use calc::stratigraphy::Graph;
use calc::stratigraphy::diagram::{ContextBox, Diagram, Entry, Line, PhaseConflict, draw};
use chance::Chance;
use std::collections::BTreeSet;
use std::time::Instant;

mod chance;

fn entries(phases: impl IntoIterator<Item = Option<i64>>) -> Vec<Entry> {
    let numbered = phases.into_iter().enumerate();
    numbered.map(|(n, phase)| Entry { label: (n + 101).to_string(), phase }).collect()
}

/// A site dug by chance: contexts over near ones, now and then over one far below; some the same, some without a phase.
struct Site {
    graph: Graph,
    entries: Vec<Entry>,
    relations: Vec<(usize, usize)>,
}

impl Site {
    fn dug(chance: &mut Chance, contexts: usize, reach: usize, phases: usize) -> Self {
        let mut relations = Vec::new();
        for later in 0..contexts.saturating_sub(1) {
            for _ in 0..chance.below(4) {
                let far = if chance.below(12) == 0 { contexts } else { reach };
                relations.push((later, (later + 1 + chance.below(far)).min(contexts - 1)));
            }
        }
        // neighbours that no relation separates may be found to be the same
        let same: Vec<_> = (0..chance.below(4))
            .map(|_| chance.below(contexts))
            .map(|n| (n, (n + 1).min(contexts - 1)))
            .collect();
        let phase = |n: usize, chance: &mut Chance| {
            let right = phases - 1 - n * phases / contexts;
            match chance.below(20) {
                0 => Some(chance.below(phases) as i64),
                1..4 => None,
                _ => Some(right as i64),
            }
        };
        let entries = entries((0..contexts).map(|n| if phases == 0 { None } else { phase(n, chance) }));
        Self { graph: Graph::new(contexts, &relations, &same).expect("a graph"), entries, relations }
    }
}

fn segments(line: &Line) -> impl Iterator<Item = ((i32, i32), (i32, i32))> + '_ {
    line.points.windows(2).map(|pair| (pair[0].min(pair[1]), pair[0].max(pair[1])))
}

fn span(values: (i32, i32), others: (i32, i32)) -> bool {
    values.0 <= others.1 && others.0 <= values.1
}

fn touches(one: &ContextBox, ((x0, y0), (x1, y1)): ((i32, i32), (i32, i32))) -> bool {
    span((one.x, one.x + one.width), (x0, x1)) && span((one.y, one.y + one.height), (y0, y1))
}

fn no_boxes_overlap(diagram: &Diagram) {
    for (n, one) in diagram.boxes.iter().enumerate() {
        let is_inside = one.x >= 0 && one.y >= 0 && one.x + one.width <= diagram.width;
        assert!(is_inside && one.y + one.height <= diagram.height, "{one:?}");
        assert!(one.width >= one.label.chars().count() as i32 * 8, "{one:?}");
        for other in &diagram.boxes[n + 1..] {
            let corners = ((other.x, other.y), (other.x + other.width, other.y + other.height));
            assert!(!touches(one, corners), "{one:?} {other:?}");
        }
    }
}

fn lines_keep_clear_of_boxes(diagram: &Diagram) {
    for line in &diagram.lines {
        let (first, last) = (line.points[0], line.points[line.points.len() - 1]);
        for pair in line.points.windows(2) {
            assert!((pair[0].0 == pair[1].0) != (pair[0].1 == pair[1].1), "{line:?}");
            assert!(pair[0].1 <= pair[1].1, "a line never rises: {line:?}");
        }
        for one in &diagram.boxes {
            let is_later = one.contexts.contains(&line.later);
            let is_earlier = one.contexts.contains(&line.earlier);
            if is_later {
                assert!(first.1 == one.y + one.height && one.x < first.0 && first.0 < one.x + one.width);
            }
            if is_earlier {
                assert!(last.1 == one.y && one.x < last.0 && last.0 < one.x + one.width);
            }
            let touching = segments(line).filter(|segment| touches(one, *segment)).count();
            assert_eq!(touching, usize::from(is_later) + usize::from(is_earlier), "{line:?} {one:?}");
        }
    }
}

/// Two lines may cross, but never run on each other nor meet at a corner, which would read as a junction.
fn lines_keep_clear_of_lines(diagram: &Diagram) {
    for (n, one) in diagram.lines.iter().enumerate() {
        for other in &diagram.lines[n + 1..] {
            for (a, b) in segments(one) {
                for (c, d) in segments(other) {
                    let is_parallel = (a.0 == b.0) == (c.0 == d.0);
                    let meets = span((a.0, b.0), (c.0, d.0)) && span((a.1, b.1), (c.1, d.1));
                    assert!(!(is_parallel && meets), "{one:?} {other:?}");
                    let is_corner = |p: (i32, i32)| [a, b, c, d].contains(&p);
                    let cross = if a.0 == b.0 { (a.0, c.1) } else { (c.0, a.1) };
                    assert!(is_parallel || !meets || !is_corner(cross), "{one:?} {other:?}");
                }
            }
        }
    }
}

fn later_is_above(diagram: &Diagram) {
    for line in &diagram.lines {
        let y = |context: usize| {
            diagram.boxes.iter().find(|one| one.contexts.contains(&context)).expect("a box").y
        };
        assert!(y(line.later) < y(line.earlier), "{line:?}");
    }
}

fn bands_hold_their_phases(diagram: &Diagram) {
    assert_eq!(diagram.bands[0].top, 0);
    assert_eq!(diagram.bands.last().map_or(0, |band| band.bottom), diagram.height);
    for pair in diagram.bands.windows(2) {
        assert_eq!(pair[0].bottom, pair[1].top);
        assert!(pair[1].phase.is_none() || pair[0].phase > pair[1].phase, "{:?}", diagram.bands);
    }
    for one in &diagram.boxes {
        let holds = |top: i32, bottom: i32| top < one.y && one.y + one.height < bottom;
        let band = diagram.bands.iter().find(|band| holds(band.top, band.bottom)).expect("a band");
        if one.phase.is_some() {
            assert_eq!(one.is_out_of_phase, one.phase != band.phase, "{one:?}");
        }
    }
}

fn is_sound(site: &Site) -> Diagram {
    let diagram = draw(&site.graph, &site.entries).expect("a diagram");
    no_boxes_overlap(&diagram);
    lines_keep_clear_of_boxes(&diagram);
    lines_keep_clear_of_lines(&diagram);
    later_is_above(&diagram);
    bands_hold_their_phases(&diagram);
    let drawn: BTreeSet<_> = diagram.lines.iter().map(|line| (line.later, line.earlier)).collect();
    let sorted = site.graph.reduction();
    assert_eq!(
        drawn,
        sorted.kept.iter().copied().collect(),
        "what says something new is drawn, nothing else"
    );
    assert_eq!(diagram.redundant, sorted.redundant);
    let shown: BTreeSet<usize> = diagram.boxes.iter().flat_map(|one| one.contexts.clone()).collect();
    assert_eq!(shown.len(), site.entries.len(), "every context is shown once");
    if diagram.phase_conflicts.is_empty() && diagram.contradictions.is_empty() {
        assert!(
            diagram.boxes.iter().all(|one| !one.is_out_of_phase),
            "without conflict everything is in its band"
        );
    }
    diagram
}

#[test]
fn small_sites_of_every_kind_are_drawn_soundly() {
    let mut chance = Chance::new(31);
    for round in 0..150 {
        let contexts = 1 + chance.below(40);
        let reach = 1 + chance.below(8);
        let phases = [0, 1, 3, 6][round % 4];
        is_sound(&Site::dug(&mut chance, contexts, reach, phases));
    }
}

#[test]
fn contradictory_relations_are_drawn_around() {
    let mut chance = Chance::new(32);
    for _ in 0..60 {
        let contexts = 3 + chance.below(30);
        let pair = |chance: &mut Chance| (chance.below(contexts), chance.below(contexts));
        let relations: Vec<_> = (0..contexts).map(|_| pair(&mut chance)).collect();
        let phases: Vec<_> = (0..contexts).map(|n| Some((n % 3) as i64)).collect();
        let graph = Graph::new(contexts, &relations, &[]).unwrap();
        let diagram = is_sound(&Site { graph: graph.clone(), entries: entries(phases), relations });
        assert_eq!(diagram.contradictions, graph.contradictions());
        for one in &diagram.boxes {
            let is_listed = diagram.contradictions.iter().flatten().any(|other| one.contexts.contains(other));
            assert_eq!(one.is_contradictory, is_listed);
        }
    }
}

#[test]
fn three_hundred_contexts_are_drawn_soundly_and_at_once() {
    let mut chance = Chance::new(33);
    for (reach, phases) in [(8, 5), (30, 6), (3, 4), (100, 0)] {
        let site = Site::dug(&mut chance, 300, reach, phases);
        assert!(site.relations.len() > 300);
        let begun = Instant::now();
        let diagram = draw(&site.graph, &site.entries).expect("a diagram");
        let taken = begun.elapsed();
        assert_eq!(is_sound(&site), diagram, "the same site gives the same diagram");
        let allowed = if cfg!(debug_assertions) { 5_000 } else { 200 };
        assert!(taken.as_millis() < allowed, "{taken:?}");
    }
}

#[test]
fn contexts_without_relations_fill_a_sheet_not_a_strip() {
    let site =
        Site { graph: Graph::new(300, &[], &[]).unwrap(), entries: entries([None; 300]), relations: vec![] };
    let diagram = is_sound(&site);
    assert!(diagram.width < 3 * diagram.height, "{} × {}", diagram.width, diagram.height);
}

#[test]
fn a_plain_sequence_is_drawn_as_one_straight_line() {
    let relations: Vec<_> = (0..9).map(|n| (n, n + 1)).collect();
    let site =
        Site { graph: Graph::new(10, &relations, &[]).unwrap(), entries: entries([None; 10]), relations };
    let diagram = is_sound(&site);
    assert!(diagram.lines.iter().all(|line| line.points.len() == 2), "no line bends");
}

#[test]
fn what_no_line_joins_stands_close_beside_the_rest() {
    // a fan of ten under one, a sequence of three, and one alone
    let relations: Vec<_> = (1..=10).map(|n| (0, n)).chain([(11, 12), (12, 13)]).collect();
    let graph = Graph::new(15, &relations, &[]).unwrap();
    let diagram = is_sound(&Site { graph, entries: entries([None; 15]), relations });
    let fan = diagram.boxes.iter().filter(|one| (1..=10).contains(&one.contexts[0]));
    let right = fan.map(|one| one.x + one.width).max().unwrap();
    assert!(diagram.width <= right + 3 * 66, "the rest takes the width of three boxes: {}", diagram.width);
}

/// 101 (phase 1) over 102 (phase 2): the relation says later, the phase earlier.
#[test]
fn phases_in_the_wrong_order_are_listed_and_drawn_by_the_relations() {
    let relations = vec![(0, 1), (1, 2), (2, 3)];
    let graph = Graph::new(4, &relations, &[]).unwrap();
    let site = Site { graph, entries: entries([Some(1), Some(2), None, Some(2)]), relations };
    let diagram = is_sound(&site);
    assert_eq!(diagram.phase_conflicts, [PhaseConflict { later: 0, earlier: 1 }]);
    let out: Vec<_> =
        diagram.boxes.iter().filter(|one| one.is_out_of_phase).map(|one| &one.contexts[..]).collect();
    assert_eq!(out, [&[0][..]], "the one slip gives way, not the three below it");
    assert_eq!(diagram.bands.len(), 1);
}

#[test]
fn a_conflict_is_found_across_contexts_without_a_phase() {
    let relations = vec![(0, 1), (1, 2)];
    let graph = Graph::new(3, &relations, &[]).unwrap();
    let diagram = is_sound(&Site { graph, entries: entries([Some(1), None, Some(2)]), relations });
    assert_eq!(diagram.phase_conflicts, [PhaseConflict { later: 0, earlier: 2 }]);
}

#[test]
fn contexts_that_are_the_same_share_a_box() {
    let relations = vec![(0, 1), (2, 3)];
    let graph = Graph::new(4, &relations, &[(1, 2)]).unwrap();
    let diagram =
        is_sound(&Site { graph, entries: entries([Some(2), Some(2), Some(1), Some(1)]), relations });
    let shared = diagram.boxes.iter().find(|one| one.contexts == [1, 2]).expect("one box");
    assert_eq!(shared.label, "102 = 103");
    assert_eq!(diagram.phase_conflicts, [PhaseConflict { later: 1, earlier: 2 }]);
}

#[test]
fn what_cannot_be_drawn_is_refused() {
    let graph = Graph::new(2, &[(0, 1)], &[]).unwrap();
    assert_eq!(draw(&graph, &entries([None])).unwrap_err().field(), "contexts");
    let many = Graph::new(2_001, &[], &[]).unwrap();
    assert_eq!(draw(&many, &entries(vec![None; 2_001])).unwrap_err().field(), "contexts");
    let none = Graph::new(0, &[], &[]).unwrap();
    assert_eq!(draw(&none, &[]).unwrap_err().to_string(), "There is no context to draw.");
}
