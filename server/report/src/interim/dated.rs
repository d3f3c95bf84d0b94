//! Contexts dated by their finds: limits with the find that sets each, judgements, and what contradicts itself.
use super::account::{Block, Section};
use super::input::{ContextLine, JudgementLine, TerminusLine};
use super::register::Register;
use super::tables::{Holds, Table};
use super::wording::{NONE, day, sentence};
use domain::finds::number::sort_key;

/// The section; nothing while no context is dated or judged.
pub fn section(register: &Register) -> Option<Section> {
    let mut dated: Vec<(&ContextLine, &TerminusLine)> = register
        .interim
        .contexts
        .iter()
        .filter_map(|context| Some((context, context.dated.as_ref()?)))
        .filter(|(_, dated)| dated.post_quem.is_some() || dated.ante_quem.is_some())
        .collect();
    let judgements = &register.interim.judgements;
    if dated.is_empty() && judgements.is_empty() {
        return None;
    }
    dated.sort_by_cached_key(|(context, _)| sort_key(&context.number));
    let mut blocks = vec![Block::paragraph(
        "A context formed no earlier than the first year of the date of its latest-starting trustworthy find, in it or in a \
         context below (terminus post quem); it may be much later. Finds judged residual or intrusive set no year.",
    )];
    if !dated.is_empty() {
        blocks.push(Block::table(table(&dated)));
    }
    let conflicts: Vec<String> = dated
        .iter()
        .flat_map(|(context, dated)| dated.conflicts.iter().map(|words| told(context, words)))
        .collect();
    if !conflicts.is_empty() {
        blocks.push(Block::paragraph("These contradict one another and await a decision:"));
        blocks.push(Block::Points { items: conflicts });
    }
    if !judgements.is_empty() {
        blocks.push(Block::paragraph("Judgements, each with its author:"));
        blocks.push(Block::Points { items: judgements.iter().map(judged).collect() });
    }
    Some(Section::new(1, "Contexts dated by their finds", blocks))
}

fn table(dated: &[(&ContextLine, &TerminusLine)]) -> Table {
    let columns = [
        ("Context", Holds::Words),
        ("Phase", Holds::Words),
        ("No earlier than", Holds::Words),
        ("Set by", Holds::Text),
        ("Without that find", Holds::Words),
        ("There by", Holds::Text),
    ];
    let mut table = Table::new("Limits of the age of contexts.", &columns);
    table.rows = dated
        .iter()
        .map(|(context, dated)| {
            vec![
                context.number.clone(),
                or_none(context.phase.as_deref()),
                or_none(dated.post_quem.as_deref().map(unbroken).as_deref()),
                or_none(Some(&dated.set_by)),
                or_none(Some(&unbroken(&dated.without))),
                or_none(dated.ante_quem.as_deref()),
            ]
        })
        .collect();
    table
}

/// A year that no line break parts from its era.
fn unbroken(year: &str) -> String {
    year.replace(' ', "\u{a0}")
}

fn or_none(words: Option<&str>) -> String {
    words.filter(|words| !words.is_empty()).unwrap_or(NONE).to_owned()
}

fn told(context: &ContextLine, words: &str) -> String {
    format!("Context {}: {words}", context.number)
}

fn judged(one: &JudgementLine) -> String {
    let JudgementLine { find, context, origin, by, reason, .. } = one;
    sentence(&format!("Find {find} in context {context}: {origin}. {by}, {}: {reason}", day(one.on)))
}
