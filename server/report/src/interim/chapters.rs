//! A chapter for each material group.
use super::account::{Block, Section, credited};
use super::input::{Author, FindLine, OpinionLine};
use super::opinions;
use super::register::Register;
use super::tables::{Tally, care, quantities, work};
use super::wording::{counted, listed, together, whole};
use std::collections::BTreeSet;

/// The chapters, one section of level 2 for each material group, under their common heading.
pub fn sections(register: &Register) -> Vec<Section> {
    let heading = Section::new(1, "Material by material", Vec::new());
    let chapters = register.groups().into_iter().map(|(group, finds)| chapter(register, group, &finds));
    std::iter::once(heading).chain(chapters).collect()
}

fn chapter(register: &Register, group: &str, finds: &[&FindLine]) -> Section {
    let given: Vec<&OpinionLine> =
        finds.iter().flat_map(|find| register.opinions(&find.number)).copied().collect();
    let mut opening = extent(register, finds);
    if given.is_empty() {
        opening.push_str(" No specialist opinion on this material has been submitted yet.");
    }
    let mut blocks = vec![
        Block::paragraph(opening),
        Block::table(quantities::assemblage(register, group, finds)),
        Block::table(work::of_chapter(group, finds)),
    ];
    let care =
        [care::condition(group, finds), care::examinations(group, finds), care::treatments(group, finds)];
    blocks.extend(care.into_iter().flatten().map(Block::table));
    if !given.is_empty() {
        blocks.push(Block::paragraph(credits(&given)));
        blocks.push(Block::table(opinions::table(register, group, finds)));
    }
    let stated = opinions::stated(register, finds);
    if !stated.is_empty() {
        blocks.push(Block::Opinions { finds: stated });
    }
    Section::new(2, group, blocks)
}

fn extent(register: &Register, finds: &[&FindLine]) -> String {
    let contexts = register.count_contexts(finds);
    let from = match contexts {
        0 => "from no recorded context".to_owned(),
        contexts => format!("from {}", counted(contexts, "context", "contexts")),
    };
    let figures: BTreeSet<usize> =
        finds.iter().flat_map(|find| register.figures(&find.number)).copied().collect();
    let figures: Vec<String> = figures.into_iter().map(whole).collect();
    let shown = match figures.as_slice() {
        [] => String::new(),
        [one] => format!(" Shown in {}.", together(&["fig.", one])),
        many => format!(" Shown in figs {}.", listed(many)),
    };
    format!("{} {from}.{shown}", Tally::of(finds.iter().copied()).words())
}

/// Who has given an opinion on this material, and how many of the opinions may still change.
fn credits(given: &[&OpinionLine]) -> String {
    let authors: BTreeSet<&Author> = given.iter().flat_map(|opinion| &opinion.authors).collect();
    let authors: Vec<String> = authors.into_iter().map(credited).collect();
    let early = given.iter().filter(|opinion| opinion.preliminary).count();
    let early = match (given.len(), early) {
        (1, 0) => "It is final.".to_owned(),
        (_, 0) => "All are final.".to_owned(),
        (1, 1) => "It is preliminary.".to_owned(),
        (given, early) if given == early => "All are preliminary.".to_owned(),
        (_, early) => format!(
            "{} preliminary.",
            if early == 1 { "One is".into() } else { format!("{} are", whole(early)) }
        ),
    };
    format!("{} by {}. {early}", counted(given.len(), "opinion", "opinions"), authors.join("; "))
}
