//! The form of a discipline: its name, and a row of fields for each column.
use crate::form::Errors;
use domain::rows::{Column, ColumnKind, MOST_COLUMNS, Meaning, code_of};
use domain::words::fold;
use store::rows::disciplines::Discipline;

/// Empty rows for new columns.
const BLANK: usize = 3;
/// Headings of a template that are not the discipline’s.
const TAKEN: [&str; 3] = super::spreadsheet::BEFORE;

/// Exactly what was typed; the lists hold one field for each column.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct ColumnsForm {
    pub name: String,
    /// `yes`: specialists are offered it no more.
    pub withdrawn: String,
    pub revision: String,
    code: Vec<String>,
    position: Vec<String>,
    title: Vec<String>,
    unit: Vec<String>,
    kind: Vec<String>,
    vocabulary: Vec<String>,
    /// Rows that are ticked, by their place in the form.
    required: Vec<String>,
    meaning: Vec<String>,
    most: Vec<String>,
    /// The field whose saved words are taken over.
    pub take: String,
}

/// A column as the form shows it.
pub(super) struct ColumnView {
    pub at: usize,
    pub code: String,
    pub position: String,
    pub title: String,
    pub unit: String,
    pub kind: String,
    pub vocabulary: String,
    pub required: bool,
    pub meaning: String,
    pub most: String,
}

impl ColumnsForm {
    pub fn of(one: &Discipline) -> Self {
        let each = |field: fn(&Column) -> String| one.columns.iter().map(field).collect();
        let required = one.columns.iter().enumerate().filter(|(_, column)| column.required);
        Self {
            name: one.name.clone(),
            withdrawn: if one.withdrawn { "yes".into() } else { String::new() },
            revision: one.revision.to_string(),
            position: (1..=one.columns.len()).map(|at| at.to_string()).collect(),
            code: each(|column| column.code.clone()),
            title: each(|column| column.name.clone()),
            unit: each(|column| column.unit.clone()),
            kind: each(|column| column.kind.code().into()),
            vocabulary: each(|column| column.vocabulary.join("; ")),
            required: required.map(|(at, _)| at.to_string()).collect(),
            meaning: each(|column| column.meaning.code().into()),
            most: each(|column| column.most.map(|most| most.to_string()).unwrap_or_default()),
            take: String::new(),
        }
    }

    fn at(list: &[String], at: usize) -> String {
        list.get(at).cloned().unwrap_or_default()
    }

    fn row(&self, at: usize) -> ColumnView {
        ColumnView {
            at,
            code: Self::at(&self.code, at),
            position: Self::at(&self.position, at),
            title: Self::at(&self.title, at),
            unit: Self::at(&self.unit, at),
            kind: Self::at(&self.kind, at),
            vocabulary: Self::at(&self.vocabulary, at),
            required: self.required.contains(&at.to_string()),
            meaning: Self::at(&self.meaning, at),
            most: Self::at(&self.most, at),
        }
    }

    /// The columns, and empty rows for more.
    pub fn rows(&self) -> Vec<ColumnView> {
        let filled = (0..self.title.len()).rev().find(|at| !self.title[*at].trim().is_empty());
        (0..filled.map_or(0, |at| at + 1) + BLANK).map(|at| self.row(at)).collect()
    }

    /// The columns that have a name, in the order of their positions; those without one follow.
    pub fn parse(&self, errors: &mut Errors) -> Vec<Column> {
        let mut columns: Vec<(i64, Column)> = Vec::new();
        for row in (0..self.title.len()).map(|at| self.row(at)).filter(|row| !row.title.trim().is_empty()) {
            let position = row.position.trim().parse().unwrap_or(i64::MAX);
            match row.read(columns.iter().map(|(_, column)| column)) {
                Ok(column) => columns.push((position, column)),
                Err(words) => errors.add("columns", format!("{}: {words}", row.title.trim())),
            }
        }
        columns.sort_by_key(|(position, _)| *position);
        let columns: Vec<Column> = columns.into_iter().map(|(_, column)| column).collect();
        if columns.is_empty() {
            errors.add("columns", "Name at least one column.");
        }
        if columns.len() > MOST_COLUMNS {
            errors.add("columns", format!("{MOST_COLUMNS} columns fit; these are {}.", columns.len()));
        }
        columns
    }

    /// What is compared when two people save: the columns count as one field, told in words.
    pub fn fields(&self) -> Vec<(&'static str, &'static str, String)> {
        let columns = self.parse(&mut Errors::default());
        let words: Vec<String> = columns.iter().map(Column::title).collect();
        vec![
            ("name", "Name", self.name.clone()),
            ("columns", "Columns", words.join(", ")),
            ("withdrawn", "Not offered", self.withdrawn.clone()),
        ]
    }

    /// Takes the field asked for over from the kept version; what is sent next starts from that.
    pub fn take_over(&mut self, kept: &ColumnsForm) {
        match std::mem::take(&mut self.take).as_str() {
            "name" => self.name.clone_from(&kept.name),
            "withdrawn" => self.withdrawn.clone_from(&kept.withdrawn),
            "columns" => {
                let (name, withdrawn) = (self.name.clone(), self.withdrawn.clone());
                *self = Self { name, withdrawn, ..kept.clone() };
            }
            _ => {}
        }
        self.revision.clone_from(&kept.revision);
    }
}

impl ColumnView {
    fn read<'a>(&self, others: impl Iterator<Item = &'a Column> + Clone) -> Result<Column, String> {
        let mut errors = Errors::default();
        let name = errors.line("columns", &self.title);
        let unit = errors.line("columns", &self.unit);
        let most = errors.measure("columns", &self.most, 0.0..=1e9);
        if let Some(words) = errors.get("columns") {
            return Err(words.to_owned());
        }
        let is = |other: &Column| fold(&other.name) == fold(&name);
        if others.clone().any(is) || TAKEN.iter().any(|taken| fold(taken) == fold(&name)) {
            return Err("another column has this name. Choose another.".into());
        }
        let kind: ColumnKind = self.kind.parse().map_err(|_| "choose what stands in it.".to_owned())?;
        let meaning: Meaning = self.meaning.parse().unwrap_or(Meaning::Plain);
        if meaning != Meaning::Plain && others.clone().any(|other| other.meaning == meaning) {
            return Err(format!("one column only is compared with the {}.", meaning.label()));
        }
        let vocabulary = self.vocabulary.split([';', '\n']).map(str::trim).filter(|word| !word.is_empty());
        let column = Column {
            code: self.code_beside(&name, others),
            name,
            unit,
            kind,
            vocabulary: match kind {
                ColumnKind::Choice => vocabulary.map(String::from).collect(),
                _ => Vec::new(),
            },
            required: self.required,
            meaning,
            most: most.filter(|_| matches!(kind, ColumnKind::Whole | ColumnKind::Number)),
        };
        if kind == ColumnKind::Choice && column.vocabulary.is_empty() {
            return Err("write the words of its vocabulary, separated by semicolons.".into());
        }
        if meaning != Meaning::Plain && !column.is_number() {
            return Err("only numbers are compared with the register.".into());
        }
        Ok(column)
    }

    /// The code it had; a new one is made of the name, unlike those of the others.
    fn code_beside<'a>(&self, name: &str, others: impl Iterator<Item = &'a Column> + Clone) -> String {
        if !self.code.is_empty() && code_of(&self.code) == self.code {
            return self.code.clone();
        }
        let code = code_of(name);
        let is_free = |code: &String| !code.is_empty() && !others.clone().any(|other| other.code == *code);
        let numbered = (2..).map(|n| format!("{code}_{n}"));
        std::iter::once(code.clone()).chain(numbered).find(is_free).unwrap_or(code.clone())
    }
}
