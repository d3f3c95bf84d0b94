//! Find labels and box labels. Find labels: sheets to be cut, each label with a code that opens its find.
mod sheet;
mod stored_box;

pub use sheet::{Sheet, SheetProblem};
pub use stored_box::{BoxLabel, box_pdf};

use crate::interim::wording::{capital, day, together};
use crate::typeset::{self, Files, Printing, Template, TypesetError};
use chrono::NaiveDate;
use domain::finds::RecoveredState;
use serde::{Deserialize, Serialize};

const LABELS: Template =
    Template { main: include_str!("../../../../templates/report/labels.typ"), parts: &[typeset::HOUSE] };

/// What a label says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FindLabel {
    pub site_code: String,
    pub number: String,
    /// Number of the context.
    pub context: Option<String>,
    pub material: String,
    /// What the find is thought to be.
    pub object: String,
    /// The day it was recovered.
    pub date: Option<NaiveDate>,
    pub state: RecoveredState,
    /// Words of caution, in the order of weight.
    pub cautions: Vec<String>,
    /// The address that opens the find.
    pub url: String,
}

/// Why labels were not printed.
#[derive(Debug, thiserror::Error)]
pub enum LabelError {
    #[error(transparent)]
    Sheet(#[from] SheetProblem),
    #[error("the address of find {0} is too long for a code")]
    Address(String),
    #[error(transparent)]
    Typeset(#[from] TypesetError),
}

#[derive(Serialize)]
struct Paper<'a> {
    sheet: &'a Sheet,
    /// Labels by page; the places already used on the first page are `None`.
    pages: Vec<&'a [Option<Printed>]>,
}

/// A label in words.
#[derive(Serialize, Clone)]
struct Printed {
    number: String,
    object: String,
    /// Material and day of recovery.
    material: String,
    /// Site code and context.
    place: String,
    caution: String,
    /// Name of the file that holds the code.
    code: String,
}

/// Sheets of labels as PDF, in the order given.
///
/// # Errors
/// [`LabelError::Sheet`] when the labels do not fit the page, [`LabelError::Address`] when an address cannot be a code;
/// one document holds at most [`typeset::MOST_FILES`] labels.
pub fn pdf(labels: &[FindLabel], sheet: &Sheet, printed_on: NaiveDate) -> Result<Vec<u8>, LabelError> {
    sheet.check()?;
    let used = std::iter::repeat_n(None, sheet.used);
    let mut files = Files::new();
    let mut printed = Vec::with_capacity(labels.len());
    for (label, place) in labels.iter().zip(1..) {
        let code = typeset::qr(&label.url).ok_or_else(|| LabelError::Address(label.number.clone()))?;
        let file = format!("code-{place}.svg");
        files.insert(file.clone(), code.into_bytes());
        printed.push(Some(in_words(label, file)));
    }
    let places: Vec<Option<Printed>> = used.chain(printed).collect();
    let paper = Paper { sheet, pages: places.chunks(sheet.labels()).collect() };
    let identity = format!("labels {} {}", labels.len(), printed_on);
    Ok(typeset::compile(&LABELS, &paper, files, &Printing { identity: &identity, date: printed_on })?)
}

fn in_words(label: &FindLabel, code: String) -> Printed {
    let context = label.context.as_deref().map(|context| together(&["Context", context]));
    let date = label.date.map(|date| day(date).replace(' ', "\u{a0}"));
    let material = Some(capital(label.material.trim())).filter(|words| !words.is_empty());
    let material: Vec<String> = material.into_iter().chain(date).collect();
    let place: Vec<String> = [label.site_code.clone()].into_iter().chain(context).collect();
    Printed {
        number: label.number.clone(),
        object: capital(label.object.trim()),
        material: material.join(" · "),
        place: place.join(" · "),
        caution: caution(label.state, &label.cautions),
        code,
    }
}

/// How wet it is and what to beware of: "WET. Keep wet until a drying plan is written."
pub(crate) fn caution(state: RecoveredState, cautions: &[String]) -> String {
    let state = match state {
        RecoveredState::Unknown => None,
        known => Some(format!("{}.", known.label().to_uppercase())),
    };
    let cautions = cautions.iter().map(|words| crate::interim::wording::sentence(words));
    state.into_iter().chain(cautions).filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" ")
}
