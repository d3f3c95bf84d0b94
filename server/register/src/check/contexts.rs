//! The dry run of a context register.
use super::missing::Gathered;
use super::run::{Draft, Run};
use super::trouble::Trouble;
use super::{DryRun, Known, Missing, Settings, Value};
use crate::field::ContextField as C;
use crate::matching::Match;
use crate::table::Table;
use domain::finds::number::sort_key;
use std::collections::{HashMap, HashSet};

/// Reads every row of a context register and names every problem. The header row counts from 0.
///
/// Only contradictions between two rows are found here; rings of three and more need what the project holds already.
pub fn check_contexts(
    table: &Table,
    header_row: usize,
    matches: &[Match<C>],
    known: &Known,
    settings: &Settings,
) -> DryRun<C> {
    let mut run = Run::start(table, header_row, matches, settings);
    let mut drafts = run.drafts();
    let duplicates = run.compare_numbers(&mut drafts, &known.contexts);
    let here: HashSet<String> = drafts.iter().map(|draft| draft.number.clone()).collect();
    let mut missing = Gathered::default();
    let mut later: HashMap<(String, String), usize> = HashMap::new();
    for draft in &mut drafts {
        for (field, other) in relations(draft) {
            if other == draft.number {
                run.note_at(draft, field, Trouble::ToItself);
            } else if here.contains(&other) || known.contexts.contains(&other) {
                oppose(&mut run, draft, field, other, &mut later);
            } else if is_run(&other) {
                run.note_at(draft, field, Trouble::RunOfNumbers { shown: other });
            } else {
                missing.note(&other, &other, draft.row);
                draft.sound = draft.sound && settings.create_contexts;
            }
        }
    }
    let numbers: HashSet<String> = here.union(&known.contexts).cloned().collect();
    let missing = missing.finish(|number| (nearest_number(number, &numbers), None));
    if !settings.create_contexts {
        for missing in &missing {
            run.note(Some(missing.first), None, no_context(missing));
        }
    }
    let mut result = run.finish(drafts, duplicates);
    result.missing_contexts = missing;
    result
}

/// Every other context that a row names, with the field that names it.
fn relations(draft: &Draft<C>) -> Vec<(C, String)> {
    let mut named = Vec::new();
    for (field, value) in &draft.values {
        if let Value::Numbers(numbers) = value {
            named.extend(numbers.iter().map(|number| (*field, number.clone())));
        }
    }
    named
}

/// Remembers which of two contexts is the later one, and refuses the opposite.
fn oppose(
    run: &mut Run<'_, C>,
    draft: &mut Draft<C>,
    field: C,
    other: String,
    later: &mut HashMap<(String, String), usize>,
) {
    let pair = match field {
        C::Above | C::Cuts => (draft.number.clone(), other),
        C::Below | C::CutBy => (other, draft.number.clone()),
        _ => return,
    };
    let turned = (pair.1.clone(), pair.0.clone());
    if let Some(&row) = later.get(&turned) {
        run.note_at(draft, field, Trouble::Opposite { number: pair.0, other: pair.1, row });
    } else {
        later.entry(pair).or_insert(draft.row);
    }
}

/// `101-104`: a run of numbers, not one.
fn is_run(number: &str) -> bool {
    let parts = number.split_once(['-', '–']);
    let numbers =
        parts.and_then(|(first, last)| Some((first.parse::<u32>().ok()?, last.parse::<u32>().ok()?)));
    numbers.is_some_and(|(first, last)| first < last)
}

/// A known number that differs in zeros, case or spaces only.
pub(super) fn nearest_number(number: &str, known: &HashSet<String>) -> Option<String> {
    let key = sort_key(number).replace(' ', "");
    known.iter().filter(|other| sort_key(other).replace(' ', "") == key).min().cloned()
}

pub(super) fn no_context(missing: &Missing) -> Trouble {
    Trouble::NoContext { number: missing.word.clone(), rows: missing.rows, nearest: missing.nearest.clone() }
}
