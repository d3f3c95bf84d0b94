//! The diagram laid out by the calculation crate, ready for its template.
use super::site::Ground;
use crate::links;
use calc::stratigraphy::diagram::{ContextBox, Diagram, Entry, Line};
use std::collections::{BTreeMap, HashMap};

/// The name of a band is repeated so often, px, that it is in sight however far one has scrolled.
const NAME_EVERY: i32 = 900;

/// Everything with coordinates in px.
pub(super) struct Drawing {
    pub width: i32,
    pub height: i32,
    /// Width shown: px, or `100%` where the whole fits the page.
    pub shown: String,
    pub fits: bool,
    pub boxes: Vec<BoxView>,
    pub lines: Vec<String>,
    pub bands: Vec<BandView>,
    pub phase_conflicts: Vec<String>,
}

/// A box that leads to its context.
pub(super) struct BoxView {
    pub id: String,
    pub href: String,
    pub x: i32,
    pub y: i32,
    pub width: i32,
    pub height: i32,
    pub text_x: i32,
    pub text_y: i32,
    pub label: String,
    pub date: String,
    /// The same in words, for whoever does not see the box.
    pub words: String,
    pub is_odd: bool,
}

/// The band of a phase.
pub(super) struct BandView {
    pub y: i32,
    pub height: i32,
    pub name: String,
    pub name_y: i32,
    pub names: Vec<i32>,
    pub is_shaded: bool,
}

/// What stands beside the number in a box.
fn date_in_box(date: &str) -> String {
    format!(" \u{b7} from {}", date.trim_start_matches("AD "))
}

/// What each box says: its number, and the date once for all that are the same.
pub(super) fn entries(shown: &Ground, dates: &[Option<String>]) -> Vec<Entry> {
    let order = phase_order(shown);
    let label = |n: usize| {
        let is_last = shown.graph.same(n).last() == Some(&n);
        let date = dates[n].as_deref().filter(|_| is_last).map(date_in_box).unwrap_or_default();
        shown.contexts[n].number.clone() + &date
    };
    let phase = |n: usize| order.get(shown.contexts[n].phase.as_str()).copied();
    (0..shown.contexts.len()).map(|n| Entry { label: label(n), phase: phase(n) }).collect()
}

/// The phases in order, the later greater: by the number in their names where all have one, otherwise by where the
/// relations put their contexts on average.
fn phase_order(shown: &Ground) -> HashMap<&str, i64> {
    let levels = shown.graph.levels();
    let mut sums: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for (context, level) in shown.contexts.iter().zip(levels) {
        if !context.phase.is_empty() {
            let sum = sums.entry(context.phase.as_str()).or_default();
            *sum = (sum.0 + level, sum.1 + 1);
        }
    }
    let number = |name: &str| -> Option<u64> {
        let digits: String =
            name.chars().skip_while(|c| !c.is_ascii_digit()).take_while(char::is_ascii_digit).collect();
        digits.parse().ok()
    };
    let all_numbered = sums.keys().all(|name| number(name).is_some());
    let mut names: Vec<(&str, (usize, usize))> = sums.into_iter().collect();
    names.sort_by(|(one, a), (other, b)| {
        let by_number =
            if all_numbered { number(one).cmp(&number(other)) } else { std::cmp::Ordering::Equal };
        by_number.then((a.0 * b.1).cmp(&(b.0 * a.1))).then(one.cmp(other))
    });
    names.into_iter().enumerate().map(|(n, (name, _))| (name, n as i64)).collect()
}

impl Drawing {
    /// The drawing of a diagram; a size that is none is taken as 100 %.
    pub(super) fn of(diagram: Diagram, shown: &Ground, (dates, size): (&[Option<String>], &str)) -> Self {
        let percent: i32 = size.parse().ok().filter(|n| (25..=400).contains(n)).unwrap_or(100);
        let fits = size == "fit";
        let names: HashMap<i64, &str> = phase_order(shown).into_iter().map(|(name, n)| (n, name)).collect();
        let number = |n: usize| &shown.contexts[n].number;
        let against = diagram.phase_conflicts.iter().map(|one| {
            let (later, earlier) = (&shown.contexts[one.later], &shown.contexts[one.earlier]);
            if shown.graph.first(one.later) == shown.graph.first(one.earlier) {
                format!(
                    "{} and {} are the same, but in the phases “{}” and “{}”.",
                    later.number, earlier.number, later.phase, earlier.phase
                )
            } else {
                format!(
                    "{} is later than {}, but stands in the earlier phase: “{}” against “{}”.",
                    number(one.later),
                    number(one.earlier),
                    later.phase,
                    earlier.phase
                )
            }
        });
        Self {
            phase_conflicts: against.collect(),
            width: diagram.width,
            height: diagram.height,
            shown: if fits { "100%".into() } else { (diagram.width * percent / 100).to_string() },
            fits,
            boxes: diagram.boxes.iter().map(|one| box_view(one, shown, dates)).collect(),
            lines: diagram.lines.iter().map(path).collect(),
            bands: bands(&diagram, &names),
        }
    }
}

fn box_view(one: &ContextBox, shown: &Ground, dates: &[Option<String>]) -> BoxView {
    let context = &shown.contexts[one.contexts[0]];
    let date = one.contexts.last().and_then(|&last| dates[last].clone());
    let numbers: Vec<&str> = one.contexts.iter().map(|&n| shown.contexts[n].number.as_str()).collect();
    let said = date.as_deref().map(date_in_box).unwrap_or_default();
    let mut words = numbers.join(" = ") + &said;
    for part in [&context.interpretation, &context.phase].into_iter().filter(|part| !part.is_empty()) {
        words = format!("{words}, {part}");
    }
    for (is_so, said) in [
        (one.is_out_of_phase, "; the relations keep it out of its phase"),
        (one.is_contradictory, "; its relations lead in a circle"),
    ] {
        words.push_str(if is_so { said } else { "" });
    }
    BoxView {
        id: format!("c-{}", context.id),
        href: links::context(context.id),
        x: one.x,
        y: one.y,
        width: one.width,
        height: one.height,
        text_x: one.x + one.width / 2,
        text_y: one.y + one.height / 2 + 5,
        label: numbers.join(" = "),
        date: said,
        words,
        is_odd: one.is_out_of_phase || one.is_contradictory,
    }
}

fn path(line: &Line) -> String {
    let mut path = String::new();
    for (n, (x, y)) in line.points.iter().enumerate() {
        let letter = if n == 0 { 'M' } else { 'L' };
        path.push_str(&format!("{letter}{x} {y}"));
    }
    path
}

/// “Phase 4, late medieval”; a name that says so itself is left as it is.
fn named(name: &str) -> String {
    if name.to_lowercase().contains("phase") || name.starts_with(char::is_alphabetic) {
        name.to_owned()
    } else {
        format!("Phase {name}")
    }
}

fn bands(diagram: &Diagram, names: &HashMap<i64, &str>) -> Vec<BandView> {
    let is_phased = diagram.bands.iter().any(|band| band.phase.is_some());
    let view = |(n, band): (usize, &calc::stratigraphy::diagram::Band)| BandView {
        y: band.top,
        height: band.bottom - band.top,
        name: match band.phase {
            Some(phase) => names.get(&phase).map_or(String::new(), |name| named(name)),
            None => "Without a phase".into(),
        },
        name_y: band.top + 17,
        names: (0..diagram.width.max(1)).step_by(NAME_EVERY as usize).map(|x| x + 10).collect(),
        is_shaded: n % 2 == 1,
    };
    diagram.bands.iter().enumerate().filter(|_| is_phased).map(view).collect()
}
