//! What specialists said, each in their own words and under their own name, and how an editor settled it.
use super::account::{Fact, credited};
use super::input::{Author, DateStatement, FindLine, OpinionLine, SettlementLine};
use super::register::Register;
use super::tables::{Holds, Table};
use super::wording::{NONE, capital, day, listed, sentence};
use serde::Serialize;

/// The opinions on one find, side by side, and their settlement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FindOpinions {
    pub find: String,
    /// What the register calls it.
    pub identification: String,
    pub opinions: Vec<Opinion>,
    pub settlement: Option<Settlement>,
}

/// One opinion as shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Opinion {
    /// Names with qualifications.
    pub byline: String,
    pub preliminary: bool,
    /// "Preliminary, seen as images" or "Final, seen as object".
    pub standing: String,
    /// "Version 2, 14 Nov 2026".
    pub version: String,
    pub facts: Vec<Fact>,
}

/// A settlement as shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Settlement {
    /// "Settled by majority", "Left unresolved".
    pub outcome: String,
    /// Who settled it, and when.
    pub byline: String,
    pub facts: Vec<Fact>,
}

/// The opinions of a chapter at a glance.
pub fn table(register: &Register, group: &str, finds: &[&FindLine]) -> Table {
    let columns = [
        ("Find", Holds::Words),
        ("Author", Holds::Words),
        ("Identification", Holds::Text),
        ("Date", Holds::Text),
        ("Standing", Holds::Text),
    ];
    let mut table = Table::new(format!("{group}: opinions submitted."), &columns);
    for opinion in finds.iter().flat_map(|find| register.opinions(&find.number)) {
        table.rows.push(vec![
            opinion.find.clone(),
            names(&opinion.authors),
            or_dash(&opinion.identification),
            opinion.date.as_ref().map_or(NONE.to_owned(), dated),
            capital(&standing(opinion)),
        ]);
    }
    table
}

/// The opinions of a chapter in full, by find.
pub fn stated(register: &Register, finds: &[&FindLine]) -> Vec<FindOpinions> {
    let stated = finds.iter().map(|find| FindOpinions {
        find: find.number.clone(),
        identification: find.identification.clone(),
        opinions: register.opinions(&find.number).iter().map(|opinion| shown(opinion)).collect(),
        settlement: register.settlement(&find.number).map(settled),
    });
    stated.filter(|find| !find.opinions.is_empty() || find.settlement.is_some()).collect()
}

/// "late C14–mid C15 (AD 1368–1467)": the words as written and the range computed from them.
pub fn dated(date: &DateStatement) -> String {
    match &date.range {
        Some(range) if *range == date.words => range.clone(),
        Some(range) => format!("{} ({range})", date.words),
        None => date.words.clone(),
    }
}

/// "preliminary, seen as images".
pub fn standing(opinion: &OpinionLine) -> String {
    let standing = if opinion.preliminary { "preliminary" } else { "final" };
    match opinion.seen_as.trim() {
        "" => format!("{standing}, not said what was seen"),
        seen => format!("{standing}, seen as {seen}"),
    }
}

/// Names of the authors without their qualifications.
pub fn names(authors: &[Author]) -> String {
    let names: Vec<&str> = authors.iter().map(|author| author.name.as_str()).collect();
    if names.is_empty() { "author not named".to_owned() } else { listed(&names) }
}

fn or_dash(words: &str) -> String {
    if words.trim().is_empty() { NONE.to_owned() } else { words.to_owned() }
}

fn shown(opinion: &OpinionLine) -> Opinion {
    let byline: Vec<String> = opinion.authors.iter().map(credited).collect();
    let mut facts = Vec::new();
    push(&mut facts, "Identification", opinion.identification.trim());
    facts.extend(opinion.date.as_ref().map(date_fact));
    push(&mut facts, "Material", opinion.material.as_deref().unwrap_or_default().trim());
    push(&mut facts, "Parallels", &sentence(&opinion.parallels.join("; ")));
    push(&mut facts, "Basis", &sentence(&opinion.basis));
    Opinion {
        byline: if byline.is_empty() { names(&[]) } else { byline.join("; ") },
        preliminary: opinion.preliminary,
        standing: capital(&standing(opinion)),
        version: format!("Version {}, {}", opinion.version, day(opinion.submitted_on)),
        facts,
    }
}

fn settled(settlement: &SettlementLine) -> Settlement {
    let mut facts = Vec::new();
    push(&mut facts, "Settled as", settlement.identification.trim());
    facts.extend(settlement.date.as_ref().map(date_fact));
    push(&mut facts, "Reason", &sentence(&settlement.reason));
    for dissent in &settlement.dissent {
        push(&mut facts, "Dissent", &format!("{}: “{}”", dissent.author.name, dissent.words.trim()));
    }
    Settlement {
        outcome: format!("Settlement: {}", settlement.outcome),
        byline: format!("{}, {}", credited(&settlement.settled_by), day(settlement.settled_on)),
        facts,
    }
}

fn date_fact(date: &DateStatement) -> Fact {
    let rule = date.rule.as_deref().map(|rule| format!("; {rule}")).unwrap_or_default();
    Fact::new("Date", format!("{}{rule}", dated(date)))
}

fn push(facts: &mut Vec<Fact>, label: &str, words: &str) {
    if !words.is_empty() {
        facts.push(Fact::new(label, words));
    }
}
