//! Mass against time, with the curve and where it settles.
use super::Readings;
use crate::figure::figures;
use crate::filters::show_measure;
use crate::plot::{Axis, Plot, Side};
use calc::drying::{ConstantMass, DryingCurve};

/// Two standard deviations either side hold about 95 % of the weighings.
const BAND: f64 = 2.0;
/// The curve is drawn to its end, but not over more than this many times the weighings so far.
const FARTHEST: f64 = 2.5;

impl Readings<'_> {
    pub(super) fn draw(&self, whole: Option<&ConstantMass>, curve: Option<&DryingCurve>) -> Option<Plot> {
        let (hours, masses) = self.columns(None);
        let last = hours.last().copied().filter(|_| hours.len() > 1)?;
        let end = curve.map_or(last, |curve| curve.constant_at_h.clamp(last, last * FARTHEST)) * 1.04;
        let (low, high) = masses.iter().fold((f64::MAX, f64::MIN), |(l, h), m| (l.min(*m), h.max(*m)));
        let low = curve.map_or(low, |curve| low.min(curve.final_g));
        let room = (high - low).max(self.plan.balance_g * 4.0) * 0.16;
        let y = Axis::up("mass, g", low - room, high + room);
        let mut plot = Plot::new(
            "drying",
            "Mass against time",
            Axis::across("days since the first weighing", 0.0, end / 24.0),
            y,
        );
        if let Some(curve) = curve {
            self.draw_curve(&mut plot, curve, (last, end));
        }
        for (n, step) in self.steps.iter().enumerate().skip(1) {
            if let (Some(first), Some(point)) = (self.standing().next(), self.set_point(n)) {
                plot.upright(
                    (step.begun_at - first.weighed_at).num_minutes() as f64 / 1440.0,
                    format!("{} % RH", show_measure(point)),
                );
            }
        }
        for (n, (hour, mass)) in hours.iter().zip(&masses).enumerate() {
            let meets = whole.is_some_and(|w| w.is_constant.get(n).copied().unwrap_or(false));
            plot.dot((hour / 24.0, *mass), meets, format!("{}: {}", self.day_at(*hour), self.grams(*mass)));
        }
        plot.words = self.plot_words(curve, &masses);
        Some(plot)
    }

    fn set_point(&self, n: usize) -> Option<f64> {
        Self::step_down(self.plan.schedule?)?.set_points.get(n).map(|point| point.rh_pct)
    }

    fn draw_curve(&self, plot: &mut Plot, curve: &DryingCurve, (last, end): (f64, f64)) {
        let points = |from: f64, to: f64, off: f64| -> Vec<(f64, f64)> {
            let hour = |n: i32| from + (to - from) * f64::from(n) / 60.0;
            (0..=60).map(hour).map(|hour| (hour / 24.0, curve.mass_g(hour) + off)).collect()
        };
        let spread = BAND * curve.residual_sd_g;
        plot.shade(&points(curve.first_h, end, spread), &points(curve.first_h, end, -spread));
        plot.line("line", &points(curve.first_h, last, 0.0));
        plot.line("line ahead", &points(last, end, 0.0));
        plot.level(curve.final_g, Side::Below, format!("settles at {} g", self.settled(curve)));
        if plot.x.holds(curve.constant_at_h / 24.0)
            && curve.constant_at_h > curve.first_h
            && self.steps.len() < 2
        {
            plot.upright(curve.constant_at_h / 24.0, "constant from about here".into());
        }
    }

    fn plot_words(&self, curve: Option<&DryingCurve>, masses: &[f64]) -> String {
        let ends = masses.first().zip(masses.last());
        let seen = ends.map(|(first, last)| {
            format!("{} weighings, from {} to {}.", masses.len(), self.grams(*first), self.grams(*last))
        });
        let drawn = curve.map_or_else(
            || " No curve is drawn through them yet.".to_owned(),
            |curve| format!(" The curve settles at {} g; the shade holds two standard deviations of the weighings about it, {} g either side.", self.settled(curve), figures(BAND * curve.residual_sd_g, 2)),
        );
        format!("{}{drawn} Filled points meet the standard.", seen.unwrap_or_default())
    }
}
