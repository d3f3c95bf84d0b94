//! Measured points on two axes, drawn on the server. The same numbers stand beside it as a table.

/// Size of every plot, in its own units.
const WIDTH: f64 = 660.0;
const HEIGHT: f64 = 330.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = WIDTH - 18.0;
const TOP: f64 = 30.0;
const BOTTOM: f64 = HEIGHT - 46.0;

/// One direction of a plot.
#[derive(Debug, Clone)]
pub(crate) struct Axis {
    low: f64,
    high: f64,
    /// Pixels of `low` and `high`.
    ends: (f64, f64),
    is_log: bool,
    /// Where it is marked, with the words there.
    marks: Vec<(f64, String)>,
    pub name: String,
}

impl Axis {
    /// From left to right, in even steps.
    pub(crate) fn across(name: &str, low: f64, high: f64) -> Self {
        Self::even(name, (low, high), (LEFT, RIGHT))
    }

    /// From the bottom up, in even steps.
    pub(crate) fn up(name: &str, low: f64, high: f64) -> Self {
        Self::even(name, (low, high), (BOTTOM, TOP))
    }

    /// From the bottom up, in powers of ten.
    pub(crate) fn up_by_tens(name: &str, low: f64, high: f64) -> Self {
        let (low, high) =
            (low.log10().floor() as i32, (high.log10().ceil() as i32).max(low.log10().floor() as i32 + 1));
        let marks =
            (low..=high).map(|n| (10_f64.powi(n), crate::filters::show_measure(10_f64.powi(n)))).collect();
        let ends = (BOTTOM, TOP);
        Self { low: 10_f64.powi(low), high: 10_f64.powi(high), ends, is_log: true, marks, name: name.into() }
    }

    fn even(name: &str, (low, high): (f64, f64), ends: (f64, f64)) -> Self {
        let high = if high > low { high } else { low + 1.0 };
        let marks = round_marks(low, high);
        Self { low, high, ends, is_log: false, marks, name: name.into() }
    }

    /// The same axis marked at these places alone.
    pub(crate) fn marked(self, marks: Vec<(f64, String)>) -> Self {
        Self { marks, ..self }
    }

    /// Where a value stands; values beyond the ends stand at the ends.
    pub(crate) fn at(&self, value: f64) -> f64 {
        let value = value.clamp(self.low, self.high);
        let share = if self.is_log {
            (value / self.low).ln() / (self.high / self.low).ln()
        } else {
            (value - self.low) / (self.high - self.low)
        };
        self.ends.0 + share * (self.ends.1 - self.ends.0)
    }

    /// Whether a value lies on the axis.
    pub(crate) fn holds(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

/// Round values between two ends, about six of them.
pub fn round_marks(low: f64, high: f64) -> Vec<(f64, String)> {
    let rough = (high - low) / 6.0;
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|n| n * power).find(|step| *step >= rough * 0.999);
    let step = step.unwrap_or(10.0 * power);
    let decimals = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
    let first = (low / step - 1e-9).ceil();
    (0..12)
        .map(|n| (first + f64::from(n)) * step)
        .take_while(|mark| *mark <= high + step * 1e-9)
        .map(|mark| (mark, crate::figure::fixed(mark, decimals)))
        .collect()
}

/// A point with what it stands for.
#[derive(Debug, Clone)]
pub(crate) struct Dot {
    pub x: f64,
    pub y: f64,
    /// Filled where it meets what is asked for, open otherwise.
    pub filled: bool,
    pub words: String,
}

/// Words on a plot.
#[derive(Debug, Clone)]
pub(crate) struct Note {
    pub x: f64,
    pub y: f64,
    /// `start`, `middle` or `end`.
    pub anchor: &'static str,
    pub words: String,
}

/// On which side of a line its words stand.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Side {
    Above,
    Below,
}

/// A drawing ready for its template.
#[derive(Debug, Clone)]
pub(crate) struct Plot {
    /// Apart from every other plot of the page.
    pub id: &'static str,
    pub title: &'static str,
    /// The same in words, for whoever does not see the drawing.
    pub words: String,
    pub x: Axis,
    pub y: Axis,
    pub band: String,
    /// Class and path.
    pub lines: Vec<(&'static str, String)>,
    pub dots: Vec<Dot>,
    pub notes: Vec<Note>,
}

impl Plot {
    pub(crate) fn new(id: &'static str, title: &'static str, x: Axis, y: Axis) -> Self {
        let (words, band) = (String::new(), String::new());
        Self { id, title, words, x, y, band, lines: Vec::new(), dots: Vec::new(), notes: Vec::new() }
    }

    /// Adds a line through points.
    pub(crate) fn line(&mut self, class: &'static str, points: &[(f64, f64)]) {
        self.lines.push((class, self.path(points)));
    }

    /// Shades what lies between two lines.
    pub(crate) fn shade(&mut self, upper: &[(f64, f64)], lower: &[(f64, f64)]) {
        let around: Vec<(f64, f64)> = upper.iter().chain(lower.iter().rev()).copied().collect();
        self.band = format!("{}Z", self.path(&around));
    }

    /// Adds a point.
    pub(crate) fn dot(&mut self, (x, y): (f64, f64), filled: bool, words: String) {
        self.dots.push(Dot { x: self.x.at(x), y: self.y.at(y), filled, words });
    }

    /// A thin line across at a value, named at its right end on the side where the points are not.
    pub(crate) fn level(&mut self, y: f64, side: Side, words: String) {
        self.lines.push(("rule", format!("M{LEFT} {:.1}H{RIGHT}", self.y.at(y))));
        let off = match side {
            Side::Above => -6.0,
            Side::Below => 16.0,
        };
        self.notes.push(Note { x: RIGHT, y: self.y.at(y) + off, anchor: "end", words });
    }

    /// A thin upright line at a value, named above the plot.
    pub(crate) fn upright(&mut self, x: f64, words: String) {
        let at = self.x.at(x);
        self.lines.push(("rule", format!("M{at:.1} {TOP}V{BOTTOM}")));
        let anchor = match at {
            at if at > RIGHT - 90.0 => "end",
            at if at < LEFT + 60.0 => "start",
            _ => "middle",
        };
        self.notes.push(Note { x: at, y: TOP - 8.0, anchor, words });
    }

    fn path(&self, points: &[(f64, f64)]) -> String {
        let mut path = String::new();
        for (n, (x, y)) in points.iter().enumerate() {
            let letter = if n == 0 { 'M' } else { 'L' };
            path.push_str(&format!("{letter}{:.1} {:.1}", self.x.at(*x), self.y.at(*y)));
        }
        path
    }

    /// Marks below the plot.
    pub(crate) fn x_marks(&self) -> Vec<(f64, &str)> {
        self.x
            .marks
            .iter()
            .filter(|(at, _)| self.x.holds(*at))
            .map(|(at, words)| (self.x.at(*at), words.as_str()))
            .collect()
    }

    /// Marks left of the plot.
    pub(crate) fn y_marks(&self) -> Vec<(f64, &str)> {
        self.y
            .marks
            .iter()
            .filter(|(at, _)| self.y.holds(*at))
            .map(|(at, words)| (self.y.at(*at), words.as_str()))
            .collect()
    }

    /// Width, height, and three sides of the frame.
    pub(crate) const fn sides(&self) -> Sides {
        Sides { width: WIDTH, height: HEIGHT, left: LEFT, right: RIGHT, bottom: BOTTOM }
    }
}

/// The frame of a plot.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sides {
    pub width: f64,
    pub height: f64,
    pub left: f64,
    pub right: f64,
    pub bottom: f64,
}
