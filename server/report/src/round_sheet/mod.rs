//! The sheet of a round: a line a pack, ticked along the shelves and typed in afterwards.
use crate::interim::wording::{capital, long_day};
use crate::typeset::{self, Files, Printing, Template, TypesetError};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

const ROUND_SHEET: Template =
    Template { main: include_str!("../../../../templates/report/round_sheet.typ"), parts: &[typeset::HOUSE] };

/// A round on paper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RoundSheet {
    /// What is looked at: “Wet packs”.
    pub kind: String,
    /// What to look at.
    pub advice: String,
    /// Whether there is a reading to write down, in % RH.
    pub readings: bool,
    pub lines: Vec<RoundLine>,
    /// The address where the sheet is typed in.
    pub url: String,
}

/// One pack.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RoundLine {
    /// Its place on the paper, from 1.
    pub at: usize,
    pub site_code: String,
    pub number: String,
    pub what: String,
    pub place: String,
    /// How its clock stands.
    pub stands: String,
    pub overdue: bool,
    /// What the last look left to be done.
    pub left_open: String,
    /// The address that opens the find.
    pub url: String,
}

/// Why a sheet was not printed.
#[derive(Debug, thiserror::Error)]
pub enum RoundSheetError {
    #[error("the address of {0} is too long for a code")]
    Address(String),
    #[error(transparent)]
    Typeset(#[from] TypesetError),
}

#[derive(Serialize)]
struct Paper<'a> {
    printed_on: String,
    kind: &'a str,
    advice: &'a str,
    readings: bool,
    code: &'static str,
    lines: Vec<Printed<'a>>,
}

/// A line in words.
#[derive(Serialize)]
struct Printed<'a> {
    at: usize,
    number: &'a str,
    what: String,
    place: String,
    stands: String,
    overdue: bool,
    left_open: &'a str,
    code: String,
}

/// The sheet as PDF, its lines in the order given.
///
/// # Errors
/// [`RoundSheetError::Address`] when an address cannot be a code.
pub fn pdf(sheet: &RoundSheet, printed_on: NaiveDate) -> Result<Vec<u8>, RoundSheetError> {
    let mut files = Files::new();
    let mut keep = |file: &str, url: &str, whose: &str| -> Result<(), RoundSheetError> {
        let code = typeset::qr(url).ok_or_else(|| RoundSheetError::Address(whose.to_owned()))?;
        files.insert(file.to_owned(), code.into_bytes());
        Ok(())
    };
    keep("code-sheet.svg", &sheet.url, "the sheet")?;
    let mut lines = Vec::with_capacity(sheet.lines.len());
    for (line, place) in sheet.lines.iter().zip(1..) {
        let code = format!("code-{place}.svg");
        keep(&code, &line.url, &line.number)?;
        lines.push(in_words(line, code));
    }
    let paper = Paper {
        printed_on: long_day(printed_on),
        kind: &sheet.kind,
        advice: &sheet.advice,
        readings: sheet.readings,
        code: "code-sheet.svg",
        lines,
    };
    let identity = format!("round sheet {}", sheet.url);
    Ok(typeset::compile(&ROUND_SHEET, &paper, files, &Printing { identity: &identity, date: printed_on })?)
}

fn in_words(line: &RoundLine, code: String) -> Printed<'_> {
    let place = [line.site_code.as_str(), line.place.as_str()];
    Printed {
        at: line.at,
        number: &line.number,
        what: capital(line.what.trim()),
        place: place.iter().filter(|words| !words.is_empty()).copied().collect::<Vec<_>>().join(", "),
        stands: capital(&line.stands),
        overdue: line.overdue,
        left_open: &line.left_open,
        code,
    }
}
