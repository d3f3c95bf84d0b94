//! A finds register into the project: new numbers are registered, known ones updated, all or nothing.
use super::{Changed, Counts, Outcome};
use domain::Instant;
use domain::finds::material::{UNKNOWN, is_human_remains};
use domain::ids::{ContextId, FindId, ImportRunId, PersonId, PlaceId, ProjectId};
use domain::review::Reopened;
use register::check::{DryRun, FindRow};
use register::field::FindField as F;
use std::collections::HashMap;
use store::contexts::NewContext;
use store::finds::fields::{ChangeWords, changes};
use store::finds::{Find, NewFind};
use store::imports::{self, Change};
use store::journal::{self, Entry};
use store::places::NewPlace;
use store::review::reopenings;
use store::{Result, StoreError, Tx};

/// Who imports, when, under which run; without a run nothing is kept for undoing.
pub struct Import {
    pub project: ProjectId,
    pub run: Option<ImportRunId>,
    pub by: Option<PersonId>,
    pub now: Instant,
}

/// Applies every row; with `dry` set the outcome is worked out and nothing is written.
pub async fn apply_finds(tx: &mut Tx, import: &Import, run: &DryRun<F>, dry: bool) -> Result<Outcome> {
    let numbers: HashMap<String, FindId> = imports::list_numbers(tx, import.project)
        .await?
        .into_iter()
        .map(|used| (used.number, used.id))
        .collect();
    if !dry {
        make_missing(tx, import, run).await?;
    }
    let mut ground = Ground::load(tx, import.project).await?;
    if dry {
        ground.imagine(import, run);
    }
    let mut counts = Counts::default();
    let mut added = Vec::new();
    let mut told = Vec::new();
    let mut kept = Vec::new();
    for row in &run.rows {
        match numbers.get(&row.number) {
            None => {
                added.push(merged(NewFind { number: row.number.clone(), ..NewFind::default() }, row, &ground))
            }
            Some(id) => {
                let before = store::finds::find_unguarded(tx, *id).await?.ok_or(StoreError::Dangling)?;
                let after = merged(before.as_new(), row, &ground);
                if after == before.as_new() {
                    counts.unchanged += 1;
                    continue;
                }
                counts.changed += 1;
                let (after, note) = without_what_is_out(tx, &before, after).await?;
                let moved = ground.moved(&before.as_new(), &after);
                if !dry {
                    kept.push(update(tx, import, (&before, &after), &moved, &note).await?);
                }
                told.push(changed(&before, &after, moved, note));
            }
        }
    }
    counts.added = added.len() as i64;
    if dry {
        return Ok(Outcome { counts, changes: told, ..Outcome::default() });
    }
    let ids = store::finds::insert_many(tx, import.project, &added, import.by, import.now).await?;
    kept.extend(ids.into_iter().map(|id| Change { record_id: id.0, before: None, revision: 1 }));
    if let Some(run) = import.run {
        imports::insert_changes(tx, run, &kept).await?;
        imports::update_applied(tx, run, (counts.added, counts.changed), import.now).await?;
    }
    let words = format!("imported a finds register: {} added, {} changed", counts.added, counts.changed);
    let entry =
        Entry { project: Some(import.project), verb: "imported", words, by: import.by, ..Entry::default() };
    journal::append(tx, &entry, import.now).await?;
    Ok(Outcome { counts, changes: told, ..Outcome::default() })
}

/// What is out is counted where it is: the register and the dispatch would no longer agree. With the words that say so.
async fn without_what_is_out(tx: &mut Tx, before: &Find, mut after: NewFind) -> Result<(NewFind, String)> {
    if (before.quantity, before.weight_g) != (after.quantity, after.weight_g)
        && let Some(out) = store::dispatches::items::list_out(tx, before.id).await?.first()
    {
        (after.quantity, after.weight_g) = (before.quantity, before.weight_g);
        let note = format!("count and mass stay as they are while it is on dispatch D{}", out.serial);
        return Ok((after, note));
    }
    Ok((after, String::new()))
}

fn changed(before: &Find, after: &NewFind, moved: Vec<Difference>, note: String) -> Changed {
    let mut fields = changes(&before.as_new(), after);
    fields.extend(moved);
    Changed { number: before.number.clone(), fields, note }
}

async fn update(
    tx: &mut Tx,
    import: &Import,
    (before, after): (&Find, &NewFind),
    moved: &[Difference],
    note: &str,
) -> Result<Change> {
    store::finds::update(tx, before, after, before.revision).await?;
    if after.place != before.as_new().place {
        store::finds::update_place(tx, before.id, after.place).await?;
    }
    let like = Entry {
        project: Some(import.project),
        find: Some(before.id),
        verb: "imported",
        by: import.by,
        ..Entry::default()
    };
    let told = ChangeWords::of(&before.as_new(), after, moved.to_vec());
    let mut entries = told.entries(&like, |words| format!("by import, {words}"));
    if let Some(first) = entries.first_mut().filter(|_| !note.is_empty()) {
        first.words = format!("{}; {note}", first.words);
    }
    journal::append_all(tx, &entries, import.now).await?;
    let counts = (before.quantity, after.quantity);
    let why = (Reopened::Count, "By import of a register.");
    reopenings::insert_of_count(tx, before.id, counts, why, import.by, import.now).await?;
    let words = imports::to_words(&before.as_new())?;
    Ok(Change { record_id: before.id.0, before: Some(words), revision: before.revision + 1 })
}

/// Contexts and places that the register names and the person wants made.
async fn make_missing(tx: &mut Tx, import: &Import, run: &DryRun<F>) -> Result<()> {
    for missing in &run.missing_contexts {
        let new = NewContext { number: missing.word.clone(), ..NewContext::default() };
        store::contexts::insert(tx, import.project, &new, import.now).await?;
    }
    for missing in &run.missing_places {
        let new = NewPlace {
            project: import.project,
            parent: None,
            kind: "elsewhere".into(),
            name: missing.word.clone(),
        };
        store::places::insert(tx, &new, import.now).await?;
    }
    Ok(())
}

/// Contexts by number, places by folded path, and the way back.
pub(super) struct Ground {
    contexts: HashMap<String, ContextId>,
    numbers: HashMap<ContextId, String>,
    places: HashMap<String, PlaceId>,
    paths: HashMap<PlaceId, String>,
    /// Folded names of material groups by code.
    groups: HashMap<String, String>,
}

impl Ground {
    pub(super) async fn load(tx: &mut Tx, project: ProjectId) -> Result<Self> {
        let contexts = store::contexts::list(tx, project, "", i64::MAX).await?;
        let places = store::places::list(tx, project).await?;
        let groups = store::projects::list_materials(tx, project).await?;
        Ok(Self {
            groups: groups.into_iter().map(|group| (group.code, domain::words::fold(&group.name))).collect(),
            contexts: contexts.iter().map(|c| (c.number.clone(), c.id)).collect(),
            numbers: contexts.into_iter().map(|c| (c.id, c.number)).collect(),
            places: places.iter().map(|p| (domain::words::fold(&p.path), p.id)).collect(),
            paths: places.into_iter().map(|p| (p.id, p.path)).collect(),
        })
    }
}

/// Label, before, after.
type Difference = (&'static str, String, String);

impl Ground {
    /// Adds what a dry run does not make.
    fn imagine(&mut self, import: &Import, run: &DryRun<F>) {
        for missing in &run.missing_contexts {
            let id = ContextId::new(import.now);
            self.contexts.insert(missing.word.clone(), id);
            self.numbers.insert(id, missing.word.clone());
        }
        for missing in &run.missing_places {
            let id = PlaceId::new(import.now);
            self.places.insert(domain::words::fold(&missing.word), id);
            self.paths.insert(id, missing.word.clone());
        }
    }

    /// Where a find was laid to by another context or place.
    pub(super) fn moved(&self, before: &NewFind, after: &NewFind) -> Vec<Difference> {
        let context =
            |id: Option<ContextId>| id.and_then(|id| self.numbers.get(&id).cloned()).unwrap_or_default();
        let place = |id: Option<PlaceId>| id.and_then(|id| self.paths.get(&id).cloned()).unwrap_or_default();
        let mut moved = Vec::new();
        if before.context != after.context {
            moved.push(("Context", context(before.context), context(after.context)));
        }
        if before.place != after.place {
            moved.push(("Place", place(before.place), place(after.place)));
        }
        moved
    }
}

/// What is kept with what the row says; an empty cell changes nothing.
fn merged(mut find: NewFind, row: &FindRow, ground: &Ground) -> NewFind {
    let text = |field: F, kept: &mut String| {
        if let Some(words) = row.words(field) {
            *kept = words.to_owned();
        }
    };
    // the name of the group it is in already says nothing new of the material
    let group =
        row.material.as_ref().filter(|code| **code == find.material).and_then(|code| ground.groups.get(code));
    if row.words(F::Material).map(domain::words::fold).as_ref() != group || group.is_none() {
        text(F::Material, &mut find.material_words);
    }
    text(F::ObjectType, &mut find.object_type);
    text(F::Description, &mut find.description);
    text(F::RecoveredBy, &mut find.recovered_by);
    text(F::RecoveryMethod, &mut find.recovery_method);
    text(F::SampleNumber, &mut find.sample_number);
    text(F::Period, &mut find.period);
    text(F::ConditionNote, &mut find.condition_note);
    text(F::AccessionNumber, &mut find.accession_number);
    text(F::Note, &mut find.note);
    let size = |field: F, kept: &mut Option<f64>| *kept = row.size(field).or(*kept);
    size(F::WeightG, &mut find.weight_g);
    size(F::EastingM, &mut find.easting_m);
    size(F::NorthingM, &mut find.northing_m);
    size(F::HeightM, &mut find.height_m);
    size(F::LengthMm, &mut find.length_mm);
    size(F::WidthMm, &mut find.width_mm);
    size(F::ThicknessMm, &mut find.thickness_mm);
    size(F::DiameterMm, &mut find.diameter_mm);
    size(F::CompletenessPct, &mut find.completeness_pct);
    if let Some(code) = &row.material {
        find.material.clone_from(code);
    } else if find.material.is_empty() {
        find.material = UNKNOWN.into();
    }
    find.bulk = row.truth(F::Basis).unwrap_or(find.bulk);
    find.quantity = row.whole(F::Count).unwrap_or(find.quantity);
    find.fragments = row.whole(F::Fragments).or(find.fragments);
    find.recovered_on = row.day(F::RecoveredOn).or(find.recovered_on);
    find.recovered_state = row.state(F::State).unwrap_or(find.recovered_state);
    find.restricted = row.truth(F::Restricted).unwrap_or(find.restricted || is_human_remains(&find.material));
    find.context = row.words(F::Context).and_then(|n| ground.contexts.get(n).copied()).or(find.context);
    let place = row.words(F::Place).map(domain::words::fold);
    find.place = place.and_then(|path| ground.places.get(&path).copied()).or(find.place);
    find
}
