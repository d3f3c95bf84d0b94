//! What specialists said, each in their own words and under their own name, and how an editor settled it.
use super::account::{Fact, credited};
use super::input::{Author, DateStatement, FindLine, OpinionLine, SettlementLine};
use super::register::Register;
use super::tables::{Holds, Table};
use super::wording::{NONE, capital, day, listed, sentence};
use serde::Serialize;

/// The kind of date that is meant where no other is named.
const MADE: &str = "Made";

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
    /// "Preliminary, from images" or "Final, from the object".
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
            or_dash(&all_dates(opinion)),
            capital(&standing(opinion)),
        ]);
    }
    table
}

/// The opinions of a chapter in full, by find.
pub fn stated(register: &Register, finds: &[&FindLine]) -> Vec<FindOpinions> {
    let stated = finds.iter().enumerate().map(|(at, find)| {
        let before = |number: &String| finds[..at].iter().any(|earlier| earlier.number == *number);
        let told = |opinion: &&OpinionLine| match opinion.covers.iter().find(|number| before(number)) {
            Some(number) => referred(opinion, number),
            None => shown(opinion),
        };
        FindOpinions {
            find: find.number.clone(),
            identification: find.identification.clone(),
            opinions: register.opinions(&find.number).iter().map(told).collect(),
            settlement: register.settlement(&find.number).map(settled),
        }
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

/// "preliminary, from images", and who entered it where that was not the author.
pub fn standing(opinion: &OpinionLine) -> String {
    let standing = if opinion.preliminary { "preliminary" } else { "final" };
    let seen = match opinion.seen_as.trim() {
        "" => "not said what was seen".to_owned(),
        seen => format!("from {seen}"),
    };
    let entered = opinion.entered.as_deref().map(|how| format!(", {how}")).unwrap_or_default();
    format!("{standing}, {seen}{entered}")
}

/// Every date in one line; the kind stands where it is not that of making.
fn all_dates(opinion: &OpinionLine) -> String {
    let words = opinion.dates.iter().map(|given| match given.kind.as_str() {
        MADE => dated(&given.date),
        kind => format!("{kind}: {}", dated(&given.date)),
    });
    words.collect::<Vec<_>>().join("; ")
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
    let mut facts = Vec::new();
    let sure = opinion.confidence.as_deref().map(|how| format!(" ({how})")).unwrap_or_default();
    push(&mut facts, "Identification", format!("{}{sure}", opinion.identification.trim()).trim());
    facts.extend(opinion.dates.iter().map(|given| date_fact(&given.kind, &given.date)));
    push(&mut facts, "Material", opinion.material.as_deref().unwrap_or_default().trim());
    push(&mut facts, "Origin", opinion.origin.as_deref().unwrap_or_default().trim());
    push(&mut facts, "Parallels", &sentence(&opinion.parallels.join("; ")));
    push(&mut facts, "Basis", &sentence(&opinion.basis));
    push(&mut facts, "Not found", &sentence(&opinion.negative_findings));
    push(&mut facts, "Significance", &sentence(&opinion.significance));
    push(&mut facts, "Recommends", &sentence(&opinion.recommendations.join("; ")));
    push(&mut facts, "Covers too", &listed_numbers(&opinion.covers));
    headed(opinion, facts)
}

/// An opinion that was stated in full under an earlier find of the chapter.
fn referred(opinion: &OpinionLine, number: &str) -> Opinion {
    headed(opinion, vec![Fact::new("Opinion", format!("the same as on find {number}"))])
}

fn headed(opinion: &OpinionLine, facts: Vec<Fact>) -> Opinion {
    let byline: Vec<String> = opinion.authors.iter().map(credited).collect();
    Opinion {
        byline: if byline.is_empty() { names(&[]) } else { byline.join("; ") },
        preliminary: opinion.preliminary,
        standing: capital(&standing(opinion)),
        version: format!("Version {}, {}", opinion.version, day(opinion.submitted_on)),
        facts,
    }
}

fn listed_numbers(numbers: &[String]) -> String {
    let numbers: Vec<&str> = numbers.iter().map(String::as_str).collect();
    if numbers.is_empty() { String::new() } else { listed(&numbers) }
}

fn settled(settlement: &SettlementLine) -> Settlement {
    let mut facts = Vec::new();
    push(&mut facts, "Settled as", settlement.identification.trim());
    facts.extend(settlement.date.as_ref().map(|date| date_fact("Date", date)));
    push(&mut facts, "Reopened", &sentence(settlement.reopened.as_deref().unwrap_or_default()));
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

fn date_fact(label: &str, date: &DateStatement) -> Fact {
    let rule = date.rule.as_deref().map(|rule| format!("; {rule}")).unwrap_or_default();
    Fact::new(label, format!("{}{rule}", dated(date)))
}

fn push(facts: &mut Vec<Fact>, label: &str, words: &str) {
    if !words.is_empty() {
        facts.push(Fact::new(label, words));
    }
}
