//! A column of a discipline: its name, unit and vocabulary, and what may stand in its cells.
use crate::typed::number;
use crate::words::fold;
use serde::{Deserialize, Serialize};

/// Longest text of a cell, in characters.
const LONGEST: usize = 200;
/// Largest number that is believed where the column names none.
const MOST: f64 = 1e9;

crate::text_enum! {
    /// What stands in the cells of a column.
    ColumnKind, "kind of column" {
        Text = "text", "words";
        Choice = "choice", "one of a vocabulary";
        Whole = "whole", "whole number";
        Number = "number", "number";
    }
}

crate::text_enum! {
    /// What the numbers of a column are compared with.
    Meaning, "meaning of a column" {
        Plain = "plain", "nothing";
        Pieces = "pieces", "pieces in the register";
        Mass = "mass", "mass in the register, g";
    }
}

/// A column.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Column {
    /// Stays when the name changes, so that drafts find their cells again.
    pub code: String,
    pub name: String,
    /// Empty where there is none.
    pub unit: String,
    pub kind: ColumnKind,
    /// The words of a choice.
    pub vocabulary: Vec<String>,
    pub required: bool,
    pub meaning: Meaning,
    /// Largest number that is believed.
    pub most: Option<f64>,
}

impl Column {
    /// “Weight (g)”.
    pub fn title(&self) -> String {
        match self.unit.as_str() {
            "" => self.name.clone(),
            unit => format!("{} ({unit})", self.name),
        }
    }

    /// Whether numbers stand in it.
    pub fn is_number(&self) -> bool {
        matches!(self.kind, ColumnKind::Whole | ColumnKind::Number)
    }

    /// Whether a heading of a spreadsheet means this column: by its title, its name or its code.
    pub fn is_headed(&self, heading: &str) -> bool {
        let heading = fold(heading);
        [self.title(), self.name.clone(), self.code.clone()].iter().any(|own| fold(own) == heading)
    }

    /// What is kept of a typed cell; a sentence where it cannot stand there.
    pub fn read(&self, typed: &str) -> Result<String, String> {
        let typed = typed.trim();
        if typed.is_empty() {
            return if self.required { Err("This must be filled in.".into()) } else { Ok(String::new()) };
        }
        match self.kind {
            ColumnKind::Text => text(typed),
            ColumnKind::Choice => self.chosen(typed),
            ColumnKind::Whole | ColumnKind::Number => self.counted(typed),
        }
    }

    fn chosen(&self, typed: &str) -> Result<String, String> {
        let folded = fold(typed);
        let word = self.vocabulary.iter().find(|word| fold(word) == folded);
        word.cloned().ok_or_else(|| format!("“{typed}” is not among: {}.", self.vocabulary.join(", ")))
    }

    fn counted(&self, typed: &str) -> Result<String, String> {
        let value = number(typed).map_err(|cause| cause.to_string())?;
        let most = self.most.unwrap_or(MOST);
        if value < 0.0 || value > most {
            return Err(format!("{typed} is outside what can be: 0 to {most}."));
        }
        if self.kind == ColumnKind::Whole && value.fract() != 0.0 {
            return Err(format!("“{typed}” is no whole number."));
        }
        Ok(value.to_string())
    }
}

pub(super) fn text(typed: &str) -> Result<String, String> {
    let words = typed.trim().replace(['\r', '\n', '\t'], " ");
    let length = words.chars().count();
    if length > LONGEST {
        return Err(format!("This is {length} characters long; {LONGEST} fit."));
    }
    if words.contains(char::is_control) {
        return Err("This holds characters that cannot be shown. Type it again.".into());
    }
    Ok(words)
}

/// The code of a new column or discipline, from its name; empty where the name has neither letter nor digit.
///
/// ```
/// assert_eq!(domain::rows::code_of("Rim, diameter"), "rim_diameter");
/// ```
pub fn code_of(name: &str) -> String {
    let words = fold(name).replace(' ', "_");
    words.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '_').take(40).collect()
}
