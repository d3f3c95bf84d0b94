//! The dry run: every row read, every problem named by row and column, nothing stored.
mod column;
mod contexts;
mod finds;
mod missing;
mod near;
mod run;
mod trouble;

pub use contexts::check_contexts;
pub use finds::check_finds;
pub use trouble::{Severity, Trouble};

use crate::field::{ContextField, Field, FindField};
use chrono::NaiveDate;
use domain::finds::RecoveredState;
use serde::{Deserialize, Serialize};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// What the project holds already.
#[derive(Debug, Clone, Default)]
pub struct Known {
    /// Words for materials, folded by `domain::words::fold`, to the code of their group.
    pub materials: HashMap<String, String>,
    /// Context numbers in normal form.
    pub contexts: HashSet<String>,
    /// Places by their folded path and by their folded name where that is unique, to the path as kept.
    pub places: HashMap<String, String>,
    /// Find numbers in normal form, void ones too.
    pub finds: HashSet<String>,
    pub void_finds: HashSet<String>,
    /// Codes of the groups that are human remains.
    pub human_remains: HashSet<String>,
}

/// What the person chose for this import.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// Days after it are warned of; years of two figures end in its year.
    pub today: NaiveDate,
    /// Contexts that do not exist yet are to be made.
    #[serde(default)]
    pub create_contexts: bool,
    /// Places that do not exist yet are to be made.
    #[serde(default)]
    pub create_places: bool,
    /// Words for materials that no group knows, folded, to the code chosen for them.
    #[serde(default)]
    pub materials: HashMap<String, String>,
    /// Problems told one by one at most; all are counted.
    #[serde(default = "most_problems")]
    pub most_problems: usize,
}

fn most_problems() -> usize {
    2_000
}

impl Settings {
    /// Nothing created, nothing mapped.
    pub fn new(today: NaiveDate) -> Self {
        let most_problems = most_problems();
        Self { today, create_contexts: false, create_places: false, materials: HashMap::new(), most_problems }
    }
}

/// A value as it will be kept, in the unit of its field.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    Words(Arc<str>),
    Whole(i64),
    Size(f64),
    Day(NaiveDate),
    /// Yes; for registered or bulk: bulk.
    Truth(bool),
    State(RecoveredState),
    Numbers(Vec<String>),
}

/// A whole row, read and sound. Empty cells have no value.
#[derive(Debug, Clone, PartialEq)]
pub struct Row<F> {
    /// As the spreadsheet numbers it.
    pub row: usize,
    /// In normal form, with the sub-number behind it.
    pub number: String,
    values: Vec<(F, Value)>,
    /// Code of the material group; only for finds whose material is said.
    pub material: Option<String>,
}

pub type FindRow = Row<FindField>;
pub type ContextRow = Row<ContextField>;

impl<F: Field> Row<F> {
    /// Every value but the number, in the order of the columns.
    pub fn values(&self) -> &[(F, Value)] {
        &self.values
    }

    /// The value of a field, if the row has one.
    pub fn value(&self, field: F) -> Option<&Value> {
        self.values.iter().find(|(other, _)| *other == field).map(|(_, value)| value)
    }

    /// The words of a field; nothing when it is empty or no text.
    pub fn words(&self, field: F) -> Option<&str> {
        match self.value(field) {
            Some(Value::Words(words)) => Some(words),
            _ => None,
        }
    }

    /// The whole number of a field.
    pub fn whole(&self, field: F) -> Option<i64> {
        match self.value(field) {
            Some(Value::Whole(whole)) => Some(*whole),
            _ => None,
        }
    }

    /// The measured value of a field, in the unit of the field.
    pub fn size(&self, field: F) -> Option<f64> {
        match self.value(field) {
            Some(Value::Size(size)) => Some(*size),
            _ => None,
        }
    }

    /// The day of a field.
    pub fn day(&self, field: F) -> Option<NaiveDate> {
        match self.value(field) {
            Some(Value::Day(day)) => Some(*day),
            _ => None,
        }
    }

    /// Yes or no.
    pub fn truth(&self, field: F) -> Option<bool> {
        match self.value(field) {
            Some(Value::Truth(truth)) => Some(*truth),
            _ => None,
        }
    }

    /// How wet it was.
    pub fn state(&self, field: F) -> Option<RecoveredState> {
        match self.value(field) {
            Some(Value::State(state)) => Some(*state),
            _ => None,
        }
    }

    /// Several numbers; none when the cell is empty.
    pub fn numbers(&self, field: F) -> &[String] {
        match self.value(field) {
            Some(Value::Numbers(numbers)) => numbers,
            _ => &[],
        }
    }
}

/// One problem, where it stands and what to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// As the spreadsheet numbers it; nothing when it is of the whole column or table.
    pub row: Option<usize>,
    /// The column by letter and header: “D (Weight)”.
    pub column: Option<String>,
    pub trouble: Trouble,
}

/// Something that the register names and the project does not know.
#[derive(Debug, Clone, PartialEq)]
pub struct Missing {
    /// As written, the first time.
    pub word: String,
    /// How many rows name it.
    pub rows: usize,
    /// The first of them.
    pub first: usize,
    /// What is known and looks most like it.
    pub nearest: Option<String>,
    /// For materials: the group of the nearest word.
    pub nearest_code: Option<String>,
}

/// What would happen.
#[derive(Debug, Clone)]
pub struct DryRun<F> {
    /// The fields that the file has a column for. A re-import changes no other.
    pub fields: Vec<F>,
    /// How many rows have anything in them.
    pub read: usize,
    /// The rows without a problem that stops them, whole.
    pub rows: Vec<Row<F>>,
    /// In the order of the rows, those of whole columns first; at most as many as the settings say.
    pub problems: Vec<Problem>,
    /// How many problems stop the import, and how many only warn; all of them, told or not.
    pub stops: usize,
    pub warnings: usize,
    pub unknown_materials: Vec<Missing>,
    /// Named but not there: to be made when the settings say so, otherwise each stops.
    pub missing_contexts: Vec<Missing>,
    pub missing_places: Vec<Missing>,
    /// Numbers that stand in several rows, with those rows.
    pub duplicates: Vec<(String, Vec<usize>)>,
    /// How columns were read where it was not plain, in sentences.
    pub readings: Vec<(String, String)>,
}

impl<F> DryRun<F> {
    /// Whether everything may be imported as it stands.
    pub fn may_apply(&self) -> bool {
        self.stops == 0 && !self.rows.is_empty()
    }

    /// How many rows have a problem that stops them.
    pub fn stopped_rows(&self) -> usize {
        self.read - self.rows.len()
    }
}
