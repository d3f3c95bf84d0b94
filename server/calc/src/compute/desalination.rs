//! Desalination over JSON.
use super::{ComputeError, Fields, Verb};
use crate::desalination::{Bath, EndRule, Release, SaltLoad, Slab, sqrt_time_line};
use serde_json::{Value, json};

pub(super) const CUMULATIVE_RELEASE: Verb = Verb {
    name: "cumulative-release",
    summary: "What a row of baths took out",
    inputs: &["baths", "object_mass_g", "carryover_l"],
    outputs: &["cumulative_mg", "per_g_object_mg", "last_bath_share_pct"],
    answer: cumulative_release,
};

pub(super) const SQRT_TIME_FIT: Verb = Verb {
    name: "sqrt-time-fit",
    summary: "The line of the release against the square root of time",
    inputs: &["t_days", "cum_mg"],
    outputs: &["slope_mg_per_sqrt_day", "intercept_mg", "r2"],
    answer: sqrt_time_fit,
};

pub(super) const SLAB_DIFFUSION_RELEASE: Verb = Verb {
    name: "slab-diffusion-release",
    summary: "The share of salt that is out of a wall, and when nine tenths are",
    inputs: &["D_m2_s", "half_thickness_m", "t_s"],
    outputs: &["fraction_released", "short_time_sqrt_approx", "t90_s"],
    answer: slab_diffusion_release,
};

pub(super) const END_POINT_CONSECUTIVE: Verb = Verb {
    name: "end-point-consecutive",
    summary: "The bath with which an end rule is met",
    inputs: &["values", "threshold", "consecutive"],
    outputs: &["end_point_bath", "reached"],
    answer: end_point_consecutive,
};

pub(super) const CONDUCTIVITY_TO_CHLORIDE: Verb = Verb {
    name: "conductivity-to-chloride",
    summary: "The sodium chloride and chloride that conduct as a bath does",
    inputs: &["cond_us_cm", "t_c"],
    outputs: &["cond_25c_us_cm", "nacl_mol_l", "nacl_mg_l", "cl_mg_l"],
    answer: conductivity_to_chloride,
};

const BATH: [&str; 4] = ["day_end", "volume_l", "conc_start_mg_l", "conc_end_mg_l"];

fn cumulative_release(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let baths = fields.rows("baths", &BATH)?.iter().map(bath).collect::<Result<Vec<_>, _>>()?;
    let carry_over = fields.number_or_none("carryover_l")?.unwrap_or(0.0);
    let release = Release::of(&baths, fields.number("object_mass_g")?, carry_over)?;
    Ok(json!({
        "cumulative_mg": release.cumulative_mg,
        "per_g_object_mg": release.per_g_mg,
        "last_bath_share_pct": release.last_share_pct,
    }))
}

fn bath(fields: &Fields<'_>) -> Result<Bath, ComputeError> {
    Ok(Bath {
        day: fields.number("day_end")?,
        volume_l: fields.number("volume_l")?,
        supply_mg_l: fields.number("conc_start_mg_l")?,
        end_mg_l: fields.number("conc_end_mg_l")?,
    })
}

fn sqrt_time_fit(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let line = sqrt_time_line(&fields.numbers("t_days")?, &fields.numbers("cum_mg")?)?;
    Ok(json!({
        "slope_mg_per_sqrt_day": line.slope,
        "intercept_mg": line.intercept,
        "r2": line.r2,
    }))
}

fn slab_diffusion_release(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let slab = Slab::new(fields.number("D_m2_s")?, fields.number("half_thickness_m")?)?;
    let time = fields.number("t_s")?;
    Ok(json!({
        "fraction_released": slab.released(time)?,
        "short_time_sqrt_approx": slab.released_early(time)?,
        "t90_s": slab.time_until_s(0.9)?,
    }))
}

fn end_point_consecutive(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let row = match fields.whole_or_none("consecutive")? {
        None => EndRule::USUAL_ROW,
        Some(row) => usize::try_from(row)
            .map_err(|_| ComputeError::new("consecutive", "consecutive counts baths from 1."))?,
    };
    let rule = EndRule::new(fields.number("threshold")?, row)?;
    let end = rule.judge(&fields.numbers("values")?)?;
    Ok(json!({ "end_point_bath": end.bath, "reached": end.is_reached(), "missing": end.missing }))
}

fn conductivity_to_chloride(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let load = SaltLoad::of(fields.number("cond_us_cm")?, fields.number("t_c")?)?;
    Ok(json!({
        "cond_25c_us_cm": load.at_25_us_cm,
        "nacl_mol_l": load.nacl_mol_l,
        "nacl_mg_l": load.nacl_mg_l,
        "cl_mg_l": load.chloride_mg_l,
    }))
}
