//! Dates as specialists write them, read by the published rules of the calculation crate.
use crate::error::{Answer, AppError};
use calc::chronology::{Convention, Settings};
use domain::ids::ProjectId;
use domain::review::Years;
use store::Tx;

/// How words were read.
pub(crate) struct Reading {
    pub years: Years,
    pub label: String,
    pub rule: String,
}

/// Reads words under a convention; the sentence says what is wrong and what would be understood.
pub(crate) fn read(words: &str, convention: &str) -> Result<Reading, String> {
    let convention = Convention::named(convention).unwrap_or(Convention::Thirds);
    let settings = Settings { convention, ..Settings::default() };
    let reading =
        calc::chronology::read(words, &settings).map_err(|refused| match refused.suggestions() {
            [] => refused.to_string(),
            others => format!("{refused} Did you mean {}?", others.join(", or ")),
        })?;
    let years = Years {
        lo: reading.range.lo().map(|year| year.number()),
        hi: reading.range.hi().map(|year| year.number()),
    };
    Ok(Reading { years, label: label(years), rule: reading.rule.join("; ") })
}

/// The convention of a project.
pub(crate) async fn convention_of(tx: &mut Tx, project: ProjectId) -> Answer<String> {
    let project = store::projects::find(tx, project).await?.ok_or(AppError::NotFound)?;
    Ok(project.date_convention)
}

/// A range in words: “AD 1417 to 1461”, “33 BC to AD 10”, “after AD 43”.
pub(crate) fn label(years: Years) -> String {
    match (years.lo, years.hi) {
        (Some(lo), Some(hi)) if lo == hi => year(lo),
        (Some(lo), Some(hi)) => format!("{} to {}", year(lo), year(hi)),
        (Some(lo), None) => format!("{} or later", year(lo)),
        (None, Some(hi)) => format!("{} or earlier", year(hi)),
        (None, None) => "no limits".into(),
    }
}

/// An astronomical year in words; 0 is 1 BC.
pub(crate) fn year(year: i64) -> String {
    if year > 0 { format!("AD {year}") } else { format!("{} BC", 1 - year) }
}
