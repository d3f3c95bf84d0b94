//! A desalination run as its page shows it: release normalised, summed, judged by the end rule.
use crate::figure::{Figure, figures, fixed};
use crate::filters::{show_measure, show_moment};
use crate::links;
use crate::plot::{Axis, Plot, Side};
use calc::CalcError;
use calc::desalination::{
    self, EndRule, Release, SaltLoad, conductivity, end_point, normalised, release, sqrt_time_line,
};
use domain::Instant;
use domain::runs::BathPlan;
use store::runs::baths::Bath;

/// Readings at which a meter corrected to 25 °C is meant.
const REFERENCE_C: f64 = 25.0;
/// Below this a reading is drawn on the floor of the plot.
const FLOOR: f64 = 1.0;

/// What was read so far.
pub(super) struct Readings<'a> {
    pub plan: &'a BathPlan,
    pub baths: &'a [Bath],
    pub started_at: Instant,
}

/// The page's part of a desalination run.
pub(super) struct DesalinationView {
    /// Whether the end rule is met by the latest baths.
    pub is_met: bool,
    pub verdict: String,
    pub rule: String,
    pub lines: Vec<BathLine>,
    pub figures: Vec<Figure>,
    /// Why the release is not summed.
    pub no_sum: String,
    pub plots: Vec<Plot>,
}

/// A bath with what follows from it.
pub(super) struct BathLine {
    pub number: Option<usize>,
    pub at: String,
    pub volume: String,
    pub blank: String,
    pub reading: String,
    pub normalised: String,
    pub clean: bool,
    pub released: String,
    pub seen: String,
    pub by: String,
    pub withdrawn: Option<String>,
    pub withdrawal: String,
}

impl Readings<'_> {
    fn standing(&self) -> Vec<&Bath> {
        self.baths.iter().filter(|bath| bath.withdrawn_why.is_none()).collect()
    }

    fn normalised(&self) -> Vec<f64> {
        let of =
            |bath: &&Bath| normalised(bath.reading_us_cm, bath.blank_us_cm, bath.volume_l, self.plan.mass_g);
        self.standing().iter().filter_map(|bath| of(bath).ok()).collect()
    }

    fn day(&self, at: Instant) -> f64 {
        (at - self.started_at).num_minutes() as f64 / 1440.0
    }

    fn end_rule(&self) -> Result<EndRule, CalcError> {
        EndRule::new(
            self.plan.threshold,
            usize::try_from(self.plan.baths_in_row).unwrap_or(EndRule::USUAL_ROW),
        )
    }

    /// Milligrams of chloride out at the end of each bath.
    fn release(&self) -> Result<Release, CalcError> {
        let standing = self.standing();
        let measured = !standing.is_empty() && standing.iter().all(|bath| bath.chloride_mg_l.is_some());
        let load = |us_cm: f64, t_c: Option<f64>| SaltLoad::of(us_cm, t_c.unwrap_or(REFERENCE_C));
        let bath = |bath: &&Bath| -> Result<desalination::Bath, CalcError> {
            Ok(desalination::Bath {
                day: self.day(bath.read_at),
                volume_l: bath.volume_l,
                supply_mg_l: load(bath.blank_us_cm, bath.t_c)?.chloride_mg_l,
                end_mg_l: match bath.chloride_mg_l.filter(|_| measured) {
                    Some(chloride) => chloride,
                    None => load(bath.reading_us_cm, bath.t_c)?.chloride_mg_l,
                },
            })
        };
        let baths = standing.iter().map(bath).collect::<Result<Vec<_>, _>>()?;
        Release::of(&baths, self.plan.mass_g, self.plan.carry_over_l)
    }

    /// Everything the page says.
    pub(super) fn view(&self) -> DesalinationView {
        let values = self.normalised();
        let (is_met, verdict) = self.verdict(&values);
        let release = self.release();
        let cumulative = release.as_ref().map(|r| r.cumulative_mg.clone()).unwrap_or_default();
        let mut figures = self.figures_of(&values);
        if let Ok(release) = &release {
            figures.extend(self.summed(release));
        }
        let mut plots: Vec<Plot> = self.draw_readings(&values).into_iter().collect();
        plots.extend(self.draw_release(&cumulative));
        DesalinationView {
            is_met,
            verdict,
            rule: format!(
                "At or below {} µS/cm · L/kg in {} baths in a row: {}",
                show_measure(self.plan.threshold),
                self.plan.baths_in_row,
                self.plan.threshold_reason
            ),
            lines: self.lines(&values, &cumulative),
            figures,
            no_sum: release.err().filter(|_| !values.is_empty()).map(|e| e.to_string()).unwrap_or_default(),
            plots,
        }
    }

    fn verdict(&self, values: &[f64]) -> (bool, String) {
        if values.is_empty() {
            return (false, "No bath has been read yet.".into());
        }
        match self.end_rule().and_then(|rule| rule.judge(values)) {
            Ok(end) if end.holds() => {
                let from = values.len() + 1 - usize::try_from(self.plan.baths_in_row).unwrap_or(1);
                let baths = if from == values.len() {
                    format!("bath {from}")
                } else {
                    format!("baths {from} to {}", values.len())
                };
                (
                    true,
                    format!(
                        "The end rule is met by {baths}. It is finished once a reason for stopping is given."
                    ),
                )
            }
            Ok(end) => {
                let more = if end.missing == 1 {
                    "one more clean bath".to_owned()
                } else {
                    format!("{} more clean baths in a row", end.missing)
                };
                (false, format!("Not at the end: {more} asked for."))
            }
            Err(refused) => (false, refused.to_string()),
        }
    }

    fn figures_of(&self, values: &[f64]) -> Vec<Figure> {
        let standing = self.standing();
        let (Some(last), Some(value)) = (standing.last(), values.last()) else { return Vec::new() };
        let inputs = vec![
            ("Reading", format!("{} µS/cm", show_measure(last.reading_us_cm))),
            ("Blank", format!("{} µS/cm", show_measure(last.blank_us_cm))),
            ("Bath", format!("{} L", show_measure(last.volume_l))),
            ("In the bath", format!("{} g", show_measure(self.plan.mass_g))),
        ];
        let value = format!("{} µS/cm · L/kg", fixed(*value, 0));
        let mut all = vec![Figure::of("Last bath", value, &release::NORMALISED, inputs)];
        if let Ok(end) = self.end_rule().and_then(|rule| rule.judge(values)) {
            let inputs = vec![
                ("Threshold", format!("{} µS/cm · L/kg", show_measure(self.plan.threshold))),
                ("Baths in a row", self.plan.baths_in_row.to_string()),
                ("Reason", self.plan.threshold_reason.clone()),
            ];
            let value = match end.bath {
                Some(bath) if end.holds() => format!("met since bath {bath}"),
                Some(bath) => format!("met with bath {bath}, not by the latest"),
                None => format!("{} clean baths missing", end.missing),
            };
            all.push(Figure::of("End rule", value, &end_point::END_POINT, inputs));
        }
        all
    }

    fn summed(&self, release: &Release) -> Vec<Figure> {
        let Some(sum) = release.cumulative_mg.last() else { return Vec::new() };
        let share =
            release.last_share_pct.map(|share| format!("{} % of all", figures(share, 2))).unwrap_or_default();
        let inputs = vec![
            (
                "Chloride",
                format!(
                    "from conductivity where it was not measured: {}; {}",
                    conductivity::CHLORIDE.formula,
                    conductivity::CHLORIDE.caution
                ),
            ),
            ("Carried over at a change", format!("{} L", show_measure(self.plan.carry_over_l))),
            ("Per gram of the find", format!("{} mg/g", figures(release.per_g_mg, 3))),
            ("The last bath", share),
        ];
        let value = format!("{} mg chloride", figures(*sum, 3));
        let mut all = vec![Figure::of("Out so far", value, &release::CUMULATIVE_RELEASE, inputs)];
        if let Some(line) = self.line(&release.cumulative_mg) {
            let inputs = vec![("Baths", line.points.to_string()), ("r²", fixed(line.r2, 3))];
            let value = format!("{} ± {} mg per √day", figures(line.slope, 3), figures(line.slope_se, 2));
            all.push(Figure::of("Release against √t", value, &release::SQRT_TIME, inputs));
        }
        all
    }

    fn line(&self, cumulative: &[f64]) -> Option<calc::regression::Line> {
        let days: Vec<f64> = self.standing().iter().map(|bath| self.day(bath.read_at)).collect();
        sqrt_time_line(&days, cumulative).ok()
    }

    fn lines(&self, values: &[f64], cumulative: &[f64]) -> Vec<BathLine> {
        let mut standing = 0;
        let line = |bath: &Bath| {
            let at = standing;
            let stands = bath.withdrawn_why.is_none();
            standing += usize::from(stands);
            let value = values.get(at).copied().filter(|_| stands);
            let temperature = bath.t_c.map(|t| format!(" at {} °C", show_measure(t))).unwrap_or_default();
            BathLine {
                number: stands.then_some(at + 1),
                at: show_moment(bath.read_at),
                volume: show_measure(bath.volume_l),
                blank: show_measure(bath.blank_us_cm),
                reading: format!("{}{temperature}", show_measure(bath.reading_us_cm)),
                normalised: value.map(|value| fixed(value, 0)).unwrap_or_default(),
                clean: value.is_some_and(|value| value <= self.plan.threshold),
                released: cumulative.get(at).filter(|_| stands).map(|mg| figures(*mg, 3)).unwrap_or_default(),
                seen: bath.seen.clone(),
                by: bath.recorded_by.clone(),
                withdrawn: bath.withdrawn_why.clone(),
                withdrawal: links::bath_withdrawal(bath.id),
            }
        };
        self.baths.iter().map(line).collect()
    }

    fn draw_readings(&self, values: &[f64]) -> Option<Plot> {
        if values.len() < 2 {
            return None;
        }
        let low = values.iter().copied().chain([self.plan.threshold]).fold(f64::MAX, f64::min).max(FLOOR);
        let high = values.iter().copied().fold(low * 1.01, f64::max);
        let marks = (1..=values.len()).map(|n| (n as f64, n.to_string())).collect();
        let x = Axis::across("bath", 0.5, values.len() as f64 + 0.5).marked(marks);
        let y = Axis::up_by_tens("reading less blank, µS/cm · L/kg, by powers of ten", low, high);
        let mut plot = Plot::new("readings", "Normalised reading of each bath", x, y);
        let points: Vec<(f64, f64)> =
            values.iter().enumerate().map(|(n, value)| (n as f64 + 1.0, *value)).collect();
        if self.plan.threshold >= FLOOR {
            plot.level(
                self.plan.threshold,
                Side::Above,
                format!("clean at or below {}", show_measure(self.plan.threshold)),
            );
        }
        plot.line("line", &points);
        for (n, value) in &points {
            plot.dot((*n, *value), *value <= self.plan.threshold, format!("bath {n}: {}", fixed(*value, 0)));
        }
        let said: Vec<String> = values.iter().map(|value| fixed(*value, 0)).collect();
        plot.words = format!(
            "Bath by bath: {} µS/cm · L/kg. Filled points are clean by the end rule.",
            said.join(", ")
        );
        Some(plot)
    }

    fn draw_release(&self, cumulative: &[f64]) -> Option<Plot> {
        let days: Vec<f64> = self.standing().iter().map(|bath| self.day(bath.read_at)).collect();
        let (last, most) = (days.last()?, cumulative.iter().copied().fold(0.0, f64::max));
        if cumulative.len() < 2 || cumulative.len() != days.len() || most <= 0.0 {
            return None;
        }
        let x = Axis::across("days, spaced by their square root", 0.0, last.sqrt() * 1.04)
            .marked(day_marks(*last));
        let mut plot = Plot::new(
            "release",
            "Chloride released against the square root of time",
            x,
            Axis::up("released, mg chloride", 0.0, most * 1.12),
        );
        let line = self.line(cumulative);
        if let Some(line) = line {
            let low = (-line.intercept / line.slope).clamp(0.0, last.sqrt());
            plot.line(
                "line ahead",
                &[(low, line.at(low)), (last.sqrt() * 1.04, line.at(last.sqrt() * 1.04))],
            );
        }
        for (n, (day, mg)) in days.iter().zip(cumulative).enumerate() {
            plot.dot(
                (day.sqrt(), *mg),
                true,
                format!("bath {}, day {}: {} mg", n + 1, figures(*day, 2), figures(*mg, 3)),
            );
        }
        let slope = line.map_or_else(
            || " Three baths make a line.".to_owned(),
            |line| format!(" The line rises by {} mg per √day (r² {}); points below it at the end tell that little is left.", figures(line.slope, 3), fixed(line.r2, 3)),
        );
        plot.words = format!("{} mg of chloride in {} days.{slope}", figures(most, 3), figures(*last, 2));
        Some(plot)
    }
}

/// Days to mark on an axis of square roots: few, and round.
fn day_marks(last: f64) -> Vec<(f64, String)> {
    const DAYS: [f64; 14] =
        [1.0, 2.0, 4.0, 7.0, 14.0, 21.0, 28.0, 42.0, 56.0, 84.0, 120.0, 180.0, 365.0, 730.0];
    let mut marks: Vec<(f64, String)> = vec![(0.0, "0".into())];
    for day in DAYS.into_iter().filter(|day| *day <= last * 1.08) {
        let apart = marks.last().is_none_or(|(root, _)| day.sqrt() - root > last.sqrt() * 0.07);
        if apart {
            marks.push((day.sqrt(), show_measure(day)));
        }
    }
    marks
}
