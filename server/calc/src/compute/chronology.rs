//! Dates over JSON. Years are astronomical integers (0 is 1 BC); null is an open end.
use super::{ComputeError, Fields, Verb};
use crate::CalcError;
use crate::chronology::{Convention, DateRange, Settings, Year, edtf, read};
use serde_json::{Value, json};

pub(super) const DATE_PHRASE: Verb = Verb {
    name: "date-phrase",
    summary: "A date as specialists write it, in years",
    inputs: &["text", "convention", "circa_years"],
    outputs: &["lo", "hi", "label"],
    answer: date_phrase,
};

pub(super) const YEAR_NUMBERING: Verb = Verb {
    name: "year-numbering",
    summary: "A year BC or AD in astronomical numbering, before present, and in standard notation",
    inputs: &["bc_year", "ad_year"],
    outputs: &["astronomical", "cal_bp", "edtf_year"],
    answer: year_numbering,
};

pub(super) const INCLUSIVE_DURATION: Verb = Verb {
    name: "inclusive-duration",
    summary: "The number of years in a range, both ends counted",
    inputs: &["lo", "hi"],
    outputs: &["years_inclusive"],
    answer: inclusive_duration,
};

pub(super) const EDTF_OUTPUT: Verb = Verb {
    name: "edtf-output",
    summary: "A range of years in standard date notation",
    inputs: &["lo", "hi", "approximate", "uncertain"],
    outputs: &["edtf"],
    answer: edtf_output,
};

pub(super) const EDTF_PARSE_RANGE: Verb = Verb {
    name: "edtf-parse-range",
    summary: "A date in standard notation, in years",
    inputs: &["edtf"],
    outputs: &["lo", "hi"],
    answer: edtf_parse_range,
};

fn date_phrase(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let text = fields.text("text")?;
    let settings = Settings { convention: convention(fields)?, circa_years: circa_years(fields)? };
    let reading = read(text, &settings)?;
    let sources: Vec<String> = reading.sources.iter().map(ToString::to_string).collect();
    Ok(json!({
        "lo": reading.range.lo(),
        "hi": reading.range.hi(),
        "label": reading.label(),
        "approximate": reading.approximate,
        "uncertain": reading.uncertain,
        "alternatives": reading.alternatives,
        "together": reading.together,
        "edtf": reading.edtf(),
        "rule": reading.rule,
        "convention": settings.convention.name(),
        "circa_years": settings.circa_years,
        "sources": sources,
    }))
}

fn convention(fields: &Fields<'_>) -> Result<Convention, ComputeError> {
    if !fields.has("convention") {
        return Ok(Convention::default());
    }
    Convention::named(fields.text("convention")?)
        .ok_or_else(|| ComputeError::new("convention", "convention is thirds or quarters."))
}

fn circa_years(fields: &Fields<'_>) -> Result<i64, ComputeError> {
    Ok(fields.whole_or_none("circa_years")?.unwrap_or(Settings::default().circa_years))
}

fn year_numbering(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let year = match (fields.has("bc_year"), fields.has("ad_year")) {
        (true, false) => Year::bc(fields.whole("bc_year")?)?,
        (false, true) => Year::ad(fields.whole("ad_year")?)?,
        (true, true) => return Err(ComputeError::new("ad_year", "Give bc_year or ad_year, not both.")),
        (false, false) => return Err(ComputeError::new("bc_year", "Give bc_year or ad_year.")),
    };
    Ok(
        json!({ "astronomical": year, "cal_bp": year.cal_bp(), "edtf_year": year.edtf(), "label": year.to_string() }),
    )
}

fn inclusive_duration(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let range = DateRange::new(Some(year(fields, "lo")?), Some(year(fields, "hi")?))?;
    let years = range.years().ok_or(CalcError::Unbounded { field: "hi" })?;
    Ok(json!({ "years_inclusive": years }))
}

fn edtf_output(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let end = |name| if fields.has(name) { year(fields, name).map(Some) } else { Ok(None) };
    let range = DateRange::new(end("lo")?, end("hi")?)?;
    let (approximate, uncertain) = (fields.flag("approximate")?, fields.flag("uncertain")?);
    Ok(json!({ "edtf": edtf::write(&range, approximate, uncertain) }))
}

fn edtf_parse_range(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let read = edtf::parse(fields.text("edtf")?)?;
    Ok(json!({
        "lo": read.lo,
        "hi": read.hi,
        "approximate": read.approximate,
        "uncertain": read.uncertain,
    }))
}

fn year(fields: &Fields<'_>, name: &'static str) -> Result<Year, ComputeError> {
    Year::astronomical(fields.whole(name)?).map_err(|error| ComputeError::new(name, error.to_string()))
}
