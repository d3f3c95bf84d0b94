//! OpenDocument spreadsheets, read as a stream (OASIS OpenDocument 1.3 part 3, §9 tables, §19.385 cell values).
//!
//! Read here and not by the library for workbooks: that one holds every sheet with every repeated row in memory, so a
//! file of a few hundred bytes can ask for gigabytes.
use super::cell::{self, Fault};
use super::rows::Rows;
use super::xlsx::day;
use super::{Cell, FileKind, Limits, Reading, Sheet, Table, Unreadable};
use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::{Reader, XmlVersion};
use std::collections::HashSet;
use std::io::{BufReader, Cursor, Read};
use zip::ZipArchive;

impl From<quick_xml::Error> for Unreadable {
    fn from(_: quick_xml::Error) -> Self {
        Unreadable::Damaged
    }
}

/// Reads one sheet of a spreadsheet.
pub(super) fn read(bytes: &[u8], reading: &Reading, limits: &Limits) -> Result<Table, Unreadable> {
    let mut archive = ZipArchive::new(Cursor::new(bytes))?;
    let mut content = Content::new(archive.by_name("content.xml")?);
    let mut sheets: Vec<Sheet> = Vec::new();
    let mut rows = Rows::new(limits);
    let mut read = None;
    while let Some((name, hidden)) = content.next_sheet()? {
        let wanted = match &reading.sheet {
            Some(wanted) => *wanted == name && read.is_none(),
            None => !hidden && rows.is_empty(),
        };
        if wanted {
            content.rows(&mut rows)?;
            read = Some(sheets.len());
        } else {
            content.skip("table:table")?;
        }
        sheets.push(Sheet { name, hidden });
    }
    match (&reading.sheet, read) {
        (Some(name), None) => return Err(Unreadable::NoSuchSheet { name: name.clone() }),
        _ if rows.is_empty() => return Err(Unreadable::NothingInIt),
        _ => {}
    }
    let (rows, merged) = rows.finish();
    let notes = Vec::new();
    Ok(Table {
        kind: FileKind::Ods,
        sheets,
        sheet: read,
        rows,
        merged,
        encoding: None,
        separator: None,
        notes,
    })
}

/// The part that holds the sheets.
struct Content<R: Read> {
    xml: Reader<BufReader<R>>,
    buffer: Vec<u8>,
    /// Styles that hide a sheet.
    hiding: HashSet<String>,
}

/// A cell and how often it stands side by side.
struct Run {
    column: usize,
    repeated: usize,
    cell: Cell,
}

impl<R: Read> Content<R> {
    fn new(part: R) -> Self {
        let mut xml = Reader::from_reader(BufReader::with_capacity(64 * 1024, part));
        xml.config_mut().expand_empty_elements = true;
        xml.config_mut().check_end_names = false;
        Self { xml, buffer: Vec::new(), hiding: HashSet::new() }
    }

    /// Name of the next sheet and whether it is hidden.
    fn next_sheet(&mut self) -> Result<Option<(String, bool)>, Unreadable> {
        let mut style = None;
        loop {
            self.buffer.clear();
            match self.xml.read_event_into(&mut self.buffer)? {
                Event::Start(tag) => match tag.name().0 {
                    "style:style" => style = attribute(&tag, "style:name")?,
                    "style:table-properties"
                        if attribute(&tag, "table:display")?.as_deref() == Some("false") =>
                    {
                        self.hiding.extend(style.take());
                    }
                    "table:table" => {
                        let style = attribute(&tag, "table:style-name")?;
                        let hidden = style.is_some_and(|style| self.hiding.contains(&style));
                        return Ok(Some((attribute(&tag, "table:name")?.unwrap_or_default(), hidden)));
                    }
                    _ => {}
                },
                Event::Eof => return Ok(None),
                _ => {}
            }
        }
    }

    /// Reads on to the end of an element that was just opened.
    fn skip(&mut self, name: &str) -> Result<(), Unreadable> {
        self.buffer.clear();
        self.xml.read_to_end_into(quick_xml::name::QName(name), &mut self.buffer)?;
        Ok(())
    }

    /// The rows of the sheet that was just opened.
    fn rows(&mut self, rows: &mut Rows<'_>) -> Result<(), Unreadable> {
        let mut row = 0usize;
        loop {
            self.buffer.clear();
            match self.xml.read_event_into(&mut self.buffer)? {
                Event::Start(tag) if tag.name().0 == "table:table-row" => {
                    let repeated = count(&tag, "table:number-rows-repeated")?;
                    let runs = self.row(row, rows)?;
                    for at in row..row.saturating_add(if runs.is_empty() { 0 } else { repeated }) {
                        for run in &runs {
                            for column in run.column..run.column.saturating_add(run.repeated) {
                                rows.put(at, column, run.cell.clone())?;
                            }
                        }
                    }
                    row = row.saturating_add(repeated);
                }
                // a drawing or a cached table on the sheet
                Event::Start(tag) if matches!(tag.name().0, "table:shapes" | "office:forms") => {
                    let name = tag.name().0.to_owned();
                    self.skip(&name)?;
                }
                Event::End(tag) if tag.name().0 == "table:table" => return Ok(()),
                Event::Eof => return Err(Unreadable::Damaged),
                _ => {}
            }
        }
    }

    /// The filled cells of the row that was just opened.
    fn row(&mut self, row: usize, rows: &mut Rows<'_>) -> Result<Vec<Run>, Unreadable> {
        let mut runs = Vec::new();
        let mut column = 0usize;
        loop {
            self.buffer.clear();
            match self.xml.read_event_into(&mut self.buffer)? {
                Event::Start(tag) => {
                    let repeated = count(&tag, "table:number-columns-repeated")?;
                    if tag.name().0 == "table:table-cell" {
                        let told = Told::by(&tag)?;
                        if told.spans != (1, 1) {
                            rows.merge((row, column), (row + told.spans.0 - 1, column + told.spans.1 - 1));
                        }
                        let text = self.words()?;
                        let cell = told.cell(&text, |text| rows.text(row, column, text, false))?;
                        if !cell.is_blank() {
                            runs.push(Run { column, repeated, cell });
                        }
                    } else {
                        // covered by the cell it is joined with
                        let name = tag.name().0.to_owned();
                        self.skip(&name)?;
                    }
                    column = column.saturating_add(repeated);
                }
                Event::End(_) => return Ok(runs),
                Event::Eof => return Err(Unreadable::Damaged),
                _ => {}
            }
        }
    }

    /// The words of the cell that was just opened, without its comment and drawings.
    fn words(&mut self) -> Result<String, Unreadable> {
        let mut text = String::new();
        let mut paragraphs = 0;
        loop {
            self.buffer.clear();
            match self.xml.read_event_into(&mut self.buffer)? {
                Event::Text(piece) if paragraphs > 0 => {
                    text.push_str(&piece.xml10_content().replace(['\n', '\t'], " "))
                }
                Event::CData(piece) if paragraphs > 0 => text.push_str(&piece.xml10_content()),
                Event::GeneralRef(reference) => text.push(letter(&reference)?),
                Event::Start(tag) => match tag.name().0 {
                    "text:p" => {
                        if paragraphs > 0 {
                            text.push('\n');
                        }
                        paragraphs += 1;
                    }
                    "text:s" => text.extend(std::iter::repeat_n(' ', count(&tag, "text:c")?.min(1_000))),
                    "text:tab" => text.push('\t'),
                    "text:line-break" => text.push('\n'),
                    "text:span" | "text:a" => {}
                    other => {
                        let name = other.to_owned();
                        self.skip(&name)?;
                    }
                },
                Event::End(tag) if tag.name().0 == "table:table-cell" => return Ok(text),
                Event::Eof => return Err(Unreadable::Damaged),
                _ => {}
            }
        }
    }
}

/// What a cell's attributes tell of its value.
#[derive(Default)]
struct Told {
    kind: Option<String>,
    value: Option<String>,
    formula: bool,
    error: bool,
    spans: (usize, usize),
}

impl Told {
    fn by(tag: &BytesStart<'_>) -> Result<Told, Unreadable> {
        let mut told = Told { spans: (1, 1), ..Told::default() };
        for attribute in tag.attributes() {
            let attribute = attribute.map_err(|_| Unreadable::Damaged)?;
            let value = || {
                attribute
                    .normalized_value(XmlVersion::Implicit1_0)
                    .map(|value| value.into_owned())
                    .map_err(|_| Unreadable::Damaged)
            };
            match attribute.key.0 {
                "office:value-type" => told.kind = Some(value()?),
                "office:value"
                | "office:date-value"
                | "office:time-value"
                | "office:boolean-value"
                | "office:string-value" => told.value = Some(value()?),
                "table:formula" => told.formula = true,
                "calcext:value-type" => told.error = value()? == "error",
                "table:number-rows-spanned" => told.spans.0 = value()?.parse().unwrap_or(1).clamp(1, 1_000),
                "table:number-columns-spanned" => {
                    told.spans.1 = value()?.parse().unwrap_or(1).clamp(1, 1_000)
                }
                _ => {}
            }
        }
        Ok(told)
    }

    fn cell(
        self,
        shown: &str,
        text: impl FnOnce(&str) -> Result<Cell, Unreadable>,
    ) -> Result<Cell, Unreadable> {
        if self.error || (self.formula && Fault::shown(shown).is_some()) {
            return Ok(Cell::Fault(Fault::shown(shown).unwrap_or(Fault::Error("#VALUE!"))));
        }
        let value = self.value.as_deref();
        match (self.kind.as_deref(), value) {
            (Some("float" | "percentage" | "currency"), Some(value)) => {
                let value: f64 = value.parse().map_err(|_| Unreadable::Damaged)?;
                // LibreOffice keeps yes and no as the formulas TRUE() and FALSE() with a number
                match (value, shown.trim()) {
                    (1.0, "TRUE") => return Ok(Cell::Truth(true)),
                    (0.0, "FALSE") => return Ok(Cell::Truth(false)),
                    _ => {}
                }
                Ok(if value.is_finite() {
                    cell::number(value, Some(shown))
                } else {
                    Cell::Fault(Fault::Error("#NUM!"))
                })
            }
            (Some("date"), Some(value)) => day(value).map_or_else(|| text(shown), |day| Ok(Cell::Date(day))),
            (Some("boolean"), Some(value)) => Ok(Cell::Truth(value == "true")),
            (Some("string"), Some(value)) => text(value),
            (None, _) if self.formula => Ok(Cell::Fault(Fault::NotCalculated)),
            _ => text(shown),
        }
    }
}

/// An attribute's value.
fn attribute(tag: &BytesStart<'_>, name: &str) -> Result<Option<String>, Unreadable> {
    let found = tag.try_get_attribute(name).map_err(|_| Unreadable::Damaged)?;
    found
        .map(|found| {
            found
                .normalized_value(XmlVersion::Implicit1_0)
                .map(|value| value.into_owned())
                .map_err(|_| Unreadable::Damaged)
        })
        .transpose()
}

/// How often something is repeated; once when it is not said.
fn count(tag: &BytesStart<'_>, name: &str) -> Result<usize, Unreadable> {
    attribute(tag, name)?.map_or(Ok(1), |count| count.parse().map_err(|_| Unreadable::Damaged))
}

/// The letter that a reference such as `&amp;` or `&#233;` stands for.
fn letter(reference: &BytesRef<'_>) -> Result<char, Unreadable> {
    if let Some(letter) = reference.resolve_char_ref()? {
        return Ok(letter);
    }
    match reference.xml10_content().as_ref() {
        "amp" => Ok('&'),
        "lt" => Ok('<'),
        "gt" => Ok('>'),
        "quot" => Ok('"'),
        "apos" => Ok('\''),
        _ => Err(Unreadable::Damaged),
    }
}
