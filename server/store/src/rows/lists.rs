//! Rows as submitted. A list is never changed: the next version supersedes it.
use super::{read, written};
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{AssignmentId, FindId, PersonId, ProjectId, RowListId};
use domain::rows::{Column, FindAsked, Row};
use uuid::Uuid;

/// Rows to be kept.
#[derive(Debug, Clone)]
pub struct NewList<'a> {
    pub assignment: AssignmentId,
    pub discipline: &'a str,
    pub discipline_name: &'a str,
    pub columns: &'a [Column],
    pub rows: &'a [Row],
    pub note: &'a str,
}

/// A version of the rows of an assignment in a discipline.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct RowList {
    #[sqlx(try_from = "Uuid")]
    pub id: RowListId,
    #[sqlx(try_from = "Uuid")]
    pub assignment_id: AssignmentId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub project_code: String,
    #[sqlx(try_from = "Uuid")]
    pub author_id: PersonId,
    pub author: String,
    pub qualification: String,
    pub discipline: String,
    pub discipline_name: String,
    column_list: String,
    pub version: i64,
    pub note: String,
    pub submitted_at: Instant,
    pub superseded_at: Option<Instant>,
    rows: i64,
}

impl RowList {
    /// How many rows it holds.
    pub fn rows(&self) -> usize {
        usize::try_from(self.rows).unwrap_or_default()
    }

    /// Its columns, as they were when it was submitted.
    pub fn columns(&self) -> Result<Vec<Column>> {
        read(&self.column_list, "row_list.column_list")
    }
}

/// A row of a list, with the number of its find.
#[derive(Debug, Clone)]
pub struct Line {
    pub row: Row,
    pub number: String,
}

struct NewLine<'a> {
    list: RowListId,
    position: i64,
    row: &'a Row,
    cells: String,
}

impl BulkRow for NewLine<'_> {
    const TABLE: &'static str = "row_line";
    const COLUMNS: &'static [&'static str] = &["list_id", "position", "find_id", "sub_number", "cells"];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        statement
            .bind(self.list.0)
            .bind(self.position)
            .bind(self.row.find.0)
            .bind(self.row.sub_number.clone())
            .bind(self.cells.clone())
    }
}

/// Keeps rows as the next version; the one before is superseded.
pub async fn insert(tx: &mut Tx, new: &NewList<'_>, now: Instant) -> Result<RowListId> {
    let id = RowListId::new(now);
    let last: Option<i64> = tx
        .sql(sql!(
            "SELECT COALESCE(MAX(version), 0) FROM row_list WHERE assignment_id = $1 AND discipline = $2"
        ))
        .bind(new.assignment.0)
        .bind(new.discipline.to_owned())
        .cell()
        .await?;
    tx.sql(sql!(
        "UPDATE row_list SET superseded_at = $3 WHERE assignment_id = $1 AND discipline = $2 AND superseded_at IS NULL"
    ))
    .bind(new.assignment.0)
    .bind(new.discipline.to_owned())
    .bind(domain::cut(now))
    .run()
    .await?;
    tx.sql(sql!(
        "INSERT INTO row_list (id, assignment_id, discipline, discipline_name, column_list, version, note, submitted_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8)"
    ))
    .bind(id.0)
    .bind(new.assignment.0)
    .bind(new.discipline.to_owned())
    .bind(new.discipline_name.to_owned())
    .bind(written(&new.columns, "row_list.column_list")?)
    .bind(last.unwrap_or_default() + 1)
    .bind(new.note.to_owned())
    .bind(domain::cut(now))
    .run()
    .await?;
    let line = |(position, row): (i64, &'_ Row)| Ok((position, written(&row.cells, "row_line.cells")?));
    let cells = (1..).zip(new.rows).map(line).collect::<Result<Vec<(i64, String)>>>()?;
    let lines: Vec<NewLine<'_>> = cells
        .into_iter()
        .zip(new.rows)
        .map(|((position, cells), row)| NewLine { list: id, position, row, cells })
        .collect();
    bulk::insert(tx, &lines).await?;
    Ok(id)
}

/// The statement that reads lists, with the words behind it.
macro_rules! lists {
    ($rest:literal) => {
        sql!(concat!(
            "SELECT l.id, l.assignment_id, a.project_id, pr.code AS project_code, a.specialist_id AS author_id,
                p.name AS author, p.qualification, l.discipline, l.discipline_name, l.column_list, l.version, l.note, l.submitted_at,
                l.superseded_at, (SELECT COUNT(*) FROM row_line r WHERE r.list_id = l.id) AS rows
             FROM row_list l JOIN assignment a ON a.id = l.assignment_id JOIN project pr ON pr.id = a.project_id
             JOIN person p ON p.id = a.specialist_id ",
            $rest
        ))
    };
}

/// The list of an id.
pub async fn find(tx: &mut Tx, id: RowListId) -> Result<Option<RowList>> {
    tx.sql(lists!("WHERE l.id = $1")).bind(id.0).opt().await
}

/// Every version of an assignment, by discipline, the latest first.
pub async fn list_of_assignment(tx: &mut Tx, assignment: AssignmentId) -> Result<Vec<RowList>> {
    tx.sql(lists!("WHERE l.assignment_id = $1 ORDER BY l.discipline_name, l.discipline, l.version DESC"))
        .bind(assignment.0)
        .all()
        .await
}

/// The standing versions of a project, by discipline and author.
pub async fn list_of_project(tx: &mut Tx, project: ProjectId) -> Result<Vec<RowList>> {
    let text = lists!(
        "WHERE a.project_id = $1 AND l.superseded_at IS NULL ORDER BY l.discipline_name, p.name, l.submitted_at"
    );
    tx.sql(text).bind(project.0).all().await
}

/// The standing versions that have a row for a find.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<RowList>> {
    tx.sql(lists!(
        "WHERE l.superseded_at IS NULL AND EXISTS (SELECT 1 FROM row_line r WHERE r.list_id = l.id AND r.find_id = $1)
         ORDER BY l.submitted_at, l.id"
    ))
    .bind(find.0)
    .all()
    .await
}

#[derive(sqlx::FromRow)]
struct LineRow {
    find_id: Uuid,
    number: String,
    sub_number: String,
    cells: String,
}

/// The rows of a list in its order; those of restricted finds where `restricted` may be seen.
pub async fn list_lines(tx: &mut Tx, list: RowListId, restricted: bool) -> Result<Vec<Line>> {
    let rows: Vec<LineRow> = tx
        .sql(sql!(
            "SELECT r.find_id, f.number, r.sub_number, r.cells FROM row_line r JOIN find f ON f.id = r.find_id
             WHERE r.list_id = $1 AND (NOT f.restricted OR $2) ORDER BY r.position"
        ))
        .bind(list.0)
        .bind(restricted)
        .all()
        .await?;
    rows.into_iter().map(line).collect()
}

/// The first rows of a list that are about a find, `most` of them.
pub async fn list_lines_of_find(tx: &mut Tx, list: RowListId, find: FindId, most: i64) -> Result<Vec<Line>> {
    let rows: Vec<LineRow> = tx
        .sql(sql!(
            "SELECT r.find_id, f.number, r.sub_number, r.cells FROM row_line r JOIN find f ON f.id = r.find_id
             WHERE r.list_id = $1 AND r.find_id = $2 ORDER BY r.position LIMIT $3"
        ))
        .bind(list.0)
        .bind(find.0)
        .bind(most)
        .all()
        .await?;
    rows.into_iter().map(line).collect()
}

fn line(row: LineRow) -> Result<Line> {
    let cells = read(&row.cells, "row_line.cells")?;
    Ok(Line { row: Row { find: FindId(row.find_id), sub_number: row.sub_number, cells }, number: row.number })
}

#[derive(sqlx::FromRow)]
struct FindRow {
    id: Uuid,
    number: String,
    quantity: i64,
    weight_g: Option<f64>,
}

/// The finds that have rows in a list, with what the register says of them now.
pub async fn list_finds(tx: &mut Tx, list: RowListId) -> Result<Vec<FindAsked>> {
    let rows: Vec<FindRow> = tx
        .sql(sql!(
            "SELECT f.id, f.number, f.quantity, f.weight_g FROM find f
             WHERE EXISTS (SELECT 1 FROM row_line r WHERE r.list_id = $1 AND r.find_id = f.id) ORDER BY f.sort_key, f.id"
        ))
        .bind(list.0)
        .all()
        .await?;
    let find = |row: FindRow| FindAsked {
        id: FindId(row.id),
        number: row.number,
        pieces: row.quantity,
        mass_g: row.weight_g,
    };
    Ok(rows.into_iter().map(find).collect())
}
