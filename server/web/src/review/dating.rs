//! Dates as specialists write them, read by the published rules of the calculation crate.
use crate::error::{Answer, AppError};
use calc::chronology::phrase::{Likelihood, Together};
use calc::chronology::{Convention, DateRange, Settings};
use domain::ids::ProjectId;
use domain::review::Years;
use domain::review::opinion::Weight;
use store::Tx;

/// How words were read.
pub struct Reading {
    /// The span of everything that is named.
    pub years: Years,
    /// Each range that is named, with what the words say of it.
    pub ranges: Vec<(Years, Weight)>,
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
    let span = years(&reading.range);
    let ranges = match reading.alternatives.as_slice() {
        [] => vec![(span, Weight::Unsaid)],
        several => several.iter().map(|one| (years(&one.range), weight(one.likelihood))).collect(),
    };
    let label = match (ranges.len(), reading.together) {
        (1, _) => label(span),
        (_, Together::AllOf) => named(&ranges, " and "),
        _ => named(&ranges, " or "),
    };
    Ok(Reading { years: span, ranges, label, rule: reading.rule.join(" ") })
}

fn years(range: &DateRange) -> Years {
    Years { lo: range.lo().map(|year| year.number()), hi: range.hi().map(|year| year.number()) }
}

fn weight(said: Likelihood) -> Weight {
    match said {
        Likelihood::Unsaid => Weight::Unsaid,
        Likelihood::More => Weight::More,
        Likelihood::Less => Weight::Less,
    }
}

/// “AD 1368 to AD 1400 or, more likely, AD 1401 to AD 1433”.
fn named(ranges: &[(Years, Weight)], joiner: &str) -> String {
    let words = ranges.iter().map(|(years, weight)| weighed(*years, *weight));
    words.collect::<Vec<_>>().join(joiner)
}

/// “more likely AD 1401 to AD 1433”.
pub(crate) fn weighed(years: Years, weight: Weight) -> String {
    match weight {
        Weight::Unsaid => label(years),
        said => format!("{} {}", said.label(), label(years)),
    }
}

/// The convention of a project.
pub(crate) async fn convention_of(tx: &mut Tx, project: ProjectId) -> Answer<String> {
    let project = store::projects::find(tx, project).await?.ok_or(AppError::NotFound)?;
    Ok(project.date_convention)
}

/// A range in words: “AD 1417 to AD 1461”, “33 BC to AD 10”, “AD 43 or later”.
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
