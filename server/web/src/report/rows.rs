//! Rows of specialists, for the report.
use crate::error::Answer;
use crate::rows::sums::{by_words, sum_words};
use domain::ids::{FindId, ProjectId};
use domain::rows::{Row, differences, sum};
use report::interim::{Author, PartLine, RowsLine, WordSums};
use std::collections::HashMap;
use store::Tx;
use store::rows::lists::{self, Line, RowList};

/// The lists of a project as they stand, each with its rows of finds that are printed; a list of none is left out.
pub(super) async fn lines(
    tx: &mut Tx,
    project: ProjectId,
    printed: &HashMap<FindId, String>,
) -> Answer<Vec<RowsLine>> {
    let mut all = Vec::new();
    for list in lists::list_of_project(tx, project).await? {
        let mut lines = lists::list_lines(tx, list.id, false).await?;
        lines.retain(|line| printed.contains_key(&line.row.find));
        if !lines.is_empty() {
            all.push(line(tx, list, lines).await?);
        }
    }
    Ok(all)
}

async fn line(tx: &mut Tx, list: RowList, lines: Vec<Line>) -> Answer<RowsLine> {
    let columns = list.columns()?;
    let rows: Vec<Row> = lines.iter().map(|line| line.row.clone()).collect();
    let mut finds = lists::list_finds(tx, list.id).await?;
    finds.retain(|find| rows.iter().any(|row| row.find == find.id));
    let differ = differences(&columns, &rows, &finds).into_iter();
    let part = |line: Line| PartLine { find: line.number, part: line.row.sub_number, cells: line.row.cells };
    let by = by_words(&columns, &rows).into_iter();
    Ok(RowsLine {
        together: sum_words(sum(&columns, &rows)),
        heads: columns.iter().map(|column| (column.title(), column.is_number())).collect(),
        by: by.map(|by| WordSums { column: by.title, lines: by.lines }).collect(),
        differences: differ.map(|one| format!("{}: {}", one.number, one.sentence)).collect(),
        // what is written about restricted finds among them is not printed
        note: if lines.len() == list.rows() { list.note.clone() } else { String::new() },
        rows: lines.into_iter().map(part).collect(),
        author: Author { name: list.author, qualification: list.qualification },
        discipline: list.discipline_name,
        version: u32::try_from(list.version).unwrap_or(1),
        submitted_on: list.submitted_at.date_naive(),
    })
}
