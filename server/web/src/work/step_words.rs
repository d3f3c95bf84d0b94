//! A treatment step and a cleaning level in words, as the find page shows them.
use super::step_form::clock;
use crate::filters::{show_measure, show_moment};
use domain::treatment::{Material, Treatment};
use store::work::levels::{Reasoned, Reasons};

/// What a step says beyond method, materials and outcome.
pub(crate) fn of_step(step: &Treatment) -> Vec<(&'static str, String)> {
    let grams = |g: Option<f64>| g.map(|g| format!("{} g", show_measure(g))).unwrap_or_default();
    let area = match (step.area.as_str(), step.area_cm2) {
        (words, None) => words.to_owned(),
        ("", Some(cm2)) => format!("{} cm²", show_measure(cm2)),
        (words, Some(cm2)) => format!("{words}, {} cm²", show_measure(cm2)),
    };
    let mut lines = vec![
        ("Aim", step.aim.clone()),
        ("Area", area),
        ("Used", step.materials.iter().map(material).collect::<Vec<_>>().join("; ")),
        ("Times", times(step)),
        ("Mass before", grams(step.mass_before_g)),
        ("Mass after", grams(step.mass_after_g)),
        ("Removed", step.removed.clone()),
        ("Kept", step.kept.clone()),
    ];
    lines.retain(|(_, words)| !words.is_empty());
    lines
}

fn material(used: &Material) -> String {
    let mut words = used.name.clone();
    if let Some((percent, basis)) = used.concentration {
        words += &format!(" {} {}", show_measure(percent), basis.label());
    }
    if !used.batch.is_empty() {
        words += &format!(", batch {}", used.batch);
    }
    words
}

/// “09:40 to 11:05, 2 people, 2 h 50 min of work”.
fn times(step: &Treatment) -> String {
    let (Some(begun), ended) = (step.begun_min, step.ended_min) else { return String::new() };
    let Some(ended) = ended else { return format!("from {}", clock(begun)) };
    let people = if step.people > 1 { format!(", {} people", step.people) } else { String::new() };
    format!("{} to {}{people}, {} of work", clock(begun), clock(ended), hours(step.minutes().unwrap_or(0)))
}

/// “2 h 50 min”.
pub(crate) fn hours(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// Why a level was chosen and what was answered; `numbers` are those of the tests that speak for it.
pub(crate) fn of_level(level: &Reasoned, numbers: &[usize]) -> Vec<(&'static str, String)> {
    let Reasons { question, options, evidence, consulted, .. } = &level.reasons;
    let numbers: Vec<String> = numbers.iter().map(|number| format!("test {number}")).collect();
    let answer = level.answered.as_ref().map(|(by, at, words)| {
        let said = if words.is_empty() { String::new() } else { format!(": {words}") };
        format!("{by}, {}{said}", show_moment(*at))
    });
    let mut lines = vec![
        ("Question", question.clone()),
        ("Options", options.clone()),
        ("Evidence", evidence.clone()),
        ("Tests that speak for it", numbers.join(", ")),
        ("Consulted", consulted.clone()),
        ("Answered", answer.unwrap_or_default()),
    ];
    lines.retain(|(_, words)| !words.is_empty());
    lines
}
