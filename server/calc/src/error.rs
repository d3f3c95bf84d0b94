//! Why a computation gives no answer.
use std::fmt;

/// A refusal of a computation. Each names the input at fault in `field`, so that a form can set the sentence beside it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CalcError {
    /// A number outside the limits within which the rule holds; limits are inclusive and in the same unit.
    #[error("{}", out_of_range(.field, *.value, *.low, *.high, .unit))]
    OutOfRange { field: &'static str, value: f64, low: f64, high: f64, unit: &'static str },
    /// A range whose end lies before its start.
    #[error("the end, {end}, lies before the start, {start}")]
    Reversed { field: &'static str, start: String, end: String },
    /// Nothing to work with: neither limit of a range is known.
    #[error("neither a start nor an end is given")]
    Unbounded { field: &'static str },
    /// Words or notation that were not understood.
    #[error("{0}")]
    Unreadable(Unreadable),
    /// An input, or several together, from which the rule gives no answer; the sentence says what is wrong.
    #[error("{sentence}")]
    Unsuitable { field: &'static str, sentence: String },
}

/// Text that could not be read, why, and what might have been meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unreadable {
    pub field: &'static str,
    /// The text as it was typed.
    pub text: String,
    /// A sentence that says what is wrong.
    pub reason: String,
    /// Texts that would be read, likeliest first; empty where nothing sensible can be proposed.
    pub suggestions: Vec<String>,
}

impl fmt::Display for Unreadable {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.reason)?;
        if self.suggestions.is_empty() {
            return Ok(());
        }
        let quoted: Vec<String> = self.suggestions.iter().map(|one| format!("“{one}”")).collect();
        write!(out, " Perhaps {}?", quoted.join(" or "))
    }
}

impl CalcError {
    /// A refusal that a sentence explains.
    pub fn unsuitable(field: &'static str, sentence: impl Into<String>) -> Self {
        Self::Unsuitable { field, sentence: sentence.into() }
    }

    /// The input at fault.
    pub fn field(&self) -> &'static str {
        match self {
            Self::OutOfRange { field, .. }
            | Self::Reversed { field, .. }
            | Self::Unbounded { field }
            | Self::Unsuitable { field, .. } => field,
            Self::Unreadable(unreadable) => unreadable.field,
        }
    }

    /// What might have been meant, likeliest first.
    pub fn suggestions(&self) -> &[String] {
        match self {
            Self::Unreadable(unreadable) => &unreadable.suggestions,
            _ => &[],
        }
    }
}

fn out_of_range(field: &str, value: f64, low: f64, high: f64, unit: &str) -> String {
    let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
    let name = field.replace('_', " ");
    format!("{name} is {value}{unit}, outside {low} to {high}{unit}")
}
