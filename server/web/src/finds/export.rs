//! The list taken away as CSV or XLSX: the same filter, every page of it.
use super::filter_form::FilterForm;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Asked;
use crate::path::Path;
use axum::body::{Body, Bytes};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use futures_util::{StreamExt, stream};
use rust_xlsxwriter::{Format, Workbook, Worksheet, XlsxError};
use store::filter::{After, FindFilter, FindLine, Order};

/// Finds read at a time.
const PAGE: i64 = 1_000;
/// Rows of a spreadsheet; the format ends at 1 048 576.
const MOST_ROWS: usize = 200_000;
/// The columns, with their units.
const HEADER: [&str; 14] = [
    "Number",
    "Registered or bulk",
    "Object",
    "Description",
    "Material group",
    "Context",
    "Quantity",
    "Mass g",
    "Stage",
    "How far",
    "At stage since",
    "On hold",
    "Place",
    "Person",
];

/// The list as CSV in UTF-8, written page by page while it is read.
pub(super) async fn csv(ctx: Ctx, Path(code): Path<String>, Asked(form): Asked<FilterForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let filter = form.read(&ctx, &mut ctx.read().await?, project).await?;
    let state = Some((ctx, filter, form.order(), None));
    let pages = stream::unfold(state, move |state| async move {
        let (ctx, filter, order, after) = state?;
        let first = after.is_none();
        match page(&ctx, project, filter.as_ref(), order, after).await {
            Ok(lines) => {
                let last = lines.last().map(After::from).filter(|_| lines.len() == PAGE as usize);
                let next = last.map(|last| (ctx, filter, order, Some(last)));
                Some((csv_bytes(first, &lines).map_err(std::io::Error::other), next))
            }
            Err(cause) => Some((Err(std::io::Error::other(cause.to_string())), None)),
        }
    });
    // A stream that ended is asked once more by whoever compresses it.
    Ok(download(&format!("{code}-finds.csv"), "text/csv; charset=utf-8", Body::from_stream(pages.fuse())))
}

/// The list as a spreadsheet.
pub(super) async fn xlsx(ctx: Ctx, Path(code): Path<String>, Asked(form): Asked<FilterForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let filter = form.read(&ctx, &mut ctx.read().await?, project).await?;
    let mut lines: Vec<FindLine> = Vec::new();
    loop {
        let after = lines.last().map(After::from);
        let part = page(&ctx, project, filter.as_ref(), form.order(), after).await?;
        let whole = part.len() == PAGE as usize;
        lines.extend(part);
        if lines.len() > MOST_ROWS {
            let words = format!("The list has more than {MOST_ROWS} rows. Narrow it, or take it as CSV.");
            return Err(AppError::Unreadable(words));
        }
        if !whole {
            break;
        }
    }
    let bytes = ctx.app.press.print(move || workbook(&lines)).await?;
    let kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
    Ok(download(&format!("{code}-finds.xlsx"), kind, Body::from(bytes)))
}

async fn page(
    ctx: &Ctx,
    project: domain::ids::ProjectId,
    filter: Option<&FindFilter>,
    order: Order,
    after: Option<After>,
) -> Answer<Vec<FindLine>> {
    let Some(filter) = filter else { return Ok(Vec::new()) };
    let mut tx = ctx.read().await?;
    Ok(store::filter::list(&mut tx, project, filter, order, after, PAGE).await?)
}

pub(crate) fn download(name: &str, kind: &str, body: Body) -> Response {
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    (headers, body).into_response()
}

fn csv_bytes(first: bool, lines: &[FindLine]) -> Result<Bytes, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    if first {
        writer.write_record(HEADER)?;
    }
    for line in lines {
        writer.write_record(cells(line).map(harmless))?;
    }
    let bytes = writer.into_inner().map_err(|cause| csv::Error::from(cause.into_error()))?;
    Ok(Bytes::from(bytes))
}

/// A text that a spreadsheet program would take for a formula is kept a text by a leading apostrophe.
pub(crate) fn harmless(cell: String) -> String {
    let is_number = cell.parse::<f64>().is_ok();
    let formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']) && !is_number;
    if formula { format!("'{cell}") } else { cell }
}

fn cells(line: &FindLine) -> [String; 14] {
    [
        line.number.clone(),
        if line.bulk { "bulk".into() } else { "single".into() },
        line.object_type.clone(),
        line.description.clone(),
        line.material_name.clone(),
        line.context_number.clone().unwrap_or_default(),
        line.quantity.to_string(),
        line.weight_g.map(|g| g.to_string()).unwrap_or_default(),
        line.stage.label().into(),
        line.stage_state.label().into(),
        line.stage_since.date_naive().to_string(),
        if line.held { "yes".into() } else { String::new() },
        line.place_path.clone().unwrap_or_default(),
        line.assignee_name.clone().unwrap_or_default(),
    ]
}

fn workbook(lines: &[FindLine]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet_with_constant_memory()?.set_name("Finds")?;
    sheet.set_freeze_panes(1, 0)?;
    let bold = Format::new().set_bold();
    for (column, title) in HEADER.iter().enumerate() {
        sheet.write_string_with_format(0, column as u16, *title, &bold)?;
    }
    let day = Format::new().set_num_format("d mmm yyyy");
    for (row, line) in lines.iter().enumerate() {
        write_row(sheet, row as u32 + 1, line, &day)?;
    }
    book.save_to_buffer()
}

fn write_row(sheet: &mut Worksheet, row: u32, line: &FindLine, day: &Format) -> Result<(), XlsxError> {
    for (column, text) in cells(line).into_iter().enumerate() {
        let column = column as u16;
        match column {
            6 => sheet.write_number(row, column, line.quantity as f64)?,
            7 => match line.weight_g {
                Some(g) => sheet.write_number(row, column, g)?,
                None => sheet,
            },
            10 => sheet.write_date_with_format(row, column, line.stage_since.date_naive(), day)?,
            _ => sheet.write_string(row, column, text)?,
        };
    }
    Ok(())
}
