//! An input of a computation: what it is called, its unit, and the limits within which it is taken.
use crate::error::CalcError;
use serde::Serialize;

/// An input with its limits, both inclusive. The limits are those of the rule where its source states some, otherwise
/// those of anything that a laboratory can hold or measure: they keep slips of the pen and overflow out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Quantity {
    /// The key under which a form or a line of JSON gives it.
    pub field: &'static str,
    /// What it is called in a sentence, with its article: "the temperature".
    pub name: &'static str,
    pub unit: &'static str,
    pub low: f64,
    pub high: f64,
}

impl Quantity {
    /// A quantity from `low` to `high`, in `unit`.
    pub const fn new(
        field: &'static str,
        name: &'static str,
        unit: &'static str,
        low: f64,
        high: f64,
    ) -> Self {
        Self { field, name, unit, low, high }
    }

    /// The same quantity under another key and name: the temperature of the first room, of the second.
    #[must_use]
    pub const fn called(self, field: &'static str, name: &'static str) -> Self {
        Self { field, name, ..self }
    }

    /// The value, if it lies within the limits.
    ///
    /// # Errors
    /// `Unsuitable` with a sentence that names the quantity and its limits; also for what is no number.
    ///
    /// ```
    /// use calc::Quantity;
    /// let depth = Quantity::new("depth_mm", "the depth", "mm", 0.0, 500.0);
    /// assert_eq!(depth.check(12.5), Ok(12.5));
    /// let refused = depth.check(-1.0).unwrap_err();
    /// assert_eq!(refused.to_string(), "The depth is -1 mm; it has to lie between 0 and 500 mm.");
    /// ```
    pub fn check(&self, value: f64) -> Result<f64, CalcError> {
        if (self.low..=self.high).contains(&value) {
            return Ok(value);
        }
        Err(self.refusal(value, ""))
    }

    /// Each value of a list, if all lie within the limits; the sentence counts from 1.
    ///
    /// # Errors
    /// `Unsuitable` for the first that does not.
    pub fn check_each(&self, values: &[f64]) -> Result<(), CalcError> {
        match values.iter().position(|value| !(self.low..=self.high).contains(value)) {
            None => Ok(()),
            Some(n) => Err(self.refusal(values[n], &format!(" in entry {}", n + 1))),
        }
    }

    /// Each value of a list, if all lie within the limits and each is greater than the one before.
    ///
    /// # Errors
    /// `Unsuitable` for the first that does not, or that is not later than the one before.
    pub fn check_rising(&self, values: &[f64]) -> Result<(), CalcError> {
        self.check_each(values)?;
        let Some(n) = values.windows(2).position(|pair| pair[1] <= pair[0]) else { return Ok(()) };
        let (before, after) = (shown(values[n]), shown(values[n + 1]));
        let name = capital(self.name);
        let sentence = format!(
            "{name} has to rise from entry to entry, but {after} {} follows {before} {}.",
            self.unit, self.unit
        );
        Err(CalcError::unsuitable(self.field, sentence))
    }

    /// Two lists that belong together entry by entry.
    ///
    /// # Errors
    /// `Unsuitable` if one is longer than the other.
    pub fn check_paired(&self, count: usize, other: &Self, other_count: usize) -> Result<(), CalcError> {
        if count == other_count {
            return Ok(());
        }
        let sentence = format!(
            "There are {count} entries for {} but {other_count} for {}: each needs its fellow.",
            self.name, other.name
        );
        Err(CalcError::unsuitable(other.field, sentence))
    }

    fn refusal(&self, value: f64, entry: &str) -> CalcError {
        let unit = if self.unit.is_empty() { String::new() } else { format!(" {}", self.unit) };
        let name = capital(self.name);
        let (value, low, high) = (shown(value), shown(self.low), shown(self.high));
        let sentence =
            format!("{name}{entry} is {value}{unit}; it has to lie between {low} and {high}{unit}.");
        CalcError::unsuitable(self.field, sentence)
    }
}

/// A number as a sentence shows it: plain, in powers of ten only where plain would be all noughts.
pub(crate) fn shown(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && !(1e-6..1e9).contains(&size) { format!("{value:e}") } else { format!("{value}") }
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
