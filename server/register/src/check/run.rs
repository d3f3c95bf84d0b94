//! What the dry runs of finds and of contexts share: columns, rows, numbers, and the report.
use super::column::Column;
use super::trouble::{Severity, Trouble};
use super::{DryRun, Missing, Problem, Row, Settings, Value};
use crate::field::Field;
use crate::header::{Header, headers};
use crate::matching::Match;
use crate::table::Table;
use crate::values::words::{self, one_line};
use domain::finds::number::sort_key;
use domain::words::fold;
use std::collections::{HashMap, HashSet};

/// A row being read.
pub(super) struct Draft<F> {
    pub row: usize,
    pub number: String,
    pub values: Vec<(F, Value)>,
    pub material: Option<String>,
    /// No problem has stopped it.
    pub sound: bool,
}

impl<F: Field> Draft<F> {
    /// The words of a field.
    pub fn words(&self, field: F) -> Option<std::sync::Arc<str>> {
        self.values.iter().find_map(|(other, value)| match value {
            Value::Words(words) if *other == field => Some(words.clone()),
            _ => None,
        })
    }

    /// Puts words in the place of a field's value.
    pub fn set_words(&mut self, field: F, words: &str) {
        for (_, value) in self.values.iter_mut().filter(|(other, _)| *other == field) {
            *value = Value::Words(words.into());
        }
    }
}

/// A dry run under way.
pub(super) struct Run<'a, F> {
    table: &'a Table,
    from: usize,
    settings: &'a Settings,
    columns: Vec<Column<F>>,
    /// The header of the column of numbers, folded: a row that repeats it is no record.
    heading: String,
    problems: Vec<Problem>,
    told: [usize; 2],
    counted: [usize; 2],
    read: usize,
}

impl<'a, F: Field> Run<'a, F> {
    /// Settles the columns. The header row counts from 0.
    pub fn start(table: &'a Table, header_row: usize, matches: &[Match<F>], settings: &'a Settings) -> Self {
        let headers = headers(table, header_row);
        let from = header_row + 1;
        let mut run = Run {
            table,
            from,
            settings,
            columns: Vec::new(),
            heading: String::new(),
            problems: Vec::new(),
            told: [0; 2],
            counted: [0; 2],
            read: 0,
        };
        for matched in matches {
            let (Some(field), Some(header)) = (matched.field, by_column(&headers, matched.column)) else {
                continue;
            };
            if field == F::NUMBER {
                run.heading = fold(&header.written);
            }
            run.columns.push(Column::settle(table, from, matched, field, header, settings.today));
        }
        run.look_at_columns();
        run
    }

    /// Fields without a column, fields with two, and what is to be said of whole columns.
    fn look_at_columns(&mut self) {
        let mut seen = HashSet::new();
        let columns: Vec<(F, String)> =
            self.columns.iter().map(|column| (column.field, column.place.clone())).collect();
        for (field, place) in &columns {
            if !seen.insert(*field) && !field.joins() {
                self.note(None, Some(place), Trouble::Twice { field: field.label() });
            }
        }
        for field in F::all().iter().filter(|field| field.spec().required && !seen.contains(field)) {
            self.note(None, None, Trouble::NoColumn { field: field.label() });
        }
        for at in 0..self.columns.len() {
            let place = self.columns[at].place.clone();
            for trouble in std::mem::take(&mut self.columns[at].troubles) {
                self.note(None, Some(&place), trouble);
            }
        }
    }

    /// Notes a problem; all are counted, and the first of each severity told.
    pub fn note(&mut self, row: Option<usize>, column: Option<&str>, trouble: Trouble) {
        let kind = usize::from(trouble.severity() == Severity::Warns);
        self.counted[kind] += 1;
        if self.told[kind] < self.settings.most_problems {
            self.told[kind] += 1;
            self.problems.push(Problem { row, column: column.map(str::to_owned), trouble });
        }
    }

    /// Notes a problem of a row in the column of a field.
    pub fn note_at(&mut self, draft: &mut Draft<F>, field: F, trouble: Trouble) {
        draft.sound = draft.sound && trouble.severity() == Severity::Warns;
        let place = self.place(field);
        self.note(Some(draft.row), place.as_deref(), trouble);
    }

    /// Where a field stands: “D (Weight)”.
    pub fn place(&self, field: F) -> Option<String> {
        self.columns.iter().find(|column| column.field == field).map(|column| column.place.clone())
    }

    /// Every row that has anything in a matched column, read.
    pub fn drafts(&mut self) -> Vec<Draft<F>> {
        let mut drafts = Vec::new();
        for at in self.from..self.table.rows.len() {
            drafts.extend(self.draft(at));
        }
        self.read = drafts.len();
        if drafts.is_empty() && !self.columns.is_empty() {
            self.note(None, None, Trouble::NoRows);
        }
        drafts
    }

    fn draft(&mut self, at: usize) -> Option<Draft<F>> {
        let table = self.table;
        if self.columns.iter().all(|column| table.cell(at, column.column).is_blank())
            || self.repeats_header(at)
        {
            return None;
        }
        if let Some((place, shown)) = self.sums_up(at) {
            self.note(Some(at + 1), Some(&place), Trouble::SumsUp { shown });
            return None;
        }
        let mut draft =
            Draft { row: at + 1, number: String::new(), values: Vec::new(), material: None, sound: true };
        let mut doubts = Vec::new();
        let mut noted: Vec<(usize, Trouble)> = Vec::new();
        let mut troubled = false;
        for (index, column) in self.columns.iter().enumerate() {
            match column.read(table.cell(at, column.column), &mut doubts) {
                Ok(Some(value)) => take(&mut draft, column.field, value),
                Ok(None) => {}
                Err(trouble) => {
                    troubled = troubled || column.field == F::NUMBER;
                    draft.sound = false;
                    doubts.push(trouble);
                }
            }
            noted.extend(doubts.drain(..).map(|trouble| (index, trouble)));
        }
        for (index, trouble) in noted {
            let place = self.columns[index].place.clone();
            self.note(Some(draft.row), Some(&place), trouble);
        }
        if draft.number.is_empty() && !troubled {
            self.note_at(&mut draft, F::NUMBER, Trouble::Unnamed { field: F::NUMBER.label() });
        }
        Some(draft)
    }

    /// A printed register repeats its header on every page.
    fn repeats_header(&self, at: usize) -> bool {
        let number = self.columns.iter().find(|column| column.field == F::NUMBER);
        let shown =
            number.map(|column| fold(&self.table.cell(at, column.column).shown())).unwrap_or_default();
        !shown.is_empty() && shown == self.heading && shown.chars().any(char::is_alphabetic)
    }

    /// Where a row that sums up the others says so: its number is a word such as “Total”.
    fn sums_up(&self, at: usize) -> Option<(String, String)> {
        let column = self.columns.iter().find(|column| column.field == F::NUMBER)?;
        let shown = one_line(&self.table.cell(at, column.column).shown());
        words::sums_up(&shown).then(|| (column.place.clone(), shown))
    }

    /// Numbers that stand twice, and numbers that only look different.
    pub fn compare_numbers(
        &mut self,
        drafts: &mut [Draft<F>],
        known: &HashSet<String>,
    ) -> Vec<(String, Vec<usize>)> {
        let mut seen: HashMap<String, usize> = HashMap::new();
        let mut alike: HashMap<String, (String, Option<usize>)> =
            known.iter().map(|number| (alike_key(number), (number.clone(), None))).collect();
        let mut twice: HashMap<String, Vec<usize>> = HashMap::new();
        for at in 0..drafts.len() {
            let number = drafts[at].number.clone();
            if number.is_empty() {
                continue;
            }
            if let Some(&first) = seen.get(&number) {
                let (first_row, row) = (drafts[first].row, drafts[at].row);
                let rows = twice.entry(number.clone()).or_insert_with(|| vec![first_row]);
                let told_before = rows.len() > 1;
                rows.push(row);
                if !told_before {
                    let trouble = Trouble::Duplicate { number: number.clone(), other: row };
                    self.note_at(&mut drafts[first], F::NUMBER, trouble);
                }
                self.note_at(&mut drafts[at], F::NUMBER, Trouble::Duplicate { number, other: first_row });
                continue;
            }
            let (other, row) = alike
                .entry(alike_key(&number))
                .or_insert_with(|| (number.clone(), Some(drafts[at].row)))
                .clone();
            if other != number && !known.contains(&number) {
                let trouble = Trouble::LooksLike { number: number.clone(), other, row };
                self.note_at(&mut drafts[at], F::NUMBER, trouble);
            }
            seen.insert(number, at);
        }
        let mut twice: Vec<(String, Vec<usize>)> = twice.into_iter().collect();
        twice.sort_by_key(|(_, rows)| rows[0]);
        twice
    }

    /// The result: whole rows, problems in the order of the rows.
    pub fn finish(mut self, drafts: Vec<Draft<F>>, duplicates: Vec<(String, Vec<usize>)>) -> DryRun<F> {
        self.problems.sort_by_key(|problem| problem.row.unwrap_or(0));
        let mut fields: Vec<F> = Vec::new();
        for column in &self.columns {
            if !fields.contains(&column.field) {
                fields.push(column.field);
            }
        }
        let readings =
            self.columns.iter().filter_map(|c| Some((c.place.clone(), c.reading.clone()?))).collect();
        let rows = drafts.into_iter().filter(|draft| draft.sound).map(|draft| Row {
            row: draft.row,
            number: draft.number,
            values: draft.values,
            material: draft.material,
        });
        DryRun {
            fields,
            read: self.read,
            rows: rows.collect(),
            problems: self.problems,
            stops: self.counted[0],
            warnings: self.counted[1],
            unknown_materials: Vec::new(),
            missing_contexts: Vec::new(),
            missing_places: Vec::new(),
            duplicates,
            readings,
        }
    }

    /// Notes each missing thing once, at the first row that names it.
    pub fn note_missing(&mut self, missing: &[Missing], field: F, trouble: fn(&Missing) -> Trouble) {
        let place = self.place(field);
        for missing in missing {
            self.note(Some(missing.first), place.as_deref(), trouble(missing));
        }
    }
}

fn by_column(headers: &[Header], column: usize) -> Option<&Header> {
    headers.iter().find(|header| header.column == column)
}

/// Numbers with the same key look alike: `SF 12`, `sf12`, `SF-012`.
fn alike_key(number: &str) -> String {
    sort_key(number).replace(' ', "")
}

/// Puts a value into the row; text of several columns of one field is joined.
fn take<F: Field>(draft: &mut Draft<F>, field: F, value: Value) {
    match value {
        Value::Words(words) if field == F::NUMBER => draft.number = words.to_string(),
        Value::Words(words) if field.joins() => match draft.words(field) {
            Some(before) => draft.set_words(field, &format!("{before}\n{words}")),
            None => draft.values.push((field, Value::Words(words))),
        },
        value => draft.values.push((field, value)),
    }
}
