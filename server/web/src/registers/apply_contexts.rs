//! A context register into the project, with the relations it names.
use super::{Changed, Counts, Outcome, apply_finds::Import};
use crate::contexts::circle;
use calc::stratigraphy::Graph;
use domain::finds::number::sort_key;
use domain::ids::ContextId;
use register::check::{ContextRow, DryRun};
use register::field::ContextField as C;
use std::collections::HashMap;
use store::contexts::{self, Context, NewContext};
use store::imports::{self, Change, RelationChange};
use store::journal::{self, Entry};
use store::{Result, StoreError, Tx};

/// Applies every row; with `dry` set the outcome is worked out and nothing is written.
pub async fn apply_contexts(tx: &mut Tx, import: &Import, run: &DryRun<C>, dry: bool) -> Result<Outcome> {
    let kept: HashMap<String, Context> = contexts::list(tx, import.project, "", i64::MAX)
        .await?
        .into_iter()
        .map(|c| (c.number.clone(), c))
        .collect();
    let mut ids: HashMap<String, ContextId> = kept.iter().map(|(number, c)| (number.clone(), c.id)).collect();
    let mut counts = Counts::default();
    let mut changes = Vec::new();
    let named = run
        .rows
        .iter()
        .filter(|row| !kept.contains_key(&row.number))
        .map(|row| merged(NewContext { number: row.number.clone(), ..NewContext::default() }, row));
    let missing = run.missing_contexts.iter();
    let missing = missing.map(|m| NewContext { number: m.word.clone(), ..NewContext::default() });
    for new in named.chain(missing) {
        counts.added += 1;
        // a dry run lays relations to contexts that are not there yet
        let id = if dry {
            ContextId::new(import.now)
        } else {
            let id = contexts::insert(tx, import.project, &new, import.now).await?;
            changes.push(Change { record_id: id.0, before: None, revision: 1 });
            id
        };
        ids.insert(new.number, id);
    }
    let mut laid = Laid::load(tx, import).await?;
    let mut told = Vec::new();
    for row in &run.rows {
        let lies = relate(tx, import, row, (&ids, &mut laid), dry).await?;
        let Some(before) = kept.get(&row.number) else { continue };
        let old = before.as_new();
        let new = merged(old.clone(), row);
        if new != old && !dry {
            contexts::update(tx, before.id, &new, before.revision).await?;
            let words = serde_json::to_string(&old).map_err(|cause| StoreError::Corrupt {
                column: "import_change.before".into(),
                cause: cause.to_string(),
            })?;
            let revision = before.revision + 1;
            changes.push(Change { record_id: before.id.0, before: Some(words), revision });
        }
        let mut fields = contexts::changes(&old, &new);
        fields.extend(lies);
        if fields.is_empty() {
            counts.unchanged += 1;
        } else {
            counts.changed += 1;
            told.push(Changed { number: row.number.clone(), fields, note: String::new() });
        }
    }
    let outcome = Outcome { counts, changes: told, doubts: laid.circles(&ids)? };
    if dry {
        return Ok(outcome);
    }
    if let Some(run) = import.run {
        imports::insert_changes(tx, run, &changes).await?;
        imports::insert_relations(tx, run, &laid.into_changes()).await?;
        imports::update_applied(tx, run, (counts.added, counts.changed), import.now).await?;
    }
    let words = format!("imported a context register: {} added, {} changed", counts.added, counts.changed);
    let entry =
        Entry { project: Some(import.project), verb: "imported", words, by: import.by, ..Entry::default() };
    journal::append(tx, &entry, import.now).await?;
    Ok(outcome)
}

/// How contexts lie upon each other: later, earlier, kind; before the import and with what it has said so far.
struct Laid {
    before: HashMap<(ContextId, ContextId), String>,
    now: HashMap<(ContextId, ContextId), String>,
}

impl Laid {
    async fn load(tx: &mut Tx, import: &Import) -> Result<Self> {
        let all = contexts::list_relations(tx, import.project).await?;
        let before: HashMap<_, _> =
            all.into_iter().map(|(later, earlier, kind)| ((later, earlier), kind)).collect();
        Ok(Self { now: before.clone(), before })
    }

    /// Contexts that lead to each other in a circle by what the import says, each circle in a sentence.
    fn circles(&self, ids: &HashMap<String, ContextId>) -> Result<Vec<String>> {
        let mut numbers: Vec<(&String, ContextId)> = ids.iter().map(|(number, id)| (number, *id)).collect();
        numbers.sort_by_cached_key(|(number, _)| sort_key(number));
        let place: HashMap<ContextId, usize> =
            numbers.iter().enumerate().map(|(n, (_, id))| (*id, n)).collect();
        let (mut later_than, mut same_as, mut new) = (Vec::new(), Vec::new(), Vec::new());
        for (pair, kind) in &self.now {
            let Some(at) = place.get(&pair.0).copied().zip(place.get(&pair.1).copied()) else { continue };
            if kind == "same_as" {
                same_as.push(at)
            } else {
                later_than.push(at)
            }
            if self.before.get(pair) != Some(kind) {
                new.push(at);
            }
        }
        let graph = Graph::new(numbers.len(), &later_than, &same_as).map_err(|cause| {
            StoreError::Corrupt { column: "context_relation".into(), cause: cause.to_string() }
        })?;
        let sets = graph.contradictions().into_iter();
        let ours = sets.filter(|set| new.iter().any(|(one, other)| set.contains(one) && set.contains(other)));
        let mut said: Vec<String> = ours
            .map(|set| circle(&set.into_iter().map(|n| numbers[n].0.as_str()).collect::<Vec<_>>()))
            .collect();
        // relations come in no order, and the same outcome is said the same
        said.sort();
        Ok(said)
    }

    /// What the import made or changed.
    fn into_changes(self) -> Vec<RelationChange> {
        let Self { mut before, now } = self;
        let change = |((later_id, earlier_id), kind)| {
            let before = before.remove(&(later_id, earlier_id));
            (before.as_ref() != Some(&kind)).then_some(RelationChange { later_id, earlier_id, before })
        };
        now.into_iter().filter_map(change).collect()
    }
}

/// Lays what a row says, and tells what of it was not so before: label, before, after.
async fn relate(
    tx: &mut Tx,
    import: &Import,
    row: &ContextRow,
    (ids, laid): (&HashMap<String, ContextId>, &mut Laid),
    dry: bool,
) -> Result<Vec<(&'static str, String, String)>> {
    let mut new = Vec::new();
    let Some(own) = ids.get(&row.number).copied() else { return Ok(new) };
    // Which end is later follows from the word: what lies below or is cut is earlier.
    let kinds = [
        (C::Above, "above", true),
        (C::Cuts, "cuts", true),
        (C::SameAs, "same_as", true),
        (C::Below, "above", false),
        (C::CutBy, "cuts", false),
    ];
    for (field, kind, own_is_later) in kinds {
        for (number, other) in row.numbers(field).iter().filter_map(|n| Some((n, ids.get(n).copied()?))) {
            let (later, earlier) = if own_is_later { (own, other) } else { (other, own) };
            if !dry {
                contexts::insert_relation(tx, import.project, later, earlier, kind).await?;
            }
            let before = laid.now.insert((later, earlier), kind.to_owned());
            if before.as_deref() != Some(kind) {
                let before =
                    before.map(|kind| format!("{number}, {}", kind.replace('_', " "))).unwrap_or_default();
                new.push((field.label(), before, number.clone()));
            }
        }
    }
    Ok(new)
}

fn merged(mut context: NewContext, row: &ContextRow) -> NewContext {
    let text = |field: C, kept: &mut String| {
        if let Some(words) = row.words(field) {
            *kept = words.to_owned();
        }
    };
    text(C::Kind, &mut context.kind);
    text(C::Area, &mut context.area);
    text(C::Phase, &mut context.phase);
    text(C::Interpretation, &mut context.interpretation);
    text(C::Description, &mut context.description);
    text(C::Soil, &mut context.soil);
    text(C::SpotDate, &mut context.spot_date);
    context
}
