//! Everything a person has said of finds, to be taken away: for ever, whatever became of the assignment.
use super::opinion_view::{advice, authors, entered, kind_of, none_found, parallel, weight_of};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::finds::{download, harmless};
use axum::body::Body;
use rust_xlsxwriter::{Format, Workbook, XlsxError};
use store::review::content::DateLine;
use store::review::opinions::{self, Own};

/// The columns; years are astronomical, 0 being 1 BC.
const HEADER: [&str; 22] = [
    "Project",
    "Name of the project",
    "Find",
    "Version",
    "Submitted",
    "Superseded",
    "Preliminary or final",
    "Authors",
    "Identification",
    "How sure",
    "Dates as written",
    "From year",
    "To year",
    "Material",
    "Origin",
    "Rests on",
    "Seen",
    "Parallels",
    "Looked for and not found",
    "Significance",
    "Recommendations",
    "How it came",
];

pub(super) async fn csv(ctx: Ctx) -> Answer {
    let all = opinions::list_of_author(&mut ctx.read().await?, ctx.actor.person).await?;
    let bytes = written(&all).map_err(AppError::inside)?;
    Ok(download("my-opinions.csv", "text/csv; charset=utf-8", Body::from(bytes)))
}

pub(super) async fn xlsx(ctx: Ctx) -> Answer {
    let all = opinions::list_of_author(&mut ctx.read().await?, ctx.actor.person).await?;
    let bytes = ctx.app.press.print(move || workbook(&all)).await?;
    let kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
    Ok(download("my-opinions.xlsx", kind, Body::from(bytes)))
}

fn written(all: &[Own]) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(HEADER)?;
    for own in all {
        writer.write_record(cells(own).map(harmless))?;
    }
    writer.into_inner().map_err(|cause| csv::Error::from(cause.into_error()))
}

fn workbook(all: &[Own]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("My opinions")?;
    sheet.set_freeze_panes(1, 0)?;
    let bold = Format::new().set_bold();
    for (column, title) in (0u16..).zip(HEADER) {
        sheet.write_string_with_format(0, column, title, &bold)?;
    }
    for (row, own) in (1u32..).zip(all) {
        for (column, text) in (0u16..).zip(cells(own)) {
            match (column, text.parse::<f64>()) {
                (3 | 11 | 12, Ok(number)) => sheet.write_number(row, column, number)?,
                _ => sheet.write_string(row, column, text)?,
            };
        }
    }
    book.save_to_buffer()
}

fn cells(own: &Own) -> [String; 22] {
    let opinion = &own.opinion;
    let parts = &opinion.parts;
    let year = |year: Option<i64>| year.map(|year| year.to_string()).unwrap_or_default();
    let parallels: Vec<String> = parts.parallels.iter().map(parallel).collect();
    let parallels = if parallels.is_empty() { none_found(opinion) } else { parallels.join("\n") };
    let advised: Vec<String> = parts.recommendations.iter().map(advice).collect();
    [
        own.project_code.clone(),
        own.project_name.clone(),
        own.number.clone(),
        opinion.version.to_string(),
        opinion.submitted_at.date_naive().to_string(),
        opinion.superseded_at.map(|at| at.date_naive().to_string()).unwrap_or_default(),
        opinion.finality.label().into(),
        authors(opinion),
        opinion.identification.clone(),
        opinion.confidence().map(|one| one.label().to_owned()).unwrap_or_default(),
        dates(&parts.dates),
        year(opinion.date_lo),
        year(opinion.date_hi),
        opinion.material_words.clone(),
        opinion.origin.clone(),
        opinion.basis.clone(),
        opinion.seen_as.label(),
        parallels,
        opinion.negative_findings.clone(),
        opinion.significance.clone(),
        advised.join("\n"),
        entered(opinion)
            .unwrap_or_else(|| format!("submitted {}", show_day(opinion.submitted_at.date_naive()))),
    ]
}

/// “Made: late C14–mid C15; Deposited: by 1480, more likely”.
fn dates(lines: &[DateLine]) -> String {
    let words = |lines: &[DateLine]| {
        let first = lines.first()?;
        let weight = weight_of(first.weight);
        let weight = if weight.is_empty() { String::new() } else { format!(", {weight}") };
        Some(format!("{}: {}{weight}", kind_of(first.kind), first.words))
    };
    let statements = lines.chunk_by(|a, b| a.statement == b.statement);
    statements.filter_map(words).collect::<Vec<_>>().join("; ")
}
