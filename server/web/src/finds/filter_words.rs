//! A filter in words, as a list says on paper what it lists.
use super::filter_form::FilterForm;
use domain::stages::{Headline, Stage};
use store::people::Colleague;
use store::places::Place;
use store::projects::Material;

/// What the codes of a filter are called.
pub(super) struct Names<'a> {
    pub materials: &'a [Material],
    pub places: &'a [Place],
    pub colleagues: &'a [Colleague],
    /// Who asks.
    pub me: &'a str,
}

/// What the list is narrowed to and how it is ordered; “Finds” when neither is asked for.
pub(super) fn said(form: &FilterForm, names: &Names<'_>) -> String {
    let mut parts = Vec::new();
    let mut part = |label: &str, text: Option<&str>| {
        if let Some(text) = text.filter(|text| !text.is_empty()) {
            parts.push(format!("{label}{text}"));
        }
    };
    let words = format!("“{}”", form.q.trim());
    part("with ", Some(words.as_str()).filter(|_| !form.q.trim().is_empty()));
    part("headline stage ", form.headline.parse().ok().map(|headline: Headline| headline.label()));
    part("stage ", form.stage.parse().ok().map(|stage: Stage| stage.label()));
    let material = names.materials.iter().find(|material| material.code == form.material);
    part("material ", material.map(|material| material.name.as_str()));
    part("context ", Some(form.context.trim()));
    let place = names.places.iter().find(|place| place.id.to_string() == form.place);
    part("place ", place.map(|place| place.path.as_str()));
    let person = names.colleagues.iter().find(|person| person.id.to_string() == form.person);
    let person = person.map(|person| person.name.as_str());
    part("person ", if form.person == "me" { Some(names.me) } else { person });
    part(
        "",
        match form.kind.as_str() {
            "bulk" => Some("bulk"),
            "single" => Some("registered singly"),
            _ => None,
        },
    );
    for (set, word) in [(&form.held, "on hold"), (&form.overdue, "overdue"), (&form.void, "void numbers")] {
        part("", Some(word).filter(|_| !set.is_empty()));
    }
    part(
        "",
        match form.sort.as_str() {
            "waiting" => Some("longest at their stage first"),
            "newest" => Some("latest registered first"),
            _ => None,
        },
    );
    part("", Some("a later page").filter(|_| !form.after.is_empty()));
    if parts.is_empty() { "Finds".into() } else { format!("Finds: {}", parts.join("; ")) }
}
