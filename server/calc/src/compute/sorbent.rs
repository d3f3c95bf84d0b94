//! Sorbent in a box over JSON. Humidities % relative, m kg, M g per kg and %, V m³, N air changes a day.
use super::{ComputeError, Fields, Verb};
use crate::sorbent::{AirExchange, Course, Isotherm, PackedBox, Reservoir, Sorbent, half_time};
use serde_json::{Value, json};

pub(super) const BOX_RH_AFTER_TIME: Verb = Verb {
    name: "box-rh-after-time",
    summary: "The humidity in a box with sorbent after some days",
    inputs: &["rh0_pct", "rh_ext_pct", "m_kg", "M_g_per_kg_pct", "V_m3", "N_per_day", "t_c", "days"],
    outputs: &["tau_days", "half_time_days", "rh_pct"],
    answer: box_rh_after_time,
};

pub(super) const HYGROMETRIC_HALF_TIME: Verb = Verb {
    name: "hygrometric-half-time",
    summary: "The half-time of a case by the rule 4 M B, and exactly",
    inputs: &["M_g_per_kg_pct", "B_kg_m3"],
    outputs: &["half_time_days_rule_4MB", "half_time_days_exact_20C_excl_air"],
    answer: hygrometric_half_time,
};

pub(super) const SORBENT_MASS: Verb = Verb {
    name: "sorbent-mass",
    summary: "The sorbent that keeps a box within its limit for so many days",
    inputs: &["rh0_pct", "rh_ext_pct", "rh_limit_pct", "days", "M_g_per_kg_pct", "V_m3", "N_per_day", "t_c"],
    outputs: &["mass_kg_exponential", "mass_kg_linear", "density_kg_m3_linear"],
    answer: sorbent_mass,
};

pub(super) const DAYS_UNTIL_LIMIT: Verb = Verb {
    name: "days-until-limit",
    summary: "The days until the sorbent in a box is exhausted",
    inputs: &["rh0_pct", "rh_ext_pct", "rh_limit_pct", "m_kg", "M_g_per_kg_pct", "V_m3", "N_per_day", "t_c"],
    outputs: &["days_until_limit", "status"],
    answer: days_until_limit,
};

pub(super) const AIR_EXCHANGE_FROM_DECAY: Verb = Verb {
    name: "air-exchange-from-decay",
    summary: "How often the air of a box changes, from the decay of a tracer",
    inputs: &["t_h", "conc", "background"],
    outputs: &["N_per_day", "ci95_low", "ci95_high", "r2"],
    answer: air_exchange_from_decay,
};

pub(super) const BOX_RH_SERIES: Verb = Verb {
    name: "box-rh-series",
    summary: "The humidity in a box while that outside changes",
    inputs: &[
        "rh0_pct",
        "m_kg",
        "M_g_per_kg_pct",
        "isotherm",
        "V_m3",
        "N_per_day",
        "t_c",
        "step_h",
        "rh_ext_pct",
    ],
    outputs: &["rh_end_each_step_pct", "min", "max"],
    answer: box_rh_series,
};

fn packed_box(fields: &Fields<'_>) -> Result<PackedBox, ComputeError> {
    let (volume, exchange) = (fields.number("V_m3")?, fields.number("N_per_day")?);
    Ok(PackedBox::new(volume, exchange, fields.number("t_c")?)?)
}

fn sorbent(fields: &Fields<'_>) -> Result<Sorbent, ComputeError> {
    Ok(Sorbent::new(fields.number("m_kg")?, fields.number("M_g_per_kg_pct")?)?)
}

fn course(fields: &Fields<'_>) -> Result<Course, ComputeError> {
    let (start, outside) = (fields.number("rh0_pct")?, fields.number("rh_ext_pct")?);
    Ok(Course::new(start, outside, fields.number("rh_limit_pct")?)?)
}

fn box_rh_after_time(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let (start, outside) = (fields.number("rh0_pct")?, fields.number("rh_ext_pct")?);
    let drift = packed_box(fields)?.after(sorbent(fields)?, start, outside, fields.number("days")?)?;
    Ok(json!({
        "tau_days": drift.tau_days,
        "half_time_days": drift.half_time_days,
        "rh_pct": drift.rh_pct,
    }))
}

fn hygrometric_half_time(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let half = half_time(fields.number("M_g_per_kg_pct")?, fields.number("B_kg_m3")?)?;
    Ok(json!({
        "half_time_days_rule_4MB": half.by_rule_days,
        "half_time_days_exact_20C_excl_air": half.exact_days,
    }))
}

fn sorbent_mass(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let (days, reservoir) = (fields.number("days")?, fields.number("M_g_per_kg_pct")?);
    let need = packed_box(fields)?.sorbent_needed(course(fields)?, days, reservoir)?;
    Ok(json!({
        "mass_kg_exponential": need.exponential_kg,
        "mass_kg_linear": need.linear_kg,
        "density_kg_m3_linear": need.linear_kg_m3,
        "needed": need.is_needed,
    }))
}

fn days_until_limit(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let until = packed_box(fields)?.days_until(sorbent(fields)?, course(fields)?);
    Ok(json!({ "days_until_limit": until.days(), "status": until.name() }))
}

fn air_exchange_from_decay(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let (times, concentrations) = (fields.numbers("t_h")?, fields.numbers("conc")?);
    let found = AirExchange::from_decay(&times, &concentrations, fields.number("background")?)?;
    Ok(json!({
        "N_per_day": found.per_day,
        "ci95_low": found.low_95,
        "ci95_high": found.high_95,
        "r2": found.r2,
        "doubtful": found.is_doubtful(),
    }))
}

fn box_rh_series(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let (mass, reservoir) = (fields.number("m_kg")?, reservoir(fields)?);
    let (start, step) = (fields.number("rh0_pct")?, fields.number("step_h")?);
    let outside = fields.numbers("rh_ext_pct")?;
    let series = packed_box(fields)?.series((mass, &reservoir), start, step, &outside)?;
    Ok(json!({ "rh_end_each_step_pct": series.rh_pct, "min": series.min_pct, "max": series.max_pct }))
}

fn reservoir(fields: &Fields<'_>) -> Result<Reservoir, ComputeError> {
    match (fields.has("isotherm"), fields.has("M_g_per_kg_pct")) {
        (false, _) => Ok(Reservoir::Constant(fields.number("M_g_per_kg_pct")?)),
        (true, true) => Err(ComputeError::new("isotherm", "Give M_g_per_kg_pct or isotherm, not both.")),
        (true, false) => {
            let points: Option<Vec<(f64, f64)>> = fields.list("isotherm")?.iter().map(point).collect();
            let message = "isotherm is a list of pairs: humidity in %, water held in g/kg.";
            let points = points.ok_or_else(|| ComputeError::new("isotherm", message))?;
            Ok(Reservoir::Isotherm(Isotherm::new(&points)?))
        }
    }
}

fn point(value: &Value) -> Option<(f64, f64)> {
    match value.as_array()?.as_slice() {
        [humidity, content] => Some((humidity.as_f64()?, content.as_f64()?)),
        _ => None,
    }
}
