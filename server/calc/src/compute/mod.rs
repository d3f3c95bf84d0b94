//! The computations over JSON: one object in, one object out. Units are in the keys.
//!
//! An answer has at least the keys that its verb promises. A refusal is `{"error": {"field": …, "message": …}}` with
//! `suggestions` where some can be made. No answer ever holds a number that is not finite.
use serde_json::{Value, json};
use std::io;

mod air;
mod chronology;
mod desalination;
mod drying;
mod fields;
mod opinions;
mod rings;
mod sorbent;
mod stratigraphy;

pub use fields::Fields;

/// A computation that can be asked for by name.
#[derive(Debug)]
pub struct Verb {
    pub name: &'static str,
    /// One line for a list of what there is.
    pub summary: &'static str,
    /// The keys it takes; any other is refused, so that a slip of the pen is not passed over.
    pub inputs: &'static [&'static str],
    /// The keys that an answer has at least.
    pub outputs: &'static [&'static str],
    answer: fn(&Fields<'_>) -> Result<Value, ComputeError>,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{field}: {message}")]
pub struct ComputeError {
    /// The input at fault, or `line` where the line itself is not readable.
    pub field: String,
    pub message: String,
    pub suggestions: Vec<String>,
}

impl ComputeError {
    /// A refusal that names the input at fault.
    pub fn new(field: impl Into<String>, message: impl Into<String>) -> Self {
        Self { field: field.into(), message: message.into(), suggestions: Vec::new() }
    }

    fn to_json(&self) -> Value {
        let mut error = json!({ "field": self.field, "message": self.message });
        if !self.suggestions.is_empty() {
            error["suggestions"] = json!(self.suggestions);
        }
        json!({ "error": error })
    }
}

impl From<crate::CalcError> for ComputeError {
    fn from(error: crate::CalcError) -> Self {
        let suggestions = error.suggestions().to_vec();
        let message = match &error {
            crate::CalcError::Unreadable(unreadable) => unreadable.reason.clone(),
            _ => error.to_string(),
        };
        Self { field: error.field().to_owned(), message, suggestions }
    }
}

/// Every computation, in the order of the laboratory's handbook.
pub fn verbs() -> &'static [&'static Verb] {
    VERBS
}

const VERBS: &[&Verb] = &[
    &air::SATURATION_VAPOUR_PRESSURE,
    &air::DEW_FROST_POINT,
    &air::ABSOLUTE_HUMIDITY,
    &air::RH_AFTER_TEMPERATURE_CHANGE,
    &air::CONDENSATION_ON_MOVING,
    &sorbent::BOX_RH_AFTER_TIME,
    &sorbent::HYGROMETRIC_HALF_TIME,
    &sorbent::SORBENT_MASS,
    &sorbent::DAYS_UNTIL_LIMIT,
    &sorbent::AIR_EXCHANGE_FROM_DECAY,
    &sorbent::BOX_RH_SERIES,
    &drying::CONSTANT_MASS,
    &drying::EXPONENTIAL_DRYING_FIT,
    &drying::SATURATING_EXPONENTIAL_CERTIFIED,
    &drying::SATURATED_SALT_RH,
    &drying::STEP_DOWN_SCHEDULE,
    &desalination::CUMULATIVE_RELEASE,
    &desalination::SQRT_TIME_FIT,
    &desalination::SLAB_DIFFUSION_RELEASE,
    &desalination::END_POINT_CONSECUTIVE,
    &desalination::CONDUCTIVITY_TO_CHLORIDE,
    &rings::RING_MOULD_MATCH,
    &chronology::DATE_PHRASE,
    &chronology::YEAR_NUMBERING,
    &chronology::INCLUSIVE_DURATION,
    &chronology::EDTF_OUTPUT,
    &chronology::EDTF_PARSE_RANGE,
    &opinions::POOL_OPINIONS,
    &opinions::AORISTIC_SUM,
    &stratigraphy::STRATIGRAPHIC_GRAPH,
    &stratigraphy::TPQ_TAQ,
];

/// Answers one question.
///
/// # Errors
/// Names the input at fault; `verb` if there is no such computation.
///
/// ```
/// use serde_json::json;
/// let answer = calc::compute::run("inclusive-duration", json!({"lo": 0, "hi": 1}))?;
/// assert_eq!(answer["years_inclusive"], 2);
/// let refused = calc::compute::run("inclusive-duration", json!({"lo": 0})).unwrap_err();
/// assert_eq!(refused.field, "hi");
/// # Ok::<(), calc::compute::ComputeError>(())
/// ```
pub fn run(name: &str, inputs: Value) -> Result<Value, ComputeError> {
    let Some(verb) = VERBS.iter().find(|verb| verb.name == name) else {
        return Err(ComputeError::new("verb", format!("There is no computation “{name}”.")));
    };
    let fields = Fields::of(&inputs, verb.inputs)?;
    (verb.answer)(&fields)
}

/// Answers one JSON object per line with one line each, blank lines passed over; whether all were answered.
///
/// # Errors
/// Only what reading or writing itself runs into; a line that cannot be answered is answered with its error.
pub fn run_lines(name: &str, reader: impl io::BufRead, mut writer: impl io::Write) -> io::Result<bool> {
    let mut all_answered = true;
    for line in reader.split(b'\n') {
        let line = line?;
        if line.iter().all(u8::is_ascii_whitespace) {
            continue;
        }
        let answer = serde_json::from_slice(&line)
            .map_err(|cause| ComputeError::new("line", format!("This is not a line of JSON: {cause}")))
            .and_then(|inputs| run(name, inputs))
            .unwrap_or_else(|error| {
                all_answered = false;
                error.to_json()
            });
        writeln!(writer, "{answer}")?;
    }
    writer.flush()?;
    Ok(all_answered)
}
