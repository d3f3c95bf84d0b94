//! Spreadsheets: the template of a discipline, to be filled in without a line, and rows as submitted.
use super::About;
use crate::context::Ctx;
use crate::error::Answer;
use crate::finds::download;
use crate::path::Path;
use axum::body::Body;
use domain::ids::AssignmentId;
use domain::rows::{Column, ColumnKind, TypedRow};
use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, Format, Formula, Workbook, Worksheet, XlsxError,
};

pub(super) const XLSX: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
/// What stands before the columns of the discipline. `Object` is there to be read; what comes back in it is left out.
pub(super) const BEFORE: [&str; 3] = ["Find", "Sub-number", "Object"];
/// Rows for which a vocabulary is offered beyond those filled in.
const ROOM: u32 = 1_000;

/// What a template is made of.
#[derive(Debug, Clone)]
pub(super) struct Filling {
    pub discipline: String,
    pub columns: Vec<Column>,
    pub rows: Vec<TypedRow>,
    /// Number and name of each find.
    pub finds: Vec<(String, String)>,
}

impl Filling {
    /// The draft as it stands, so that what was begun on the page goes on in the spreadsheet.
    pub fn of(about: &About, rows: Vec<TypedRow>) -> Self {
        let numbers = about.finds.iter().map(|find| find.number.clone());
        Self {
            discipline: about.discipline.name.clone(),
            columns: about.discipline.columns.clone(),
            rows,
            finds: numbers.zip(about.names.iter().cloned()).collect(),
        }
    }

    /// “VSQ31-pottery.xlsx”.
    pub fn name(about: &About) -> String {
        format!("{}-{}.xlsx", about.assignment.project_code, about.discipline.code)
    }
}

pub(super) async fn template(ctx: Ctx, Path((id, code)): Path<(AssignmentId, String)>) -> Answer {
    let mut tx = ctx.read().await?;
    let about = About::load(&ctx, &mut tx, id, &code).await?;
    let rows = about.draft(&mut tx).await?.typed.in_columns(&about.discipline.columns);
    drop(tx);
    let filling = Filling::of(&about, rows);
    let bytes = ctx.app.press.print(move || workbook(&filling)).await?;
    Ok(download(&Filling::name(&about), XLSX, Body::from(bytes)))
}

/// The template: a sheet to fill in, one that explains its columns, one with the vocabularies.
pub(super) fn workbook(filling: &Filling) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let mut rows = Worksheet::new();
    rows.set_name("Rows")?.set_freeze_panes(1, 1)?;
    let bold = Format::new().set_bold();
    let text = Format::new().set_num_format("@");
    // a number like 1/2 or 3-4 stays what it is
    for column in 0..2 {
        rows.set_column_format(column, &text)?;
    }
    let titles = BEFORE.iter().map(|title| (*title).to_owned());
    let titles = titles.chain(filling.columns.iter().map(Column::title));
    for (at, title) in (0u16..).zip(titles) {
        rows.write_string_with_format(0, at, &title, &bold)?;
        rows.set_column_width(at, title.chars().count().max(12) as f64)?;
    }
    for (at, row) in (1u32..).zip(&filling.rows) {
        write(&mut rows, at, (filling, row))?;
    }
    let last = filling.rows.len() as u32 + ROOM;
    let lists = vocabularies(&mut rows, &filling.columns, last)?;
    book.push_worksheet(rows);
    book.push_worksheet(explained(filling)?);
    book.push_worksheet(lists);
    book.save_to_buffer()
}

fn write(sheet: &mut Worksheet, at: u32, (filling, row): (&Filling, &TypedRow)) -> Result<(), XlsxError> {
    sheet.write_string(at, 0, &row.find)?;
    sheet.write_string(at, 1, &row.sub_number)?;
    let name = filling.finds.iter().find(|(number, _)| *number == row.find).map(|(_, name)| name.as_str());
    sheet.write_string(at, 2, name.unwrap_or_default())?;
    for ((place, column), cell) in (3u16..).zip(&filling.columns).zip(&row.cells) {
        write_cell(sheet, (at, place), (column, cell))?;
    }
    Ok(())
}

fn write_cell(
    sheet: &mut Worksheet,
    (row, place): (u32, u16),
    (column, cell): (&Column, &str),
) -> Result<(), XlsxError> {
    match cell.parse::<f64>() {
        Ok(number) if column.is_number() => sheet.write_number(row, place, number)?,
        _ if cell.is_empty() => sheet,
        _ => sheet.write_string(row, place, cell)?,
    };
    Ok(())
}

/// The sheet of vocabularies, and the lists that spring from it.
fn vocabularies(rows: &mut Worksheet, columns: &[Column], last: u32) -> Result<Worksheet, XlsxError> {
    let mut lists = Worksheet::new();
    lists.set_name("Vocabularies")?;
    let chosen = (3u16..).zip(columns).filter(|(_, column)| column.kind == ColumnKind::Choice);
    for (at, (place, column)) in (0u16..).zip(chosen) {
        lists.write_string(0, at, column.title())?;
        for (row, word) in (1u32..).zip(&column.vocabulary) {
            lists.write_string(row, at, word)?;
        }
        let letter = register::table::letter(usize::from(at));
        let words = format!("=Vocabularies!${letter}$2:${letter}${}", column.vocabulary.len() + 1);
        let rule = DataValidation::new()
            .allow_list_formula(Formula::new(words))
            .set_error_style(DataValidationErrorStyle::Stop)
            .set_error_title("Not in the vocabulary")?
            .set_error_message("Choose one of the list.")?;
        rows.add_data_validation(1, place, last, place, &rule)?;
    }
    Ok(lists)
}

/// The sheet that says what each column takes in.
fn explained(filling: &Filling) -> Result<Worksheet, XlsxError> {
    let mut sheet = Worksheet::new();
    sheet.set_name("Columns")?.set_column_width(0, 24.0)?.set_column_width(1, 90.0)?;
    let bold = Format::new().set_bold();
    sheet.write_string_with_format(0, 0, &filling.discipline, &bold)?;
    let before = [
        ("Find", "Number of the find. A find may have several rows.".to_owned()),
        ("Sub-number", "Which part of the find, where it has several rows; free.".into()),
        ("Object", "To be read only; what stands there is left out when the file comes back.".into()),
    ];
    let columns = filling.columns.iter().map(|column| (column.title(), in_words(column)));
    let lines = before.into_iter().map(|(title, words)| (title.to_owned(), words)).chain(columns);
    for (row, (title, words)) in (2u32..).zip(lines) {
        sheet.write_string(row, 0, title)?;
        sheet.write_string(row, 1, words)?;
    }
    Ok(sheet)
}

/// “must be filled in; whole number, at most 100”.
fn in_words(column: &Column) -> String {
    let kind = match column.kind {
        ColumnKind::Choice => format!("one of: {}", column.vocabulary.join(", ")),
        kind => kind.label().to_owned(),
    };
    let most = column.most.map(|most| format!(", at most {most}")).unwrap_or_default();
    let required = if column.required { "must be filled in; " } else { "" };
    format!("{required}{kind}{most}")
}

/// Rows as submitted, for a file.
#[derive(Debug, Clone)]
pub(super) struct Taken {
    pub name: String,
    pub columns: Vec<Column>,
    /// Number of the find, sub-number, cells.
    pub rows: Vec<Vec<String>>,
}

/// The same as a spreadsheet, numbers as numbers.
pub(super) fn taken(list: &Taken) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("Rows")?;
    sheet.set_freeze_panes(1, 1)?;
    let bold = Format::new().set_bold();
    for (at, title) in (0u16..).zip(titles(&list.columns)) {
        sheet.write_string_with_format(0, at, title, &bold)?;
    }
    for (at, row) in (1u32..).zip(&list.rows) {
        for (place, cell) in (0u16..).zip(row) {
            match usize::from(place).checked_sub(2).and_then(|column| list.columns.get(column)) {
                Some(column) => write_cell(sheet, (at, place), (column, cell))?,
                None => {
                    sheet.write_string(at, place, cell)?;
                }
            }
        }
    }
    book.save_to_buffer()
}

/// The headings of a list.
pub(super) fn titles(columns: &[Column]) -> Vec<String> {
    let before = BEFORE[..2].iter().map(|title| (*title).to_owned());
    before.chain(columns.iter().map(Column::title)).collect()
}
