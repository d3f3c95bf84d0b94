//! Rows as submitted: together, against the register, by what they say; taken away as a file.
use super::spreadsheet::{self, Taken, XLSX, taken};
use super::sums::{By, by_words, sum_words};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::{self, show_day};
use crate::finds::{download, harmless};
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::body::Body;
use axum::response::IntoResponse;
use domain::ids::RowListId;
use domain::permission::Action;
use domain::rows::{Column, Row, differences, sum};
use store::Tx;
use store::rows::lists::{self, Line, RowList};

/// Rows that the page shows; the file holds all of them.
const MOST_SHOWN: usize = 400;

#[derive(Template)]
#[template(path = "rows/show.html")]
struct ListPage {
    chrome: Chrome,
    list: RowList,
    heads: Vec<(String, bool)>,
    lines: Vec<LineView>,
    /// Rows of restricted finds that this person may not see.
    hidden: usize,
    /// Rows that only the file holds.
    beyond: usize,
    together: String,
    differences: Vec<String>,
    /// Why rows and register differ, in the author’s words.
    note: String,
    by: Vec<By>,
    versions: Vec<(String, String, bool)>,
    /// Where its author goes on.
    revise: Option<String>,
    back: (String, &'static str),
}

struct LineView {
    find: String,
    href: String,
    sub_number: String,
    /// With whether it is a number.
    cells: Vec<(String, bool)>,
}

/// A list with the rows this person may see.
struct Known {
    list: RowList,
    columns: Vec<Column>,
    lines: Vec<Line>,
    mine: bool,
}

impl Known {
    /// Gates 2 and 1: the author sees the own rows for ever, the project's people all but those of restricted finds without
    /// the clearance.
    async fn load(ctx: &Ctx, tx: &mut Tx, id: RowListId) -> Answer<Self> {
        let list = lists::find(tx, id).await?.ok_or(AppError::NotFound)?;
        ctx.allow(list.project_id)?;
        let mine = list.author_id == ctx.actor.person;
        if !mine && !ctx.actor.may(Action::ViewOpinions, list.project_id) {
            return Err(AppError::NotFound);
        }
        let restricted = mine || ctx.actor.sees_restricted(list.project_id);
        let lines = lists::list_lines(tx, id, restricted).await?;
        Ok(Self { columns: list.columns()?, list, lines, mine })
    }

    fn rows(&self) -> Vec<Row> {
        self.lines.iter().map(|line| line.row.clone()).collect()
    }

    fn taken(&self) -> Taken {
        let row = |line: &Line| {
            let before = [line.number.clone(), line.row.sub_number.clone()];
            before.into_iter().chain(line.row.cells.iter().cloned()).collect()
        };
        Taken {
            name: format!("{}-{}-v{}", self.list.project_code, self.list.discipline, self.list.version),
            columns: self.columns.clone(),
            rows: self.lines.iter().map(row).collect(),
        }
    }
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<RowListId>) -> Answer {
    let mut tx = ctx.read().await?;
    let known = Known::load(&ctx, &mut tx, id).await?;
    let rows = known.rows();
    let finds = lists::list_finds(&mut tx, id).await?;
    let all = lists::list_of_assignment(&mut tx, known.list.assignment_id).await?;
    let version = |list: &RowList| {
        let day = show_day(list.submitted_at.date_naive());
        (links::row_list(list.id), format!("version {}, {day}", list.version), list.id == id)
    };
    let hidden = known.list.rows().saturating_sub(rows.len());
    let own = all.iter().filter(|list| list.discipline == known.list.discipline);
    let differ = differences(&known.columns, &rows, &finds).into_iter();
    let page = ListPage {
        chrome: ctx.chrome_in(known.list.project_id),
        heads: known.columns.iter().map(|column| (column.title(), column.is_number())).collect(),
        lines: known.lines.iter().take(MOST_SHOWN).map(|line| line_view(&known.columns, line)).collect(),
        hidden,
        beyond: rows.len().saturating_sub(MOST_SHOWN),
        together: sum_words(sum(&known.columns, &rows)),
        differences: differ.map(|one| format!("{}: {}", one.number, one.sentence)).collect(),
        by: by_words(&known.columns, &rows),
        versions: own.map(version).collect(),
        revise: known.mine.then(|| links::rows_of(known.list.assignment_id, &known.list.discipline)),
        back: match known.mine {
            true => (links::rows(known.list.assignment_id), "Rows"),
            false => (links::specialists(&known.list.project_code), "Specialists"),
        },
        // what is written about restricted finds is read by whoever may see these
        note: if hidden == 0 { known.list.note.clone() } else { String::new() },
        list: known.list,
    };
    Ok(ok(page).into_response())
}

fn line_view(columns: &[Column], line: &Line) -> LineView {
    let cell = |(column, cell): (&Column, &String)| (cell.clone(), column.is_number());
    LineView {
        find: line.number.clone(),
        href: links::find(line.row.find),
        sub_number: line.row.sub_number.clone(),
        cells: columns.iter().zip(&line.row.cells).map(cell).collect(),
    }
}

pub(super) async fn xlsx(ctx: Ctx, Path(id): Path<RowListId>) -> Answer {
    let list = Known::load(&ctx, &mut ctx.read().await?, id).await?.taken();
    let name = format!("{}.xlsx", list.name);
    let bytes = ctx.app.press.print(move || taken(&list)).await?;
    Ok(download(&name, XLSX, Body::from(bytes)))
}

pub(super) async fn csv(ctx: Ctx, Path(id): Path<RowListId>) -> Answer {
    let list = Known::load(&ctx, &mut ctx.read().await?, id).await?.taken();
    let bytes = written(&list).map_err(AppError::inside)?;
    Ok(download(&format!("{}.csv", list.name), "text/csv; charset=utf-8", Body::from(bytes)))
}

fn written(list: &Taken) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(spreadsheet::titles(&list.columns))?;
    for row in &list.rows {
        writer.write_record(row.iter().cloned().map(harmless))?;
    }
    writer.into_inner().map_err(|cause| csv::Error::from(cause.into_error()))
}
