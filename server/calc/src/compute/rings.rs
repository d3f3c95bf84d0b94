//! Ring diameters over JSON, in mm.
use super::{ComputeError, Fields, Verb};
use crate::rings::{Mould, Rings, rank};
use serde_json::{Value, json};

pub(super) const RING_MOULD_MATCH: Verb = Verb {
    name: "ring-mould-match",
    summary: "Ring diameters against the moulds of a list",
    inputs: &["observed_mm", "u_mm", "moulds", "scale_mean", "scale_sd"],
    outputs: &["ranked", "excluded", "order"],
    answer: ring_mould_match,
};

fn ring_mould_match(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let rows = fields.rows("moulds", &["id", "rings_mm"])?;
    let moulds = rows
        .iter()
        .map(|row| Ok(Mould { name: row.text("id")?.to_owned(), rings_mm: row.numbers("rings_mm")? }));
    let moulds: Vec<Mould> = moulds.collect::<Result<_, ComputeError>>()?;
    let rings = Rings {
        observed_mm: fields.numbers("observed_mm")?,
        u_mm: fields.number("u_mm")?,
        scale_mean: fields.number("scale_mean")?,
        scale_sd: fields.number("scale_sd")?,
    };
    let ranking = rank(&rings, &moulds)?;
    let name = |mould: usize| moulds[mould].name.as_str();
    let ranked: Vec<Value> = ranking
        .ranked
        .iter()
        .map(|one| {
            json!({
                "id": name(one.mould),
                "log_likelihood": one.log_likelihood,
                "scale": one.scale,
                "weight": one.weight,
                "chi2": one.misfit,
                "chi2_probability": one.misfit_probability,
            })
        })
        .collect();
    let names = |places: &[usize]| places.iter().map(|&mould| name(mould)).collect::<Vec<_>>();
    let order: Vec<usize> = ranking.ranked.iter().map(|one| one.mould).collect();
    Ok(json!({
        "ranked": ranked,
        "excluded": names(&ranking.excluded),
        "order": names(&order),
        "finding": ranking.finding.words(),
        "named_together": names(&order[..ranking.tied]),
    }))
}
