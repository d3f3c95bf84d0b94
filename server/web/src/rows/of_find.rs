//! The rows of one find, on its page.
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use domain::rows::Column;
use store::Tx;
use store::finds::Find;
use store::rows::lists::{self, Line};

/// Rows of one list told on the page of a find.
const MOST: i64 = 20;

/// What one list says of the find.
pub(crate) struct RowsOfFind {
    /// “Pottery, Dr Joss Penhallick”.
    pub title: String,
    pub href: String,
    /// A sentence for each row.
    pub lines: Vec<String>,
}

/// The rows of a find: all for whoever reads opinions, the own ones for a specialist.
pub(crate) async fn all(ctx: &Ctx, tx: &mut Tx, (find, reads): (&Find, bool)) -> Answer<Vec<RowsOfFind>> {
    let mut all = Vec::new();
    for list in lists::list_of_find(tx, find.id).await? {
        if !reads && list.author_id != ctx.actor.person {
            continue;
        }
        let columns = list.columns()?;
        let lines = lists::list_lines_of_find(tx, list.id, find.id, MOST + 1).await?;
        let shown = lines.iter().take(MOST as usize);
        let mut words: Vec<String> = shown.map(|line| sentence(&columns, line)).collect();
        if lines.len() > words.len() {
            words.push("And more, among all rows.".into());
        }
        all.push(RowsOfFind {
            title: format!("{}, {}", list.discipline_name, list.author),
            href: links::row_list(list.id),
            lines: words,
        });
    }
    Ok(all)
}

/// “spit 1: Element skull, Weight 212 g”.
fn sentence(columns: &[Column], line: &Line) -> String {
    let said = columns.iter().zip(&line.row.cells).filter(|(_, cell)| !cell.is_empty());
    let words: Vec<String> = said
        .map(|(column, cell)| format!("{} {cell} {}", column.name, column.unit).trim_end().to_owned())
        .collect();
    match line.row.sub_number.as_str() {
        "" => words.join(", "),
        sub_number => format!("{sub_number}: {}", words.join(", ")),
    }
}
