//! Values into paper: a template and its values become one PDF that meets PDF/A-2a (ISO 19005-2) and PDF/UA-1
//! (ISO 14289-1).
//!
//! - [`compile`]: the one way in
//! - [`qr`]: codes that a camera reads
//! - `world`: the closed room a template works in: our files, our fonts, the date it is given, nothing else
//! - `printable`: characters that no font of ours can show
//!
//! Values reach a template as text, never as markup: they are read from a JSON file in the room.
mod code;
mod printable;
mod world;

pub use code::qr;
pub use world::MOST_FILES;

use chrono::{Datelike, NaiveDate};
use serde::Serialize;
use std::collections::BTreeMap;
use typst::diag::SourceDiagnostic;
use typst::foundations::{Datetime, Smart};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

/// Results that no document has asked for in this many runs are forgotten.
const KEPT_RUNS: usize = 8;

/// A template: the source that is run, and the sources it imports by name.
#[derive(Debug, Clone, Copy)]
pub struct Template {
    pub main: &'static str,
    pub parts: &'static [(&'static str, &'static str)],
}

/// The paper that all documents of the house share: import it as "house.typ".
pub const HOUSE: (&str, &str) = ("house.typ", include_str!("../../../../templates/report/house.typ"));

/// Files a template may show, by name. Names are remembered for the life of the process: call them by place
/// ("photo-1.jpg"), never by what they show.
pub type Files = BTreeMap<String, Vec<u8>>;

/// What a document says of itself.
#[derive(Debug, Clone, Copy)]
pub struct Printing<'a> {
    /// Tells this document from any other; the same content with the same identity gives the same bytes.
    pub identity: &'a str,
    /// The date it bears; there is no other clock.
    pub date: NaiveDate,
}

/// Why a document could not be printed. For the log: nobody who waits for paper can mend any of it.
#[derive(Debug, thiserror::Error)]
pub enum TypesetError {
    #[error("the values of the document cannot be written down")]
    Values(#[from] serde_json::Error),
    #[error("the date {0} is outside the calendar of the typesetter")]
    Date(NaiveDate),
    #[error("{0} files are more than the {MOST_FILES} one document may show")]
    TooManyFiles(usize),
    #[error("the template fails: {0}")]
    Template(String),
    #[error("the document cannot be kept for the long term: {0}")]
    Archival(String),
}

/// Prints `values` by a template.
///
/// # Errors
/// [`TypesetError`] when values, files or template do not make a document of both standards.
pub fn compile(
    template: &Template,
    values: &impl Serialize,
    files: Files,
    printing: &Printing,
) -> Result<Vec<u8>, TypesetError> {
    let date = calendar_date(printing.date)?;
    let values = printable::printable(serde_json::to_value(values)?);
    let world = world::Room::new(template, serde_json::to_vec(&values)?, files, date)?;
    let compiled = typst::compile::<PagedDocument>(&world);
    for warning in &compiled.warnings {
        tracing::debug!(warning = %warning.message, "typesetting");
    }
    let document = compiled.output.map_err(|causes| TypesetError::Template(sentences(&causes)))?;
    let options = PdfOptions {
        ident: Smart::Custom(printing.identity.to_owned()),
        creator: Smart::Custom(Some(domain::PROGRAM.to_owned())),
        timestamp: Some(Timestamp::new_utc(date)),
        standards: PdfStandards::new(&[PdfStandard::A_2a, PdfStandard::Ua_1])
            .map_err(|cause| TypesetError::Archival(cause.message().to_string()))?,
        ..PdfOptions::default()
    };
    let written =
        typst_pdf::pdf(&document, &options).map_err(|causes| TypesetError::Archival(sentences(&causes)));
    comemo::evict(KEPT_RUNS);
    written
}

/// Width and height in pixels of a JPEG that a document can show and keep: one that can be decoded and is whole, with
/// the end-of-image marker at its end (ISO/IEC 10918-1, B.1.1.3).
pub fn picture_size(bytes: &[u8]) -> Option<(u32, u32)> {
    use typst::visualize::{ExchangeFormat, RasterImage};
    if !bytes.ends_with(&[0xff, 0xd9]) {
        return None;
    }
    let picture =
        RasterImage::plain(typst::foundations::Bytes::new(bytes.to_vec()), ExchangeFormat::Jpg).ok()?;
    Some((picture.width(), picture.height()))
}

fn calendar_date(date: NaiveDate) -> Result<Datetime, TypesetError> {
    let (month, day) = (u8::try_from(date.month()), u8::try_from(date.day()));
    let (Ok(month), Ok(day)) = (month, day) else { return Err(TypesetError::Date(date)) };
    Datetime::from_ymd_hms(date.year(), month, day, 0, 0, 0).ok_or(TypesetError::Date(date))
}

fn sentences(causes: &[SourceDiagnostic]) -> String {
    let mut causes: Vec<String> = causes
        .iter()
        .map(|cause| {
            std::iter::once(cause.message.as_str()).chain(cause.hints.iter().map(|hint| hint.v.as_str()))
        })
        .map(|parts| parts.collect::<Vec<_>>().join(" — "))
        .collect();
    causes.dedup();
    causes.join("; ")
}
