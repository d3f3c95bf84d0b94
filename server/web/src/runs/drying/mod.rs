//! A drying run as its page shows it: judged, drawn, with the next set point.
//!
//! - `plot`: mass against time with the curve
mod plot;

use crate::figure::{Figure, figures, fixed};
use crate::filters::{show_day, show_measure, show_moment};
use crate::links;
use crate::plot::Plot;
use calc::drying::{
    ConstantMass, DryingCurve, Salt, Standard, StepDown, constant_mass, curve, salts, step_down,
};
use chrono::Duration;
use domain::Instant;
use domain::runs::{DryingPlan, Schedule};
use store::runs::steps::Step;
use store::runs::weighings::Weighing;

/// What was read and set so far.
pub(super) struct Readings<'a> {
    pub plan: &'a DryingPlan,
    pub weighings: &'a [Weighing],
    pub steps: &'a [Step],
    pub now: Instant,
    /// The curve begins with this weighing, counted from 1.
    pub from: usize,
}

/// The page's part of a drying run.
pub(super) struct DryingView {
    /// Whether the run says that the find is dry.
    pub is_dry: bool,
    pub verdict: String,
    pub rule: String,
    pub lines: Vec<WeighingLine>,
    pub figures: Vec<Figure>,
    /// Why there is no curve yet.
    pub no_curve: String,
    pub plot: Option<Plot>,
    pub schedule: Option<ScheduleView>,
    /// For the record that ends the run.
    pub start_g: Option<f64>,
    pub end_g: Option<f64>,
    pub loss: String,
}

/// A weighing with its change.
pub(super) struct WeighingLine {
    /// Counted among those that stand.
    pub number: Option<usize>,
    pub at: String,
    pub mass: String,
    pub change: String,
    pub meets: bool,
    pub air: String,
    pub seen: String,
    pub by: String,
    pub withdrawn: Option<String>,
    pub withdrawal: String,
}

/// A schedule with where it stands.
pub(super) struct ScheduleView {
    pub figure: Figure,
    pub steps: Vec<StepLine>,
    /// The set point that comes next, in words; none at the last.
    pub next: Option<String>,
    /// Why it is not released yet.
    pub waits: Option<String>,
}

/// A set point.
pub(super) struct StepLine {
    pub number: usize,
    pub rh: String,
    pub salt: String,
    pub earliest: String,
    pub state: String,
    pub here: bool,
}

impl Readings<'_> {
    fn standing(&self) -> impl Iterator<Item = &Weighing> {
        self.weighings.iter().filter(|weighing| weighing.withdrawn_why.is_none())
    }

    fn standard(&self) -> Standard {
        Standard::named(&self.plan.standard).copied().unwrap_or(Standard::EN_ISO_12570)
    }

    /// Decimals that the balance shows.
    fn decimals(&self) -> usize {
        (-(self.plan.balance_g.log10() + 1e-9).floor()).clamp(0.0, 6.0) as usize
    }

    fn grams(&self, mass: f64) -> String {
        format!("{} g", fixed(mass, self.decimals()))
    }

    /// Hours since the first weighing, and masses, of those at or after a moment.
    fn columns(&self, since: Option<Instant>) -> (Vec<f64>, Vec<f64>) {
        let first = self.standing().next().map(|weighing| weighing.weighed_at);
        let wanted = self.standing().filter(|w| since.is_none_or(|since| w.weighed_at >= since));
        let hours = |at: Instant| first.map_or(0.0, |first| (at - first).num_seconds() as f64 / 3600.0);
        wanted.map(|w| (hours(w.weighed_at), w.mass_g)).unzip()
    }

    /// The judgement of everything weighed at the set point that is held, or from the start where there is no schedule.
    fn judged(&self) -> Result<ConstantMass, calc::CalcError> {
        let (hours, masses) = self.columns(self.steps.last().map(|step| step.begun_at));
        ConstantMass::of(&hours, &masses, &self.standard(), Some(self.plan.balance_g))
    }

    /// Everything the page says.
    pub(super) fn view(&self) -> DryingView {
        let standard = self.standard();
        let (hours, masses) = self.columns(None);
        let whole = ConstantMass::of(&hours, &masses, &standard, None).ok();
        let schedule = self.plan.schedule.map(|schedule| self.schedule(schedule));
        let at_the_end = schedule.as_ref().is_none_or(|schedule| schedule.next.is_none());
        let (holds, verdict) = self.verdict(at_the_end);
        let loss = whole.as_ref().map_or_else(String::new, |whole| {
            let percent = figures(whole.loss_pct, 2);
            format!("{}, {percent} %", self.grams(whole.loss_g))
        });
        let mut figures = self.figures_of(whole.as_ref(), &loss);
        let curve = DryingCurve::through_from(&hours, &masses, self.from);
        if let Ok(curve) = &curve {
            figures.extend(self.projected(curve, (&hours, &masses)));
        }
        DryingView {
            is_dry: holds && at_the_end,
            verdict,
            rule: format!("{}: {}.", standard.name, standard.rule),
            lines: self.lines(whole.as_ref()),
            figures,
            no_curve: curve.as_ref().err().map(ToString::to_string).unwrap_or_default(),
            plot: self.draw(whole.as_ref(), curve.as_ref().ok()),
            schedule,
            start_g: masses.first().copied(),
            end_g: masses.last().copied(),
            loss,
        }
    }

    fn verdict(&self, at_the_end: bool) -> (bool, String) {
        let standard = self.standard();
        let judged = match self.judged() {
            Ok(judged) => judged,
            Err(refused) => return (false, refused.to_string()),
        };
        let known: Vec<String> =
            judged.change_pct.iter().flatten().map(|change| format!("{} %", change_words(*change))).collect();
        let asked = standard.weighings - 1;
        let last = known[known.len().saturating_sub(asked)..].join(" and ");
        let changes = if asked == 1 { "the last change was" } else { "the last changes were" };
        let weighed = judged.change_pct.len();
        match (judged.holds, at_the_end) {
            (true, true) => (true, format!("Dry by {}: {changes} {last}.", standard.name)),
            (true, false) => (
                true,
                format!("The mass is constant at this set point: {changes} {last}. Go on to the next one."),
            ),
            _ if known.len() < asked => (
                false,
                format!(
                    "Not dry yet: {} asks for {} weighings, each 24 h or more after the one before; {weighed} so far.",
                    standard.name, standard.weighings
                ),
            ),
            _ => (
                false,
                format!(
                    "Not dry yet by {}: {changes} {last}; within {} % is asked for.",
                    standard.name,
                    show_measure(standard.limit_pct)
                ),
            ),
        }
    }

    fn figures_of(&self, whole: Option<&ConstantMass>, loss: &str) -> Vec<Figure> {
        let Some(whole) = whole else { return Vec::new() };
        let standard = self.standard();
        let masses: Vec<f64> = self.standing().map(|weighing| weighing.mass_g).collect();
        let mass = |at: Option<&f64>| at.map(|mass| self.grams(*mass)).unwrap_or_default();
        let mut all = Vec::new();
        if let Some(change) = whole.change_pct.last().copied().flatten() {
            let inputs = vec![
                ("Latest mass", mass(masses.last())),
                ("Standard", format!("{}, {}", standard.name, standard.rule)),
                ("Balance", format!("reads to {} g", show_measure(self.plan.balance_g))),
            ];
            let value = format!("{} %", change_words(change));
            all.push(Figure::of("Last change", value, &constant_mass::CONSTANT_MASS, inputs));
        }
        let inputs = vec![("First mass", mass(masses.first())), ("Latest mass", mass(masses.last()))];
        all.push(Figure {
            name: "Loss",
            value: loss.to_owned(),
            formula: "first mass less latest mass; in % of the first".into(),
            inputs,
            limits: String::new(),
            caution: String::new(),
            source: "arithmetic".into(),
        });
        all
    }

    /// The mass a curve settles at, to the second figure of its standard error, as no more is known of it.
    fn settled(&self, curve: &DryingCurve) -> String {
        let place = 1.0 - curve.final_se_g.max(f64::MIN_POSITIVE).log10().floor();
        fixed(curve.final_g, place.clamp(0.0, self.decimals() as f64) as usize)
    }

    fn projected(&self, curve: &DryingCurve, (hours, masses): (&[f64], &[f64])) -> Vec<Figure> {
        let used = vec![
            ("Weighings", format!("{}, from weighing {}", curve.weighings, self.from)),
            ("Scatter", format!("residual standard deviation {} g", figures(curve.residual_sd_g, 2))),
            ("Half of what is left goes in", format!("{} h", figures(curve.half_time_h, 3))),
        ];
        let settles = format!("{} ± {} g", self.settled(curve), figures(curve.final_se_g, 2));
        let mut inputs = used.clone();
        inputs.push(("±", "standard error of the fit".into()));
        let settles = Figure::of("Settles at", settles, &curve::DRYING_CURVE, inputs);
        let mut inputs = used;
        let spread = DryingCurve::end_without_one(hours, masses, self.from);
        let spread = spread.map_or_else(
            || "not to be said: with fewer than five weighings, or one of them alone, the curve hangs on each".to_owned(),
            |(early, late)| format!("between {} and {}, whichever one weighing is left out", self.day_at(early), self.day_at(late)),
        );
        inputs.push(("How sure", spread));
        let end = if curve.constant_at_h <= curve.first_h {
            "constant already".into()
        } else {
            self.moment_at(curve.constant_at_h).map(|at| show_day(at.date_naive())).unwrap_or_default()
        };
        vec![settles, Figure::of("Constant from about", end, &curve::DRYING_CURVE, inputs)]
    }

    /// The moment of an hour of the run.
    fn moment_at(&self, hour: f64) -> Option<Instant> {
        let first = self.standing().next().map(|weighing| weighing.weighed_at)?;
        first.checked_add_signed(Duration::seconds((hour.min(1e6) * 3600.0) as i64))
    }

    fn day_at(&self, hour: f64) -> String {
        self.moment_at(hour).map(show_moment).unwrap_or_default()
    }

    fn lines(&self, whole: Option<&ConstantMass>) -> Vec<WeighingLine> {
        let mut standing = 0;
        let line = |weighing: &Weighing| {
            let at = standing;
            let stands = weighing.withdrawn_why.is_none();
            standing += usize::from(stands);
            let change = whole.and_then(|w| w.change_pct.get(at).copied().flatten()).filter(|_| stands);
            let air = [
                weighing.rh_pct.map(|rh| format!("{} % RH", show_measure(rh))),
                weighing.t_c.map(|t| format!("{} °C", show_measure(t))),
            ];
            WeighingLine {
                number: stands.then_some(at + 1),
                at: show_moment(weighing.weighed_at),
                mass: self.grams(weighing.mass_g),
                change: change.map(|change| format!("{} %", change_words(change))).unwrap_or_default(),
                meets: stands && whole.is_some_and(|w| w.is_constant.get(at).copied().unwrap_or(false)),
                air: air.into_iter().flatten().collect::<Vec<_>>().join(", "),
                seen: weighing.seen.clone(),
                by: weighing.recorded_by.clone(),
                withdrawn: weighing.withdrawn_why.clone(),
                withdrawal: links::weighing_withdrawal(weighing.id),
            }
        };
        self.weighings.iter().map(line).collect()
    }

    /// The schedule as it was set.
    pub(super) fn step_down(schedule: Schedule) -> Option<StepDown> {
        StepDown::new(schedule.start_pct, schedule.end_pct, schedule.step_pct, schedule.hold_days).ok()
    }

    /// Days that the latest set point has been held, and whether the mass is constant there.
    pub(super) fn held(&self) -> (f64, bool) {
        let since = self.steps.last().map_or(self.now, |step| step.begun_at);
        let is_constant = self.judged().is_ok_and(|judged| judged.holds);
        ((self.now - since).num_minutes() as f64 / 1440.0, is_constant)
    }

    fn schedule(&self, schedule: Schedule) -> ScheduleView {
        let steps = Self::step_down(schedule);
        let set_points = steps.as_ref().map(|steps| steps.set_points.clone()).unwrap_or_default();
        let here = self.steps.len().saturating_sub(1);
        let (held_days, is_constant) = self.held();
        let asked = steps.as_ref().map(|steps| steps.next_after(here, held_days, is_constant));
        let line = |(n, point): (usize, &calc::drying::step_down::SetPoint)| {
            let salt = Salt::nearest(point.rh_pct, schedule.chamber_c).ok();
            let begun = self.steps.get(n);
            let state = match begun {
                Some(step) if !step.reason.is_empty() => {
                    format!("since {}: {}", show_moment(step.begun_at), step.reason)
                }
                Some(step) => format!("since {}", show_moment(step.begun_at)),
                None => String::new(),
            };
            StepLine {
                number: n + 1,
                rh: format!("{} %", show_measure(point.rh_pct)),
                salt: salt
                    .map(|(s, rh)| format!("{}, {} ({} %)", s.name, s.formula, fixed(rh, 1)))
                    .unwrap_or_default(),
                earliest: format!("day {}", show_measure(point.from_day)),
                state,
                here: n == here,
            }
        };
        let inputs = vec![
            (
                "From, to, in steps of",
                format!(
                    "{} %, {} %, {} %",
                    show_measure(schedule.start_pct),
                    show_measure(schedule.end_pct),
                    show_measure(schedule.step_pct)
                ),
            ),
            ("Held at least", format!("{} days", show_measure(schedule.hold_days))),
            ("Chamber", format!("{} °C", show_measure(schedule.chamber_c))),
            (
                "Humidity over the salts",
                format!("{}; {}", salts::SET_POINTS.formula, salts::SET_POINTS.sources[0]),
            ),
        ];
        ScheduleView {
            figure: Figure::of(
                "Schedule",
                format!("{} steps", set_points.len()),
                &step_down::STEP_DOWN,
                inputs,
            ),
            steps: set_points.iter().enumerate().map(line).collect(),
            next: set_points.get(here + 1).map(|point| format!("{} %", show_measure(point.rh_pct))),
            waits: asked.and_then(Result::err).map(|refused| refused.to_string()),
        }
    }
}

/// A change in %, to two decimals, an even nought as 0.
fn change_words(change: f64) -> String {
    if change == 0.0 { "0".into() } else { fixed(change, 2) }
}
