//! A run as it is begun.
use super::form::{DEGREES, MASSES, PERCENT, VOLUMES, amount, moment, needed};
use crate::form::Errors;
use calc::Quantity;
use calc::desalination::{EndRule, end_point, release};
use calc::drying::{Standard, StepDown, constant_mass, step_down};
use domain::Instant;
use domain::runs::{BathPlan, DryingPlan, Plan, RunKind, Schedule};
use store::finds::Find;

const DAYS: &[(&str, f64)] = &[("days", 1.0), ("d", 1.0)];
const NORMALISED: &[(&str, f64)] = &[("µS/cm · L/kg", 1.0)];
/// Temperatures for which every salt of the table has a humidity.
const CHAMBER: Quantity = Quantity::new("chamber_c", "the temperature of the chamber", "°C", 0.0, 30.0);

/// As typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct StartForm {
    pub find: Vec<String>,
    pub quantity: Vec<String>,
    pub started_at: String,
    pub done_by: String,
    pub method: String,
    pub mass_g: String,
    // drying
    pub standard: String,
    pub balance_g: String,
    pub rh_start_pct: String,
    pub rh_end_pct: String,
    pub rh_step_pct: String,
    pub hold_days: String,
    pub chamber_c: String,
    // desalination
    pub carry_over_l: String,
    pub threshold: String,
    pub baths_in_row: String,
    pub threshold_reason: String,
}

/// A run that may be begun.
pub(super) struct Started {
    pub at: Instant,
    pub done_by: String,
    pub method: String,
    pub mass_g: f64,
    pub plan: Plan,
    pub quantities: Vec<Option<i64>>,
}

impl StartForm {
    /// The run, or what is wrong with the form.
    pub(super) fn parse(&self, kind: RunKind, finds: &[Find], now: Instant) -> Result<Started, Errors> {
        let mut errors = Errors::default();
        let at = moment(&mut errors, "started_at", &self.started_at, now);
        let done_by = errors.required(
            "done_by",
            &self.done_by,
            "Say who began it; several names are separated by commas.",
        );
        let method = errors.line("method", &self.method);
        let mass = (&calc::drying::MASS, MASSES);
        let mass = needed(&mut errors, "mass_g", &self.mass_g, mass, "Weigh it before it begins.");
        let plan = match kind {
            RunKind::Drying => self.drying(&mut errors, mass).map(Plan::Drying),
            RunKind::Desalination => self.desalination(&mut errors, mass).map(Plan::Desalination),
        };
        let quantities = self.quantities(finds, &mut errors);
        match (at, mass, plan) {
            (Some(at), Some(mass_g), Some(plan)) if errors.is_empty() => {
                Ok(Started { at, done_by, method, mass_g, plan, quantities })
            }
            _ => Err(errors),
        }
    }

    fn quantities(&self, finds: &[Find], errors: &mut Errors) -> Vec<Option<i64>> {
        let typed = |find: &Find| self.find.iter().position(|id| *id == find.id.to_string());
        let of = |find: &Find| {
            let typed = typed(find).and_then(|at| self.quantity.get(at)).filter(|_| find.bulk);
            let quantity = typed.and_then(|typed| errors.whole("quantity", typed, 1));
            if quantity.is_some_and(|quantity| quantity > find.quantity) {
                let sentence =
                    format!("{} holds {} pieces; write no more than that.", find.number, find.quantity);
                errors.add("quantity", sentence);
            }
            quantity
        };
        finds.iter().map(of).collect()
    }

    fn drying(&self, errors: &mut Errors, mass: Option<f64>) -> Option<DryingPlan> {
        let standard = Standard::named(&self.standard);
        if standard.is_none() {
            errors.add("standard", "Choose the standard to go by.");
        }
        let resolution = (&constant_mass::RESOLUTION, MASSES);
        let missing = "Say the smallest difference that the balance shows.";
        let balance = needed(errors, "balance_g", &self.balance_g, resolution, missing);
        if let (Some(balance), Some(mass)) = (balance, mass)
            && let Err(refused) = constant_mass::check_balance(balance, mass)
        {
            errors.add("balance_g", refused.to_string());
        }
        let schedule = self.schedule(errors);
        Some(DryingPlan { standard: standard?.key.to_owned(), balance_g: balance?, schedule: schedule? })
    }

    /// The schedule, none where nothing of it is filled in; nothing at all where it is wrong.
    #[allow(clippy::option_option, reason = "wrong, not wanted, wanted")]
    fn schedule(&self, errors: &mut Errors) -> Option<Option<Schedule>> {
        let typed = [&self.rh_start_pct, &self.rh_end_pct, &self.rh_step_pct, &self.hold_days];
        if typed.iter().all(|typed| typed.trim().is_empty()) {
            return Some(None);
        }
        let missing = "A schedule needs this, or none of its fields.";
        let start = needed(errors, "rh_start_pct", &self.rh_start_pct, (&step_down::START, PERCENT), missing);
        let end = needed(errors, "rh_end_pct", &self.rh_end_pct, (&step_down::END, PERCENT), missing);
        let step = needed(errors, "rh_step_pct", &self.rh_step_pct, (&step_down::STEP, PERCENT), missing);
        let hold = needed(errors, "hold_days", &self.hold_days, (&step_down::HOLD, DAYS), missing);
        let chamber = needed(errors, "chamber_c", &self.chamber_c, (&CHAMBER, DEGREES), missing);
        let schedule = Schedule {
            start_pct: start?,
            end_pct: end?,
            step_pct: step?,
            hold_days: hold?,
            chamber_c: chamber?,
        };
        match StepDown::new(schedule.start_pct, schedule.end_pct, schedule.step_pct, schedule.hold_days) {
            Ok(steps) if steps.set_points.len() > 40 => {
                errors.add(
                    "rh_step_pct",
                    format!("This makes {} steps; 40 are enough. Take larger ones.", steps.set_points.len()),
                );
                None
            }
            Ok(_) => Some(Some(schedule)),
            Err(refused) => {
                errors.add("rh_end_pct", refused.to_string());
                None
            }
        }
    }

    fn desalination(&self, errors: &mut Errors, mass: Option<f64>) -> Option<BathPlan> {
        let carry = (&release::CARRY_OVER, VOLUMES);
        let carry_over_l = amount(errors, "carry_over_l", &self.carry_over_l, carry).unwrap_or(0.0);
        let threshold = (&end_point::THRESHOLD, NORMALISED);
        let missing = "Say which reading counts as clean; no value holds for all.";
        let threshold = needed(errors, "threshold", &self.threshold, threshold, missing);
        let baths_in_row = errors.whole("baths_in_row", &self.baths_in_row, 1);
        let baths_in_row = baths_in_row.unwrap_or(EndRule::USUAL_ROW as i64);
        if baths_in_row > 100 {
            errors.add("baths_in_row", "A hundred baths in a row are enough.");
        }
        let missing = "Say why this threshold: the water, a test piece, the lab’s rule.";
        let threshold_reason = errors.required("threshold_reason", &self.threshold_reason, missing);
        Some(BathPlan { mass_g: mass?, carry_over_l, threshold: threshold?, baths_in_row, threshold_reason })
    }
}
