//! The catalogue: one entry a find, in the natural order of their numbers, all entries built alike.
use super::account::{Block, Fact};
use super::input::{Dimension, ExaminationLine, FindLine, TreatmentLine};
use super::opinions::{dated, names, standing};
use super::register::Register;
use super::tables::{Tally, grams};
use super::wording::{capital, counted, day, listed, millimetres, sentence, together, whole};
use serde::Serialize;

/// An entry of the catalogue.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Entry {
    /// Its place in the catalogue, from 1.
    pub running: usize,
    pub find: String,
    pub identification: String,
    /// Material, quantity, context and phase.
    pub provenance: String,
    pub description: String,
    /// Dimensions and weight.
    pub measures: String,
    /// Condition, examinations, treatment, date, parallel, opinions, stage.
    pub facts: Vec<Fact>,
    /// "Fig. 3"; empty when it is not shown.
    pub figures: String,
}

/// The catalogue with the key to its abbreviations.
pub fn blocks(register: &Register) -> Vec<Block> {
    let listed: Vec<&&FindLine> = register.finds.iter().filter(|find| find.catalogued).collect();
    if listed.is_empty() {
        return vec![Block::paragraph("No find is catalogued yet.")];
    }
    let whole_register = listed.len() == register.finds.len();
    let scope = if whole_register {
        String::new()
    } else {
        format!(
            " {} of {} are catalogued.",
            whole(listed.len()),
            counted(register.finds.len(), "find", "finds")
        )
    };
    let key = format!(
        "In the order of find numbers; the small number before an entry is its place in the catalogue.{scope} Dimensions in \
         millimetres (L length, W width, H height, Th thickness, Diam diameter), weight in grams."
    );
    let entries = listed.into_iter().zip(1..).map(|(find, running)| entry(register, find, running)).collect();
    vec![Block::paragraph(key), Block::Catalogue { entries }]
}

fn entry(register: &Register, find: &FindLine, running: usize) -> Entry {
    let identification = match find.identification.trim() {
        "" => "Not identified".to_owned(),
        words => capital(words),
    };
    Entry {
        running,
        find: find.number.clone(),
        identification,
        provenance: provenance(register, find),
        description: sentence(&find.description),
        measures: measures(find),
        facts: facts(register, find),
        figures: match register.figures(&find.number) {
            [] => String::new(),
            [one] => together(&["Fig.", &one.to_string()]),
            many => format!("Figs {}", listed(&many.iter().map(usize::to_string).collect::<Vec<_>>())),
        },
    }
}

fn provenance(register: &Register, find: &FindLine) -> String {
    let material = if find.material.trim().is_empty() { &find.group } else { &find.material };
    let quantity = match (find.bulk, find.pieces) {
        (true, Some(pieces)) => format!(", bulk of {}", counted(pieces as usize, "piece", "pieces")),
        (true, None) => ", bulk, not counted".to_owned(),
        (false, None | Some(1)) => String::new(),
        (false, Some(pieces)) => format!(", {}", counted(pieces as usize, "piece", "pieces")),
    };
    let place = match (&find.context, register.phase(find)) {
        (None, _) => "No context".to_owned(),
        (Some(context), None) => together(&["Context", context]),
        (Some(context), Some(phase)) => {
            format!("{}, {}", together(&["Context", context]), together(&["phase", phase]))
        }
    };
    format!("{}{quantity}. {place}.", capital(material))
}

fn measures(find: &FindLine) -> String {
    let sound = find.dimensions.iter().filter(|dimension| dimension.mm.is_finite());
    let lengths: Vec<String> =
        sound.map(|Dimension { of, mm }| format!("{of}\u{a0}{}", millimetres(*mm))).collect();
    let weight = Tally::of([find]).weight().map(|weight| together(&[&grams(weight), "g"]));
    let lengths = (!lengths.is_empty()).then(|| lengths.join(", "));
    [lengths, weight].into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn facts(register: &Register, find: &FindLine) -> Vec<Fact> {
    let mut facts = Vec::new();
    facts.push(Fact::new("Condition", condition(find)));
    facts.extend(find.examined.iter().map(|one| Fact::new("Examined", examined(one))));
    facts.extend(find.treated.iter().map(|step| Fact::new("Treated", treated(step))));
    if let Some(date) = &find.date {
        facts.push(Fact::new("Date", dated(date)));
    }
    if let Some(parallel) = &find.parallel {
        facts.push(Fact::new("Parallel", parallel.as_str()));
    }
    let opinions: Vec<String> = register
        .opinions(&find.number)
        .iter()
        .map(|opinion| format!("{} ({})", names(&opinion.authors), standing(opinion)))
        .collect();
    if !opinions.is_empty() {
        facts.push(Fact::new("Opinions", opinions.join("; ")));
    }
    facts.push(Fact::new("Stage", stage(find)));
    facts
}

/// The latest assessment, or what the register says.
fn condition(find: &FindLine) -> String {
    let Some(assessed) = &find.assessed else {
        return find.condition.clone().unwrap_or_else(|| "not recorded".to_owned());
    };
    let words = [assessed.condition.as_str(), assessed.stability.as_str()];
    let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
    let mut said = vec![format!("{} on {}", words.join(", "), day(assessed.on))];
    said.extend(assessed.seen.iter().cloned());
    for (name, words) in [("risk", &assessed.risk), ("recommended", &assessed.recommendation)] {
        if !words.is_empty() {
            said.push(format!("{name}: {words}"));
        }
    }
    said.join("; ")
}

/// “X-ray, 3 Mar 2031: Is there a core? Positive, core dense”.
fn examined(one: &ExaminationLine) -> String {
    let result = one.result.label();
    let result = capital(result.split(':').next().unwrap_or(result));
    let seen = if one.seen.is_empty() { String::new() } else { format!(", {}", one.seen) };
    format!("{}, {}: {} {result}{seen}", one.method.label(), day(one.on), sentence(&one.question))
}

/// “dry clean, 4 Mar 2031: soft brush; with …; removed: soil; loose soil off”.
fn treated(step: &TreatmentLine) -> String {
    let named = |name: &str, words: &str| {
        if words.is_empty() { String::new() } else { format!("{name}{words}") }
    };
    let parts = [
        step.method.clone(),
        named("with ", &step.materials),
        named("removed: ", &step.removed),
        named("outcome: ", &step.outcome),
        named("beyond the agreed level: ", step.beyond.trim_end_matches('.')),
    ];
    let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    format!("{}, {}: {}", step.stage.label(), day(step.on), parts.join("; "))
}

fn stage(find: &FindLine) -> String {
    match &find.hold {
        Some(hold) => format!("{}, on hold: {}", find.stage.label(), hold.reason),
        None if find.stage == domain::stages::Stage::Finished => find.stage.label().to_owned(),
        None => format!("{}, {}", find.stage.label(), find.state.label()),
    }
}
