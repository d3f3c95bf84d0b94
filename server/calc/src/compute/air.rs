//! Moist air over JSON. Temperatures °C, humidities % relative, pressures Pa.
use super::{ComputeError, Fields, Verb};
use crate::air::{self, Air, Enclosure, HUMIDITY, Phase, STANDARD_PRESSURE_PA, TEMPERATURE, moving};
use serde_json::{Value, json};

pub(super) const SATURATION_VAPOUR_PRESSURE: Verb = Verb {
    name: "saturation-vapour-pressure",
    summary: "The pressure of water vapour over water or ice",
    inputs: &["t_c"],
    outputs: &["p_sat_pa", "phase"],
    answer: saturation_vapour_pressure,
};

pub(super) const DEW_FROST_POINT: Verb = Verb {
    name: "dew-frost-point",
    summary: "The temperature at which air lets its water go",
    inputs: &["t_c", "rh_pct"],
    outputs: &["dew_or_frost_point_c", "kind"],
    answer: dew_frost_point,
};

pub(super) const ABSOLUTE_HUMIDITY: Verb = Verb {
    name: "absolute-humidity",
    summary: "The water in air, per cubic metre and per kilogram",
    inputs: &["t_c", "rh_pct", "altitude_m"],
    outputs: &["vapour_pressure_pa", "absolute_humidity_g_m3", "humidity_ratio_g_kg_at_101325"],
    answer: absolute_humidity,
};

pub(super) const RH_AFTER_TEMPERATURE_CHANGE: Verb = Verb {
    name: "rh-after-temperature-change",
    summary: "The humidity of enclosed air at another temperature",
    inputs: &["t1_c", "rh1_pct", "t2_c", "mode"],
    outputs: &["rh2_pct", "saturated", "condensate_g_m3"],
    answer: rh_after_temperature_change,
};

pub(super) const CONDENSATION_ON_MOVING: Verb = Verb {
    name: "condensation-on-moving",
    summary: "Whether a find sweats in another room, and how warm it has to be first",
    inputs: &["object_t_c", "room_t_c", "room_rh_pct"],
    outputs: &["dew_point_c", "surface_rh_pct", "state", "min_object_t_for_clear_c"],
    answer: condensation_on_moving,
};

fn saturation_vapour_pressure(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let (pressure, phase) = air::saturation_pressure_pa(fields.number("t_c")?)?;
    Ok(json!({ "p_sat_pa": pressure, "phase": phase.name() }))
}

fn dew_frost_point(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let dew = Air::new(fields.number("t_c")?, fields.number("rh_pct")?)?.dew_point()?;
    Ok(json!({ "dew_or_frost_point_c": dew.t_c, "kind": kind(dew.phase) }))
}

fn kind(phase: Phase) -> &'static str {
    match phase {
        Phase::Water => "dew",
        Phase::Ice => "frost",
    }
}

fn absolute_humidity(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let air = Air::new(fields.number("t_c")?, fields.number("rh_pct")?)?;
    let mut answer = json!({
        "vapour_pressure_pa": air.vapour_pressure_pa(),
        "absolute_humidity_g_m3": air.absolute_humidity_g_m3(),
        "humidity_ratio_g_kg_at_101325": air.humidity_ratio_g_kg(STANDARD_PRESSURE_PA)?,
    });
    if let Some(altitude) = fields.number_or_none("altitude_m")? {
        let pressure = air::pressure_at_altitude_pa(altitude)?;
        answer["pressure_pa"] = json!(pressure);
        answer["humidity_ratio_g_kg"] = json!(air.humidity_ratio_g_kg(pressure)?);
    }
    Ok(answer)
}

fn rh_after_temperature_change(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let air = Air::under(
        &TEMPERATURE.called("t1_c", "the first temperature"),
        fields.number("t1_c")?,
        &HUMIDITY.called("rh1_pct", "the first relative humidity"),
        fields.number("rh1_pct")?,
    )?;
    let enclosure = match fields.has("mode") {
        true => Enclosure::named(fields.text("mode")?)
            .ok_or_else(|| ComputeError::new("mode", "mode is constant_pressure or rigid_sealed."))?,
        false => Enclosure::default(),
    };
    let change = moving::brought_to(air, fields.number("t2_c")?, enclosure)?;
    Ok(json!({
        "rh2_pct": change.rh_pct,
        "saturated": change.is_saturated,
        "condensate_g_m3": change.condensate_g_m3,
        "mode": enclosure.name(),
    }))
}

fn condensation_on_moving(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let room = Air::under(
        &moving::ROOM_TEMPERATURE,
        fields.number("room_t_c")?,
        &moving::ROOM_HUMIDITY,
        fields.number("room_rh_pct")?,
    )?;
    let met = moving::condensation(fields.number("object_t_c")?, room)?;
    Ok(json!({
        "dew_point_c": met.dew_point.t_c,
        "kind": kind(met.dew_point.phase),
        "surface_rh_pct": met.surface_rh_pct,
        "state": met.state.name(),
        "min_object_t_for_clear_c": met.clear_from_c,
    }))
}
