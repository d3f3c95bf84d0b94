//! Office Open XML spreadsheets, read as a stream.
use super::cell::{self, Fault};
use super::rows::Rows;
use super::unpack::Parts;
use super::{Cell, FileKind, Limits, Reading, Sheet, Table, Unreadable};
use calamine::{
    CellErrorType, DataRef, ExcelDateTime, Reader, SheetType, SheetVisible, Style, Xlsx, XlsxError,
};
use std::io::Cursor;

type Book<'a> = Xlsx<Cursor<&'a [u8]>>;

impl From<XlsxError> for Unreadable {
    fn from(error: XlsxError) -> Self {
        match error {
            XlsxError::Password => Unreadable::Protected,
            _ => Unreadable::Damaged,
        }
    }
}

/// Reads one sheet of a workbook.
pub(super) fn read(
    bytes: &[u8],
    parts: &Parts,
    reading: &Reading,
    limits: &Limits,
) -> Result<Table, Unreadable> {
    let mut book = Book::new(Cursor::new(bytes))?;
    let sheets: Vec<Sheet> = book
        .sheets_metadata()
        .iter()
        .filter(|sheet| sheet.typ == SheetType::WorkSheet)
        .map(|sheet| Sheet { name: sheet.name.clone(), hidden: sheet.visible != SheetVisible::Visible })
        .collect();
    let wanted: Vec<usize> = match &reading.sheet {
        Some(name) => {
            let at = sheets.iter().position(|sheet| sheet.name == *name);
            vec![at.ok_or_else(|| Unreadable::NoSuchSheet { name: name.clone() })?]
        }
        None => (0..sheets.len()).filter(|&at| !sheets[at].hidden).collect(),
    };
    for at in wanted {
        let mut rows = Rows::new(limits);
        read_sheet(&mut book, &sheets[at].name, parts, &mut rows)?;
        if rows.is_empty() {
            continue;
        }
        let (rows, merged) = rows.finish();
        let kind = FileKind::Xlsx;
        let notes = Vec::new();
        return Ok(Table {
            kind,
            sheets,
            sheet: Some(at),
            rows,
            merged,
            encoding: None,
            separator: None,
            notes,
        });
    }
    Err(Unreadable::NothingInIt)
}

fn read_sheet(book: &mut Book<'_>, name: &str, parts: &Parts, rows: &mut Rows<'_>) -> Result<(), Unreadable> {
    let mut cells = match book.worksheet_cells_reader(name) {
        Err(XlsxError::NotAWorksheet(_)) => return Ok(()),
        other => other?,
    };
    let displays: Vec<Display> = cells.styles().iter().map(Display::of).collect();
    while let Some((found, style)) = cells.next_cell_with_style_id()? {
        let (row, column) = (found.get_position().0 as usize, found.get_position().1 as usize);
        let value = match found.get_value() {
            DataRef::Empty => continue,
            DataRef::SharedString(text) => rows.text(row, column, text, false)?,
            DataRef::String(text) => rows.text(row, column, text, false)?,
            DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => match day(text) {
                Some(date) => Cell::Date(date),
                None => rows.text(row, column, text, false)?,
            },
            DataRef::DateTime(at) => match moment(at) {
                Ok(date) => Cell::Date(date),
                Err(text) => rows.text(row, column, &text, false)?,
            },
            DataRef::Int(value) => displays.get(style).unwrap_or(&Display::Plain).cell(*value as f64),
            DataRef::Float(value) => displays.get(style).unwrap_or(&Display::Plain).cell(*value),
            DataRef::Bool(value) => Cell::Truth(*value),
            DataRef::Error(error) => Cell::Fault(Fault::Error(error_word(error))),
        };
        rows.put(row, column, value)?;
    }
    drop(cells);
    if parts.formulas {
        note_formulas(book, name, rows)?;
    }
    if parts.merged {
        for joined in book.merge_cells_by_sheet_name(name)? {
            let place = |(row, column): (u32, u32)| (row as usize, column as usize);
            rows.merge(place(joined.start), place(joined.end));
        }
    }
    Ok(())
}

/// Marks formulas whose result was not saved with the file: some programs write formulas without calculating.
fn note_formulas(book: &mut Book<'_>, name: &str, rows: &mut Rows<'_>) -> Result<(), Unreadable> {
    let mut cells = book.worksheet_cells_reader(name)?;
    while let Some(found) = cells.next_cell_with_formula_metadata()? {
        let (row, column) = (found.pos.0 as usize, found.pos.1 as usize);
        if found.formula.is_some() && found.value == DataRef::Empty && !rows.holds(row, column) {
            rows.put(row, column, Cell::Fault(Fault::NotCalculated))?;
        }
    }
    Ok(())
}

/// The day of an ISO date with or without a time.
pub(super) fn day(iso: &str) -> Option<chrono::NaiveDate> {
    iso.get(..10).and_then(|day| day.parse().ok())
}

/// The day of a date cell; the time of day as text when the cell holds only that.
fn moment(at: &ExcelDateTime) -> Result<chrono::NaiveDate, String> {
    let value = at.as_f64();
    let text = || {
        let minutes = (value * 24.0 * 60.0).round() as i64;
        format!("{:02}:{:02}", minutes / 60, minutes % 60)
    };
    match at.as_datetime() {
        Some(moment) if at.is_datetime() && value >= 1.0 => Ok(moment.date()),
        _ if value.is_finite() && value.abs() < 1e9 => Err(text()),
        _ => Err(cell::plain(value)),
    }
}

fn error_word(error: &CellErrorType) -> &'static str {
    match error {
        CellErrorType::Div0 => "#DIV/0!",
        CellErrorType::NA => "#N/A",
        CellErrorType::Name => "#NAME?",
        CellErrorType::Null => "#NULL!",
        CellErrorType::Num => "#NUM!",
        CellErrorType::Ref => "#REF!",
        _ => "#VALUE!",
    }
}

/// How a number format shows a number, as far as that says more than the value.
enum Display {
    Plain,
    /// So many digits at least, after words: `SF0042`.
    Padded {
        before: String,
        digits: usize,
    },
    Percent,
}

impl Display {
    /// Reads the first section of a format code (ECMA-376 part 1, §18.8.31).
    fn of(style: &Style) -> Display {
        let Some(format) = &style.number_format else { return Display::Plain };
        let code = format.format_code.split(';').next().unwrap_or_default();
        if code.contains('%') {
            return Display::Percent;
        }
        let digits = code.bytes().rev().take_while(|byte| *byte == b'0').count();
        let before = code[..code.len() - digits].replace(['"', '\\'], "");
        let words = before.chars().all(|c| c.is_alphabetic() || c == ' ' || c == '-');
        let quoted = before.is_empty() || code.starts_with(['"', '\\']);
        if digits > 0 && words && quoted && (digits > 1 || !before.is_empty()) {
            Display::Padded { before, digits }
        } else {
            Display::Plain
        }
    }

    fn cell(&self, value: f64) -> Cell {
        if !value.is_finite() {
            return Cell::Fault(Fault::Error("#NUM!"));
        }
        match self {
            Display::Padded { before, digits } if value >= 0.0 && value.fract() == 0.0 && value < 1e15 => {
                cell::number(value, Some(&format!("{before}{value:0digits$.0}")))
            }
            Display::Percent => cell::number(value, Some(&format!("{}%", cell::plain(value * 100.0)))),
            _ => Cell::Number(value),
        }
    }
}
