//! Opinions as bars on one time axis, what they share shaded. Drawn on the server; the same words stand beside it.
use super::dating;
use super::opinion_view::OpinionView;
use domain::review::{Years, shared};

/// Width of the drawing and of the column of names, in its own units.
const WIDTH: f64 = 640.0;
const NAMES: f64 = 170.0;
const ROW: f64 = 30.0;
const TOP: f64 = 12.0;

/// A drawing ready for its template.
pub(super) struct Bars {
    pub width: f64,
    pub height: f64,
    pub axis_y: f64,
    pub names: f64,
    pub bars: Vec<Bar>,
    pub shade: Option<(f64, f64)>,
    pub ticks: Vec<(f64, String)>,
    /// The same in words, for whoever does not see the drawing.
    pub words: String,
}

/// One bar with its name.
pub(super) struct Bar {
    pub name: String,
    pub label: String,
    pub x: f64,
    pub width: f64,
    pub y: f64,
    pub text_y: f64,
}

/// The drawing of the standing opinions that give a date; nothing when there is none.
pub(super) fn draw(opinions: &[OpinionView]) -> Option<Bars> {
    let dated: Vec<(&OpinionView, Years)> =
        opinions.iter().filter(|o| !o.superseded).filter_map(|o| o.years.map(|y| (o, y))).collect();
    let ends = dated.iter().flat_map(|(_, y)| [y.lo, y.hi]).flatten();
    let (first, last) = ends.fold((i64::MAX, i64::MIN), |(a, b), y| (a.min(y), b.max(y)));
    if dated.is_empty() || first > last {
        return None;
    }
    let margin = ((last - first) / 10).max(10);
    let (first, last) = (first - margin, last + margin);
    let x = |year: i64| NAMES + (year - first) as f64 / (last - first) as f64 * (WIDTH - NAMES - 10.0);
    let span = |years: Years| (x(years.lo.unwrap_or(first)), x(years.hi.unwrap_or(last)));
    let bar = |(row, (opinion, years)): (usize, &(&OpinionView, Years))| {
        let (from, to) = span(*years);
        let y = TOP + row as f64 * ROW;
        Bar {
            name: opinion.author.clone(),
            label: dating::label(*years),
            x: from,
            width: (to - from).max(2.0),
            y,
            text_y: y + 13.0,
        }
    };
    let axis_y = TOP + dated.len() as f64 * ROW + 4.0;
    let ranges: Vec<Years> = dated.iter().map(|(_, years)| *years).collect();
    let common = shared(&ranges).filter(|_| ranges.len() > 1);
    let said: Vec<String> =
        dated.iter().map(|(o, y)| format!("{}: {}", o.author, dating::label(*y))).collect();
    let together = match (ranges.len(), common) {
        (0 | 1, _) => String::new(),
        (_, Some(years)) => format!(" All share {}.", dating::label(years)),
        (_, None) => " They share no year.".to_owned(),
    };
    Some(Bars {
        width: WIDTH,
        height: axis_y + 26.0,
        axis_y,
        names: NAMES,
        bars: dated.iter().enumerate().map(bar).collect(),
        shade: common.map(span).map(|(from, to)| (from, (to - from).max(2.0))),
        ticks: ticks(first, last).map(|year| (x(year), dating::year(year))).collect(),
        words: format!("{}.{together}", said.join("; ")),
    })
}

/// Round years, about six of them.
fn ticks(first: i64, last: i64) -> impl Iterator<Item = i64> {
    let step =
        [10, 20, 25, 50, 100, 200, 500, 1000, 2000, 5000].into_iter().find(|step| (last - first) / step <= 6);
    let step = step.unwrap_or(10_000);
    let start = first.div_euclid(step) * step + step;
    (0..).map(move |n| start + n * step).take_while(move |year| *year < last)
}
