//! The dry run of a finds register.
use super::missing::Gathered;
use super::near::nearest;
use super::run::{Draft, Run};
use super::trouble::Trouble;
use super::{DryRun, Known, Settings, Value};
use crate::field::FindField as F;
use crate::matching::Match;
use crate::table::Table;
use domain::finds::material::UNKNOWN;
use domain::finds::number::{LONGEST, normal};
use domain::words::fold;
use std::collections::HashSet;

/// Reads every row of a finds register and names every problem. The header row counts from 0.
pub fn check_finds(
    table: &Table,
    header_row: usize,
    matches: &[Match<F>],
    known: &Known,
    settings: &Settings,
) -> DryRun<F> {
    let mut run = Run::start(table, header_row, matches, settings);
    let mut drafts = run.drafts();
    let mut finds = Finds {
        known,
        settings,
        codes: known.materials.values().map(String::as_str).collect(),
        materials: Gathered::default(),
        contexts: Gathered::default(),
        places: Gathered::default(),
    };
    for draft in &mut drafts {
        finds.number(draft, &mut run);
        finds.context(draft, &mut run);
        finds.material(draft, &mut run);
        finds.place(draft);
    }
    let duplicates = run.compare_numbers(&mut drafts, &known.finds);
    let Finds { materials, contexts, places, .. } = finds;
    let materials = materials.finish(|word| {
        let near = nearest(&fold(word), known.materials.keys().map(String::as_str));
        (near.map(str::to_owned), near.and_then(|near| known.materials.get(near).cloned()))
    });
    let contexts = contexts.finish(|number| (super::contexts::nearest_number(number, &known.contexts), None));
    let places = places.finish(|name| {
        let near = nearest(&fold(name), known.places.keys().map(String::as_str));
        (near.and_then(|near| known.places.get(near).cloned()), None)
    });
    run.note_missing(&materials, F::Material, |missing| Trouble::UnknownMaterial {
        word: missing.word.clone(),
        rows: missing.rows,
        nearest: missing.nearest.clone(),
    });
    if !settings.create_contexts {
        run.note_missing(&contexts, F::Context, super::contexts::no_context);
    }
    if !settings.create_places {
        run.note_missing(&places, F::Place, |missing| Trouble::NoPlace {
            name: missing.word.clone(),
            rows: missing.rows,
            nearest: missing.nearest.clone(),
        });
    }
    let mut result = run.finish(drafts, duplicates);
    result.unknown_materials = materials;
    result.missing_contexts = contexts;
    result.missing_places = places;
    result
}

/// What rows of finds are held against.
struct Finds<'a> {
    known: &'a Known,
    settings: &'a Settings,
    /// Codes of the project's material groups.
    codes: HashSet<&'a str>,
    materials: Gathered,
    contexts: Gathered,
    places: Gathered,
}

impl Finds<'_> {
    /// The sub-number behind the number; void numbers.
    fn number(&self, draft: &mut Draft<F>, run: &mut Run<'_, F>) {
        if let Some(sub) = draft.words(F::SubNumber).filter(|_| !draft.number.is_empty()) {
            let whole = format!("{}/{sub}", draft.number);
            match normal(&whole) {
                Some(number) => draft.number = number,
                None => {
                    let length = whole.chars().count();
                    run.note_at(draft, F::SubNumber, Trouble::TooLong { length, limit: LONGEST });
                }
            }
        }
        if self.known.void_finds.contains(&draft.number) {
            run.note_at(draft, F::Number, Trouble::Void { number: draft.number.clone() });
        }
    }

    fn context(&mut self, draft: &mut Draft<F>, run: &mut Run<'_, F>) {
        let Some(number) = draft.words(F::Context) else { return };
        if self.known.contexts.contains(&*number) {
            return;
        }
        let several = number.contains(['/', ',', ';', '+', '&'])
            && number
                .split(['/', ',', ';', '+', '&'])
                .all(|part| part.contains(|c: char| c.is_ascii_digit()));
        if several {
            run.note_at(draft, F::Context, Trouble::SeveralContexts { shown: number.to_string() });
            return;
        }
        self.contexts.note(&number, &number, draft.row);
        draft.sound = draft.sound && self.settings.create_contexts;
    }

    /// The material group that a word means: by the project's words, in the plural too, or as the person chose.
    fn material(&mut self, draft: &mut Draft<F>, run: &mut Run<'_, F>) {
        let Some(word) = draft.words(F::Material) else { return };
        let folded = fold(&word);
        if folded.is_empty() {
            return;
        }
        let singular = folded.strip_suffix('s').unwrap_or(&folded);
        let materials = &self.known.materials;
        let chosen = self.settings.materials.get(&folded);
        let chosen = chosen.filter(|code| *code == UNKNOWN || self.codes.contains(code.as_str()));
        let code = materials.get(&folded).or_else(|| materials.get(singular)).or(chosen);
        let Some(code) = code else {
            self.materials.note(&folded, &word, draft.row);
            draft.sound = false;
            return;
        };
        draft.material = Some(code.clone());
        if self.known.human_remains.contains(code) {
            let open = draft
                .values
                .iter_mut()
                .find(|(field, value)| *field == F::Restricted && *value == Value::Truth(false));
            if let Some((_, value)) = open {
                *value = Value::Truth(true);
                run.note_at(draft, F::Restricted, Trouble::HumanRemains);
            }
        }
    }

    fn place(&mut self, draft: &mut Draft<F>) {
        let Some(name) = draft.words(F::Place) else { return };
        let folded = fold(&name);
        match self.known.places.get(&folded) {
            Some(path) => draft.set_words(F::Place, path),
            None => {
                self.places.note(&folded, &name, draft.row);
                draft.sound = draft.sound && self.settings.create_places;
            }
        }
    }
}
