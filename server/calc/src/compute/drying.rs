//! Drying over JSON. Times h, masses g, humidities % relative.
use super::{ComputeError, Fields, Verb};
use crate::Quantity;
use crate::drying::{ConstantMass, DryingCurve, Salt, Standard, StepDown};
use crate::regression::Saturation;
use serde_json::{Value, json};

pub(super) const CONSTANT_MASS: Verb = Verb {
    name: "constant-mass",
    summary: "Whether weighings prove constant mass by a standard",
    inputs: &["t_h", "mass_g", "rule", "balance_resolution_g"],
    outputs: &["change_pct", "constant_mass_at_h"],
    answer: constant_mass,
};

pub(super) const EXPONENTIAL_DRYING_FIT: Verb = Verb {
    name: "exponential-drying-fit",
    summary: "The curve through weighings and its projected end",
    inputs: &["t_h", "mass_g", "from_reading"],
    outputs: &["m_inf_g", "m0_fit_g", "k_per_h", "half_time_h", "constant_mass_projected_h", "resid_sd_g"],
    answer: exponential_drying_fit,
};

pub(super) const SATURATING_EXPONENTIAL_CERTIFIED: Verb = Verb {
    name: "saturating-exponential-certified",
    summary: "The curve b1 (1 − e^(−b2 x)) through points, to check the fit against certified values",
    inputs: &["dataset", "x", "y", "model"],
    outputs: &["b1", "b2"],
    answer: saturating_exponential,
};

pub(super) const SATURATED_SALT_RH: Verb = Verb {
    name: "saturated-salt-rh",
    summary: "The humidity over a saturated salt solution",
    inputs: &["salt", "t_c"],
    outputs: &["rh_pct"],
    answer: saturated_salt_rh,
};

pub(super) const STEP_DOWN_SCHEDULE: Verb = Verb {
    name: "step-down-schedule",
    summary: "A schedule of falling humidities",
    inputs: &["rh_start_pct", "rh_end_pct", "step_pct", "min_hold_days"],
    outputs: &["steps", "earliest_end_day"],
    answer: step_down_schedule,
};

const MODEL: &str = "y=b1(1-exp(-b2 x))";
const X: Quantity = Quantity::new("x", "x", "", 0.0, 1e9);
const Y: Quantity = Quantity::new("y", "y", "", -1e9, 1e9);

/// `two_weighings` and `three_weighings`, or the key of a standard.
fn standard(rule: &str) -> Option<Standard> {
    match rule {
        "two_weighings" => Some(Standard::EN_13755),
        "three_weighings" => Some(Standard::EN_ISO_12570),
        key => Standard::named(key).copied(),
    }
}

fn constant_mass(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let standard = standard(fields.text("rule")?).ok_or_else(|| {
        let keys = Standard::ALL.map(|standard| standard.key).join(", ");
        ComputeError::new("rule", format!("rule is two_weighings, three_weighings, {keys}."))
    })?;
    let (times, masses) = (fields.numbers("t_h")?, fields.numbers("mass_g")?);
    let resolution = fields.number_or_none("balance_resolution_g")?;
    let judged = ConstantMass::of(&times, &masses, &standard, resolution)?;
    Ok(json!({
        "change_pct": judged.change_pct,
        "constant_mass_at_h": judged.reached_at_h,
        "holds": judged.holds,
        "loss_g": judged.loss_g,
        "loss_pct": judged.loss_pct,
        "standard": standard.name,
    }))
}

fn exponential_drying_fit(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let (times, masses) = (fields.numbers("t_h")?, fields.numbers("mass_g")?);
    let first = usize::try_from(fields.whole_or_none("from_reading")?.unwrap_or(1)).ok().filter(|n| *n > 0);
    let first = first.ok_or_else(|| ComputeError::new("from_reading", "from_reading counts from 1."))?;
    let curve = DryingCurve::through_from(&times, &masses, first)?;
    Ok(json!({
        "m_inf_g": curve.final_g,
        "m_inf_se_g": curve.final_se_g,
        "m0_fit_g": curve.start_g,
        "k_per_h": curve.rate_per_h,
        "half_time_h": curve.half_time_h,
        "constant_mass_projected_h": curve.constant_at_h,
        "resid_sd_g": curve.residual_sd_g,
    }))
}

fn saturating_exponential(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let model = if fields.has("model") { fields.text("model")? } else { MODEL };
    if model != MODEL {
        return Err(ComputeError::new("model", format!("model is {MODEL}.")));
    }
    let (x, y) = (fields.numbers("x")?, fields.numbers("y")?);
    X.check_paired(x.len(), &Y, y.len())?;
    X.check_rising(&x)?;
    Y.check_each(&y)?;
    let curve = Saturation::through("y", &x.into_iter().zip(y).collect::<Vec<_>>())?;
    Ok(json!({
        "b1": curve.top,
        "b2": curve.rate,
        "b1_se": curve.top_se,
        "b2_se": curve.rate_se,
        "resid_sd": curve.residual_sd,
    }))
}

fn saturated_salt_rh(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let salt = Salt::named(fields.text("salt")?).ok_or_else(|| {
        let names = Salt::ALL.map(|salt| salt.name).join(", ");
        ComputeError::new("salt", format!("salt is one of {names}."))
    })?;
    Ok(json!({ "rh_pct": salt.rh_pct(fields.number("t_c")?)? }))
}

fn step_down_schedule(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let (start, end) = (fields.number("rh_start_pct")?, fields.number("rh_end_pct")?);
    let (step, hold) = (fields.number("step_pct")?, fields.number("min_hold_days")?);
    let schedule = StepDown::new(start, end, step, hold)?;
    let steps: Vec<[f64; 2]> =
        schedule.set_points.iter().map(|point| [point.from_day, point.rh_pct]).collect();
    Ok(json!({ "steps": steps, "earliest_end_day": schedule.earliest_end_day }))
}
