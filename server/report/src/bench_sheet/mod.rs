//! Bench sheets: what lies on paper beside a find while it is worked on, with room to write what the record will ask.
use crate::interim::wording::{capital, long_day, sentence, together};
use crate::labels::caution;
use crate::typeset::{self, Files, Printing, Template, TypesetError};
use chrono::NaiveDate;
use domain::finds::RecoveredState;
use domain::stages::{Stage, StageState};
use serde::{Deserialize, Serialize};

const BENCH_SHEET: Template =
    Template { main: include_str!("../../../../templates/report/bench_sheet.typ"), parts: &[typeset::HOUSE] };

/// What a bench sheet says of one find.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BenchSheet {
    pub site_code: String,
    pub number: String,
    /// What the find is thought to be.
    pub identification: String,
    pub description: String,
    /// Number of the context.
    pub context: Option<String>,
    pub material: String,
    /// Where it is now.
    pub place: Option<String>,
    pub pieces: Option<u32>,
    pub state: RecoveredState,
    pub cautions: Vec<String>,
    /// The stages of its route in order.
    pub route: Vec<RouteStep>,
    pub open_records: Vec<OpenRecord>,
    /// A small JPEG, stripped of metadata.
    #[serde(skip)]
    pub thumbnail: Option<Vec<u8>>,
    /// What the thumbnail shows.
    pub thumbnail_alt: String,
    /// The address that opens the find.
    pub url: String,
}

/// One stage of a route and the word for where it stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RouteStep {
    pub stage: Stage,
    pub state: StageState,
}

/// A working record still to be written or completed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpenRecord {
    pub stage: Stage,
    /// What is agreed for it: the authorised level, the stop-point, what the record still lacks.
    pub note: String,
}

/// How much paper a find gets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Room {
    /// A page or more to itself.
    Page,
    /// A strip, several to a page: for a round along the bench.
    Strip,
}

/// Why bench sheets were not printed.
#[derive(Debug, thiserror::Error)]
pub enum BenchSheetError {
    #[error("the address of find {0} is too long for a code")]
    Address(String),
    #[error(transparent)]
    Typeset(#[from] TypesetError),
}

#[derive(Serialize)]
struct Paper {
    printed_on: String,
    room: Room,
    sheets: Vec<Printed>,
}

/// A bench sheet in words.
#[derive(Serialize)]
struct Printed {
    site_code: String,
    number: String,
    identification: String,
    description: String,
    facts: Vec<crate::interim::account::Fact>,
    caution: String,
    route: Vec<[String; 2]>,
    records: Vec<[String; 2]>,
    thumbnail: Option<String>,
    thumbnail_alt: String,
    /// Name of the file that holds the code.
    code: String,
}

/// Bench sheets as PDF, in the order given.
///
/// # Errors
/// [`BenchSheetError::Address`] when an address cannot be a code; a thumbnail that cannot be read is left out.
pub fn pdf(sheets: &[BenchSheet], room: Room, printed_on: NaiveDate) -> Result<Vec<u8>, BenchSheetError> {
    let mut files = Files::new();
    let mut printed = Vec::with_capacity(sheets.len());
    for (sheet, place) in sheets.iter().zip(1..) {
        let picture = sheet.thumbnail.as_ref().filter(|bytes| typeset::picture_size(bytes).is_some());
        let file = picture.map(|bytes| {
            let file = format!("photo-{place}.jpg");
            files.insert(file.clone(), bytes.clone());
            file
        });
        let code = typeset::qr(&sheet.url).ok_or_else(|| BenchSheetError::Address(sheet.number.clone()))?;
        let code_file = format!("code-{place}.svg");
        files.insert(code_file.clone(), code.into_bytes());
        printed.push(in_words(sheet, file, code_file));
    }
    let paper = Paper { printed_on: long_day(printed_on), room, sheets: printed };
    let identity = format!("bench sheets {} {printed_on}", sheets.len());
    Ok(typeset::compile(&BENCH_SHEET, &paper, files, &Printing { identity: &identity, date: printed_on })?)
}

fn in_words(sheet: &BenchSheet, thumbnail: Option<String>, code: String) -> Printed {
    use crate::interim::account::Fact;
    let mut facts = vec![
        Fact::new("Context", sheet.context.as_deref().unwrap_or("none")),
        Fact::new("Material", sheet.material.as_str()),
        Fact::new("Place", sheet.place.as_deref().unwrap_or("not recorded")),
        Fact::new("Recovered", sheet.state.label()),
    ];
    facts.extend(sheet.pieces.map(|pieces| Fact::new("Pieces", pieces.to_string())));
    let alt = match sheet.thumbnail_alt.trim() {
        "" => format!("Photograph of {}, not described.", together(&["find", &sheet.number])),
        alt => alt.to_owned(),
    };
    Printed {
        site_code: sheet.site_code.clone(),
        number: sheet.number.clone(),
        identification: capital(sheet.identification.trim()),
        description: sentence(&sheet.description),
        facts,
        caution: caution(sheet.state, &sheet.cautions),
        route: sheet
            .route
            .iter()
            .map(|step| [capital(step.stage.label()), step.state.label().to_owned()])
            .collect(),
        records: sheet
            .open_records
            .iter()
            .map(|open| [capital(open.stage.label()), sentence(&open.note)])
            .collect(),
        thumbnail,
        thumbnail_alt: alt,
        code,
    }
}
