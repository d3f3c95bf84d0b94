//! A submitted opinion as pages show it.
use super::dating;
use crate::filters::show_day;
use domain::review::Years;
use store::review::opinions::Opinion;

/// An opinion with its words ready.
pub(crate) struct OpinionView {
    pub id: String,
    pub author: String,
    pub qualification: String,
    pub byline: String,
    pub identification: String,
    pub lines: Vec<(&'static str, String)>,
    pub years: Option<Years>,
    pub superseded: bool,
}

/// Makes an opinion ready to be shown.
pub(crate) fn view(opinion: &Opinion) -> OpinionView {
    let years = Years { lo: opinion.date_lo, hi: opinion.date_hi };
    let years = (years.lo.is_some() || years.hi.is_some()).then_some(years);
    let range = years.map(dating::label).unwrap_or_default();
    let date = match (opinion.date_words.as_str(), range.as_str()) {
        ("", _) => String::new(),
        (words, "") => words.to_owned(),
        (words, range) => format!("{words} ({range})"),
    };
    let mut lines = vec![
        ("Date", date),
        ("Read by the rule", opinion.date_rule.clone()),
        ("Material", opinion.material_words.clone()),
        ("Parallels", opinion.parallels.clone()),
        ("Rests on", opinion.basis.clone()),
    ];
    lines.retain(|(_, words)| !words.is_empty());
    OpinionView {
        id: opinion.id.to_string(),
        author: opinion.author_name.clone(),
        qualification: opinion.qualification.clone(),
        byline: format!(
            "{}, from {}, version {}, {}",
            opinion.finality.label(),
            opinion.seen_as.label(),
            opinion.version,
            show_day(opinion.submitted_at.date_naive())
        ),
        identification: opinion.identification.clone(),
        lines,
        years,
        superseded: opinion.superseded_at.is_some(),
    }
}
