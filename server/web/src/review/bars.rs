//! Opinions as bars on one time axis, what they share shaded. Drawn on the server; the same words stand beside it.
use super::dating;
use super::opinion_view::{OpinionView, kind_of, weight_of};
use domain::review::Years;
use domain::review::opinion::{DateKind, Weight};

/// Width of the drawing and of the column of names, in its own units.
const WIDTH: f64 = 700.0;
const NAMES: f64 = 170.0;
const RIGHT: f64 = WIDTH - 14.0;
const ROW: f64 = 44.0;
const HEAD: f64 = 26.0;
const TOP: f64 = 8.0;
/// How wide a letter of the small words is at most.
const LETTER: f64 = 6.6;

/// A drawing ready for its template.
pub(super) struct Bars {
    pub width: f64,
    pub height: f64,
    pub axis_y: f64,
    pub names: f64,
    pub right: f64,
    pub groups: Vec<Group>,
    pub ticks: Vec<(f64, String)>,
    /// The same in words, for whoever does not see the drawing.
    pub words: String,
}

/// The rows of one kind of date.
pub(super) struct Group {
    pub kind: &'static str,
    pub kind_y: f64,
    pub rows: Vec<Row>,
    /// What all rows of the kind share.
    pub shades: Vec<Shade>,
}

/// A stretch of years that all hold.
pub(super) struct Shade {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
}

/// One opinion with its bars.
pub(super) struct Row {
    pub name: String,
    /// “preliminary”, under the name.
    pub standing: &'static str,
    pub class: &'static str,
    pub y: f64,
    pub bars: Vec<Bar>,
    /// The years in words, under the bars.
    pub label: String,
    pub label_x: f64,
}

/// One range of years.
pub(super) struct Bar {
    pub x: f64,
    pub width: f64,
    /// Thin where the author holds it less likely.
    pub y: f64,
    pub height: f64,
    /// Outlines of arrow heads where an end is open.
    pub open: Vec<String>,
}

/// What is drawn of one kind: each opinion with its ranges, and what they all share.
pub(super) struct Drawn<'a> {
    pub kind: DateKind,
    pub said: Vec<(&'a OpinionView, Vec<(Years, Weight)>)>,
    pub shared: Vec<Years>,
}

/// Where years stand on the axis.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    first: i64,
    last: i64,
}

impl Scale {
    /// The axis that holds every year that is named, with a margin for open ends; nothing when none is.
    pub fn of(drawn: &[Drawn<'_>]) -> Option<Self> {
        let ranges = drawn.iter().flat_map(|one| &one.said).flat_map(|(_, ranges)| ranges);
        let ends = ranges.flat_map(|(years, _)| [years.lo, years.hi]).flatten();
        let (first, last) = ends.fold((i64::MAX, i64::MIN), |(a, b), y| (a.min(y), b.max(y)));
        if first > last {
            return None;
        }
        let margin = ((last - first) / 10).max(10);
        Some(Self { first: first - margin, last: last + margin })
    }

    pub fn x(self, year: i64) -> f64 {
        let share = (year - self.first) as f64 / (self.last - self.first) as f64;
        ((NAMES + share * (RIGHT - NAMES)) * 10.0).round() / 10.0
    }

    /// Where the axis begins and ends.
    pub fn names(self) -> f64 {
        NAMES
    }

    pub fn right(self) -> f64 {
        RIGHT
    }

    fn span(self, years: Years) -> (f64, f64) {
        let (from, to) = (years.lo.unwrap_or(self.first), years.hi.unwrap_or(self.last));
        (self.x(from), (self.x(to) - self.x(from)).max(2.0))
    }

    /// Round years, about six of them.
    pub fn ticks(self) -> Vec<(f64, String)> {
        let steps = [10, 20, 25, 50, 100, 200, 500, 1000, 2000, 5000];
        let step = steps.into_iter().find(|step| (self.last - self.first) / step <= 6).unwrap_or(10_000);
        let start = self.first.div_euclid(step) * step + step;
        let years = (0..).map(|n| start + n * step).take_while(|year| *year < self.last);
        years.map(|year| (self.x(year), dating::year(year))).collect()
    }
}

/// The drawing of what is dated.
pub(super) fn draw(drawn: &[Drawn<'_>], scale: Scale, words: String) -> Bars {
    let mut y = TOP;
    let mut groups = Vec::new();
    for one in drawn {
        let kind_y = y + 14.0;
        y += HEAD;
        let top = y;
        let mut rows = Vec::new();
        for (opinion, ranges) in &one.said {
            rows.push(row(opinion, ranges, y, scale));
            y += ROW;
        }
        let shades = one.shared.iter().map(|years| {
            let (x, width) = scale.span(*years);
            Shade { x, y: top - 4.0, width, height: y - top }
        });
        groups.push(Group { kind: kind_of(one.kind), kind_y, rows, shades: shades.collect() });
    }
    let axis_y = y + 4.0;
    Bars {
        width: WIDTH,
        height: axis_y + 26.0,
        axis_y,
        names: NAMES,
        right: RIGHT,
        groups,
        ticks: scale.ticks(),
        words,
    }
}

fn row(opinion: &OpinionView, ranges: &[(Years, Weight)], y: f64, scale: Scale) -> Row {
    let bars: Vec<Bar> = ranges.iter().map(|(years, weight)| bar(*years, *weight, y, scale)).collect();
    let label = said(ranges);
    let first = bars.iter().map(|bar| bar.x).fold(RIGHT, f64::min);
    let room = RIGHT - label.chars().count() as f64 * LETTER;
    Row {
        name: opinion.author.clone(),
        standing: opinion.standing,
        class: if opinion.is_final { "bar-final" } else { "bar-preliminary" },
        y,
        bars,
        label_x: first.min(room).max(NAMES),
        label,
    }
}

/// “AD 1368 to AD 1400; more likely AD 1401 to AD 1433”.
pub(super) fn said(ranges: &[(Years, Weight)]) -> String {
    let words = ranges.iter().map(|(years, weight)| match weight_of(*weight) {
        "" => dating::label(*years),
        weight => format!("{weight} {}", dating::label(*years)),
    });
    words.collect::<Vec<_>>().join("; ")
}

fn bar(years: Years, weight: Weight, y: f64, scale: Scale) -> Bar {
    let (x, width) = scale.span(years);
    let height = if weight == Weight::Less { 8.0 } else { 16.0 };
    let y = y + (16.0 - height) / 2.0;
    let middle = y + height / 2.0;
    let mut open = Vec::new();
    if years.lo.is_none() {
        open.push(format!("M{} {}l8 -7v14z", x - 8.0, middle));
    }
    if years.hi.is_none() {
        open.push(format!("M{} {}l-8 -7v14z", x + width + 8.0, middle));
    }
    Bar { x, width, y, height, open }
}
