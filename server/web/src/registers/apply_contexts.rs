//! A context register into the project, with the relations it names.
use super::{Changed, Counts, Outcome, apply_finds::Import};
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
    let mut told = Vec::new();
    for row in &run.rows {
        let Some(before) = kept.get(&row.number) else {
            counts.added += 1;
            if !dry {
                let new = merged(NewContext { number: row.number.clone(), ..NewContext::default() }, row);
                let id = contexts::insert(tx, import.project, &new, import.now).await?;
                changes.push(Change { record_id: id.0, before: None, revision: 1 });
                ids.insert(row.number.clone(), id);
            }
            continue;
        };
        let old = before.as_new();
        let new = merged(old.clone(), row);
        if new == old {
            counts.unchanged += 1;
            continue;
        }
        counts.changed += 1;
        told.push(Changed {
            number: row.number.clone(),
            fields: contexts::changes(&old, &new),
            note: String::new(),
        });
        if !dry {
            contexts::update(tx, before.id, &new, before.revision).await?;
            let words = serde_json::to_string(&old).map_err(|cause| StoreError::Corrupt {
                column: "import_change.before".into(),
                cause: cause.to_string(),
            })?;
            changes.push(Change {
                record_id: before.id.0,
                before: Some(words),
                revision: before.revision + 1,
            });
        }
    }
    if dry {
        return Ok(Outcome { counts, changes: told });
    }
    for missing in &run.missing_contexts {
        let new = NewContext { number: missing.word.clone(), ..NewContext::default() };
        let id = contexts::insert(tx, import.project, &new, import.now).await?;
        changes.push(Change { record_id: id.0, before: None, revision: 1 });
        ids.insert(missing.word.clone(), id);
        counts.added += 1;
    }
    let mut laid = Laid::load(tx, import).await?;
    for row in &run.rows {
        relate(tx, import, row, (&ids, &mut laid)).await?;
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
    Ok(Outcome { counts, changes: told })
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

async fn relate(
    tx: &mut Tx,
    import: &Import,
    row: &ContextRow,
    (ids, laid): (&HashMap<String, ContextId>, &mut Laid),
) -> Result<()> {
    let Some(own) = ids.get(&row.number).copied() else { return Ok(()) };
    // Which end is later follows from the word: what lies below or is cut is earlier.
    let kinds = [
        (C::Above, "above", true),
        (C::Cuts, "cuts", true),
        (C::SameAs, "same_as", true),
        (C::Below, "above", false),
        (C::CutBy, "cuts", false),
    ];
    for (field, kind, own_is_later) in kinds {
        for other in row.numbers(field).iter().filter_map(|number| ids.get(number).copied()) {
            let (later, earlier) = if own_is_later { (own, other) } else { (other, own) };
            contexts::insert_relation(tx, import.project, later, earlier, kind).await?;
            laid.now.insert((later, earlier), kind.to_owned());
        }
    }
    Ok(())
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
