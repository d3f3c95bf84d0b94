//! The inputs of a computation, each asked for by name and kind.
use super::ComputeError;
use serde_json::{Map, Value};

/// Whole numbers are taken up to this size: beyond it a number in JSON no longer says them exactly.
const LARGEST_WHOLE: f64 = 9_007_199_254_740_991.0;

/// The inputs of one question.
#[derive(Debug)]
pub struct Fields<'a>(&'a Map<String, Value>);

impl<'a> Fields<'a> {
    /// The inputs, if they are an object with no key but those `known`.
    ///
    /// # Errors
    /// `line` if it is no object; otherwise the unknown key.
    pub fn of(inputs: &'a Value, known: &[&str]) -> Result<Self, ComputeError> {
        let Value::Object(map) = inputs else {
            return Err(ComputeError::new("line", "The inputs are one JSON object."));
        };
        match map.keys().find(|key| !known.contains(&key.as_str())) {
            Some(key) => {
                let message = format!("There is no input “{key}”; there are {}.", known.join(", "));
                Err(ComputeError::new(key.clone(), message))
            }
            None => Ok(Self(map)),
        }
    }

    /// Whether the key is there and not null.
    pub fn has(&self, name: &str) -> bool {
        self.0.get(name).is_some_and(|value| !value.is_null())
    }

    /// A text.
    ///
    /// # Errors
    /// If it is missing or no text.
    pub fn text(&self, name: &str) -> Result<&'a str, ComputeError> {
        match self.present(name)? {
            Value::String(text) => Ok(text),
            _ => Err(ComputeError::new(name, format!("{name} is a text."))),
        }
    }

    /// A number; JSON has none that is not finite.
    ///
    /// # Errors
    /// If it is missing or no number.
    pub fn number(&self, name: &str) -> Result<f64, ComputeError> {
        let wrong = || ComputeError::new(name, format!("{name} is a number."));
        self.present(name)?.as_f64().filter(|one| one.is_finite()).ok_or_else(wrong)
    }

    /// A number that may be missing or null.
    ///
    /// # Errors
    /// As [`Fields::number`], if it is there.
    pub fn number_or_none(&self, name: &str) -> Result<Option<f64>, ComputeError> {
        if self.has(name) { self.number(name).map(Some) } else { Ok(None) }
    }

    /// A list of numbers, perhaps empty.
    ///
    /// # Errors
    /// If it is missing, no list, or holds anything but numbers.
    pub fn numbers(&self, name: &str) -> Result<Vec<f64>, ComputeError> {
        let wrong = |n: usize| ComputeError::new(name, format!("{name}: entry {n} is not a number."));
        let entries = self.list(name)?.iter().enumerate();
        entries
            .map(|(n, one)| one.as_f64().filter(|one| one.is_finite()).ok_or_else(|| wrong(n + 1)))
            .collect()
    }

    /// A list of objects, perhaps empty, each with no key but those `known`.
    ///
    /// # Errors
    /// If it is missing, no list, or holds anything but such objects.
    pub fn rows(&self, name: &str, known: &[&str]) -> Result<Vec<Fields<'a>>, ComputeError> {
        let entries = self.list(name)?.iter().enumerate();
        entries
            .map(|(n, one)| {
                Fields::of(one, known).map_err(|error| {
                    ComputeError::new(name, format!("{name}, entry {}: {}", n + 1, error.message))
                })
            })
            .collect()
    }

    /// A whole number.
    ///
    /// # Errors
    /// If it is missing, no number, not whole, or too large to be exact.
    pub fn whole(&self, name: &str) -> Result<i64, ComputeError> {
        let wrong = || ComputeError::new(name, format!("{name} is a whole number."));
        let Value::Number(number) = self.present(name)? else { return Err(wrong()) };
        if let Some(whole) = number.as_i64() {
            return Ok(whole);
        }
        let float = number
            .as_f64()
            .filter(|one| one.fract() == 0.0 && one.abs() <= LARGEST_WHOLE)
            .ok_or_else(wrong)?;
        Ok(float as i64)
    }

    /// A whole number that may be missing or null.
    ///
    /// # Errors
    /// As [`Fields::whole`], if it is there.
    pub fn whole_or_none(&self, name: &str) -> Result<Option<i64>, ComputeError> {
        if self.has(name) { self.whole(name).map(Some) } else { Ok(None) }
    }

    /// True or false; false if it is missing.
    ///
    /// # Errors
    /// If it is there and neither.
    pub fn flag(&self, name: &str) -> Result<bool, ComputeError> {
        match self.0.get(name) {
            None => Ok(false),
            Some(Value::Bool(flag)) => Ok(*flag),
            Some(_) => Err(ComputeError::new(name, format!("{name} is true or false."))),
        }
    }

    /// A list, perhaps empty.
    ///
    /// # Errors
    /// If it is missing or no list.
    pub fn list(&self, name: &str) -> Result<&'a [Value], ComputeError> {
        match self.present(name)? {
            Value::Array(entries) => Ok(entries),
            _ => Err(ComputeError::new(name, format!("{name} is a list."))),
        }
    }

    /// An object, perhaps empty.
    ///
    /// # Errors
    /// If it is missing or no object.
    pub fn object(&self, name: &str) -> Result<&'a Map<String, Value>, ComputeError> {
        match self.present(name)? {
            Value::Object(map) => Ok(map),
            _ => Err(ComputeError::new(name, format!("{name} is an object."))),
        }
    }

    fn present(&self, name: &str) -> Result<&'a Value, ComputeError> {
        match self.0.get(name) {
            None | Some(Value::Null) => Err(ComputeError::new(name, format!("{name} is missing."))),
            Some(value) => Ok(value),
        }
    }
}
