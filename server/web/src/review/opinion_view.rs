//! A submitted opinion as pages show it.
use super::dating;
use crate::filters::{show_day, show_measure};
use domain::review::Finality;
use domain::review::opinion::{DateKind, Dated, Weight};
use store::review::content::{DateLine, Parallel, Recommendation};
use store::review::opinions::Opinion;

/// An opinion with its words ready.
pub(crate) struct OpinionView {
    pub id: String,
    /// Every author by name.
    pub author: String,
    pub qualification: String,
    pub byline: String,
    /// How it came, where somebody else entered it.
    pub entered: Option<String>,
    /// Where more of it stands, for whoever may go there.
    pub ways: Vec<(String, &'static str)>,
    pub identification: String,
    pub lines: Vec<(&'static str, String)>,
    pub parallels: Vec<String>,
    pub recommendations: Vec<String>,
    pub dates: Vec<Dated>,
    pub is_final: bool,
    /// “preliminary”, “final”.
    pub standing: &'static str,
    pub superseded: bool,
}

/// Makes an opinion ready to be shown.
pub(crate) fn view(opinion: &Opinion) -> OpinionView {
    let parts = &opinion.parts;
    let mut lines: Vec<(&'static str, String)> = vec![];
    if let Some(confidence) = opinion.confidence() {
        lines.push(("Identification", confidence.label().into()));
    }
    lines.extend(dates(&parts.dates));
    lines.extend([
        ("Material", opinion.material_words.clone()),
        ("Origin", opinion.origin.clone()),
        ("Rests on", opinion.basis.clone()),
        ("Not found", opinion.negative_findings.clone()),
        ("Significance", opinion.significance.clone()),
        ("Parallels", none_found(opinion)),
        ("Covers too", covers(opinion)),
    ]);
    lines.retain(|(_, words)| !words.is_empty());
    OpinionView {
        id: opinion.id.to_string(),
        author: authors(opinion),
        qualification: qualifications(opinion),
        byline: byline(opinion),
        entered: entered(opinion),
        ways: Vec::new(),
        identification: opinion.identification.clone(),
        lines,
        parallels: parts.parallels.iter().map(parallel).collect(),
        recommendations: parts.recommendations.iter().map(advice).collect(),
        dates: parts.dates.iter().map(DateLine::dated).collect(),
        is_final: opinion.finality == Finality::Final,
        standing: opinion.finality.label(),
        superseded: opinion.superseded_at.is_some(),
    }
}

/// “preliminary, from images, version 2, 3 Sep 2031”.
fn byline(opinion: &Opinion) -> String {
    format!(
        "{}, from {}, version {}, {}",
        opinion.finality.label(),
        opinion.seen_as.label(),
        opinion.version,
        show_day(opinion.submitted_at.date_naive())
    )
}

/// “entered by Bea Lisle-Okoro from a letter, not yet confirmed”; nothing where the author submitted it.
pub(crate) fn entered(opinion: &Opinion) -> Option<String> {
    let (by, came) = (opinion.entered_by.as_ref()?, opinion.came_as()?);
    let confirmed = match opinion.confirmed_at {
        Some(at) => format!("confirmed {}", show_day(at.date_naive())),
        None => "not yet confirmed".to_owned(),
    };
    Some(format!("entered by {by} from {}, {confirmed}", came.label()))
}

/// “Prof. Ilka Varnsted and Maren Ash”.
pub(crate) fn authors(opinion: &Opinion) -> String {
    let joint = opinion.parts.joint.iter().map(|author| author.name.as_str());
    let names: Vec<&str> = std::iter::once(opinion.author_name.as_str()).chain(joint).collect();
    match names.as_slice() {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => opinion.author_name.clone(),
    }
}

fn qualifications(opinion: &Opinion) -> String {
    let joint = opinion.parts.joint.iter().map(|author| author.qualification.as_str());
    let all = std::iter::once(opinion.qualification.as_str()).chain(joint);
    all.filter(|words| !words.is_empty()).collect::<Vec<_>>().join("; ")
}

/// One line for each statement: the words, the years they are read as, the rule.
fn dates(dates: &[DateLine]) -> Vec<(&'static str, String)> {
    dates.chunk_by(|a, b| a.statement == b.statement).filter_map(statement).collect()
}

fn statement(lines: &[DateLine]) -> Option<(&'static str, String)> {
    let first = lines.first()?;
    let years = |line: &DateLine| dating::weighed(line.dated().years, line.weight);
    let read: Vec<String> = lines.iter().map(years).collect();
    let rule = if first.rule.is_empty() { String::new() } else { format!("; {}", first.rule) };
    Some((kind_of(first.kind), format!("{} ({}{rule})", first.words, read.join(" or "))))
}

/// The name of a kind of date at the head of a line.
pub(crate) fn kind_of(kind: DateKind) -> &'static str {
    match kind {
        DateKind::Manufacture => "Made",
        DateKind::Use => "In use",
        DateKind::Deposition => "Deposited",
        DateKind::Scientific => "Scientific date",
    }
}

/// “more likely”, where a weight was given.
pub(crate) fn weight_of(weight: Weight) -> &'static str {
    if weight == Weight::Unsaid { "" } else { weight.label() }
}

pub(crate) fn none_found(opinion: &Opinion) -> String {
    let said = opinion.parallels_said.as_str();
    match opinion.parallels_none {
        true if said.is_empty() || said.to_lowercase().starts_with("none found") => {
            if said.is_empty() {
                "none found".into()
            } else {
                said.into()
            }
        }
        true => format!("none found: {said}"),
        false => said.into(),
    }
}

fn covers(opinion: &Opinion) -> String {
    let numbers: Vec<&str> = opinion.parts.covers.iter().map(|covered| covered.number.as_str()).collect();
    numbers.join(", ")
}

/// The parallels, or what is said of their absence; a line each.
pub(crate) fn parallels(opinion: &Opinion) -> Vec<String> {
    let cited = opinion.parts.parallels.iter().map(parallel);
    cited.chain(Some(none_found(opinion)).filter(|words| !words.is_empty())).collect()
}

/// “Marten 2019, 41 no. 7; alike in form and fabric; dated AD 1420–1440 by its coin”.
pub(crate) fn parallel(parallel: &Parallel) -> String {
    let mut words = parallel.citation.clone();
    if !parallel.at_place.is_empty() {
        words += &format!(", {}", parallel.at_place);
    }
    if !parallel.likeness.is_empty() {
        words += &format!("; alike in {}", parallel.likeness.label());
    }
    match (parallel.date_words.as_str(), parallel.date_basis.as_str()) {
        ("", "") => {}
        ("", basis) => words += &format!("; its date rests on {basis}"),
        (date, "") => words += &format!("; dated {date}, not said on what basis"),
        (date, basis) => words += &format!("; dated {date}, which rests on {basis}"),
    }
    words
}

/// “Radiograph the hinge: to see whether a pin is left (0.5 days, cost 120)”.
pub(crate) fn advice(advice: &Recommendation) -> String {
    let because = if advice.reason.is_empty() { String::new() } else { format!(": {}", advice.reason) };
    let days = advice
        .days
        .map(|days| format!("{} {}", show_measure(days), if days == 1.0 { "day" } else { "days" }));
    let cost = advice.cost.map(|cost| format!("cost {}", show_measure(cost)));
    let effort: Vec<String> = days.into_iter().chain(cost).collect();
    match effort.as_slice() {
        [] => format!("{}{because}", advice.action),
        effort => format!("{}{because} ({})", advice.action, effort.join(", ")),
    }
}
