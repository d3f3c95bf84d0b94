//! Opinions and dated finds over JSON. Years are astronomical integers (0 is 1 BC); a range is `[first, last]`.
use super::{ComputeError, Fields, Verb};
use crate::chronology::{DateRange, Year, aoristic_sum};
use crate::opinions::{Opinion, compare, pool};
use serde_json::{Value, json};

pub(super) const POOL_OPINIONS: Verb = Verb {
    name: "pool-opinions",
    summary: "Opinions on a date side by side, and pooled; the pool is not a date",
    inputs: &["opinions", "mass"],
    outputs: &[
        "intersection",
        "union",
        "mean_year",
        "median_year",
        "hdr",
        "hdr_mass",
        "pairwise_overlap",
        "agreement",
    ],
    answer: pool_opinions,
};

pub(super) const AORISTIC_SUM: Verb = Verb {
    name: "aoristic-sum",
    summary: "Dated finds spread over slices of time",
    inputs: &["finds", "start", "end", "width"],
    outputs: &["slices", "weight", "outside"],
    answer: aoristic,
};

fn pool_opinions(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let rows = fields.rows("opinions", &["lo", "hi", "weight"])?;
    let opinions = rows.iter().map(|row| {
        let opinion = Opinion::new(range(row)?);
        let weight = row.number_or_none("weight")?;
        Ok(weight.map_or(Ok(opinion.clone()), |weight| opinion.weighing(weight))?)
    });
    let opinions: Vec<Opinion> = opinions.collect::<Result<_, ComputeError>>()?;
    let pooled = pool(&opinions, fields.number("mass")?)?;
    let beside = compare(&opinions)?;
    let overlaps: Vec<Option<f64>> = beside.pairs.iter().map(|pair| pair.overlap).collect();
    Ok(json!({
        "intersection": beside.shared.first().map(ends),
        "union": beside.span.as_ref().map(ends),
        "gaps": all(&beside.gaps),
        "mean_year": pooled.mean_year,
        "median_year": pooled.median_year,
        "hdr": all(&pooled.densest),
        "hdr_mass": pooled.densest_mass,
        "pairwise_overlap": overlaps,
        "agreement": beside.agreement,
        "accord": beside.accord.words(),
    }))
}

fn aoristic(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let rows = fields.rows("finds", &["lo", "hi", "n"])?;
    let finds = rows.iter().map(|row| Ok((range(row)?, row.number_or_none("n")?.unwrap_or(1.0))));
    let finds: Vec<(DateRange, f64)> = finds.collect::<Result<_, ComputeError>>()?;
    let year = |name| Ok::<_, ComputeError>(Year::astronomical(fields.whole(name)?)?);
    let sum = aoristic_sum(&finds, year("start")?, year("end")?, fields.whole("width")?)?;
    let slices: Vec<Value> = sum.slices.iter().map(|slice| ends(&slice.range)).collect();
    let weights: Vec<f64> = sum.slices.iter().map(|slice| slice.weight).collect();
    Ok(json!({ "slices": slices, "weight": weights, "outside": sum.outside }))
}

/// A row's `lo` and `hi`; null or missing is an open end.
pub(super) fn range(row: &Fields<'_>) -> Result<DateRange, ComputeError> {
    let end = |name| row.whole_or_none(name)?.map(Year::astronomical).transpose().map_err(ComputeError::from);
    Ok(DateRange::new(end("lo")?, end("hi")?)?)
}

fn ends(range: &DateRange) -> Value {
    json!([range.lo(), range.hi()])
}

fn all(ranges: &[DateRange]) -> Vec<Value> {
    ranges.iter().map(ends).collect()
}
