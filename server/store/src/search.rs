//! The words by which finds are found, kept folded in the same transaction as the find.
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::{Result, Tx, sql};
use domain::ids::{FindId, ProjectId};

/// The word that stands in every document of a project, so that a search stays inside it.
pub fn project_word(project: ProjectId) -> String {
    format!("p{}", project.0.simple())
}

/// Makes the documents of new finds, in order.
pub async fn insert_many(
    tx: &mut Tx,
    project: ProjectId,
    finds: impl Iterator<Item = (FindId, String)>,
) -> Result<()> {
    let last: Option<i64> = tx.sql(sql!("SELECT MAX(doc) FROM search_doc")).cell::<Option<i64>>().await?.flatten();
    let word = project_word(project);
    let rows: Vec<Row> = finds
        .zip(last.unwrap_or(0) + 1..)
        .map(|((find, words), doc)| Row { doc, find, project, body: body(&word, &words) })
        .collect();
    bulk::insert(tx, &rows).await
}

/// Gives a find's document new words.
pub async fn update(tx: &mut Tx, project: ProjectId, find: FindId, words: &str) -> Result<()> {
    tx.sql(sql!("UPDATE search_doc SET body = $2 WHERE find_id = $1"))
        .bind(find.0)
        .bind(body(&project_word(project), words))
        .run()
        .await?;
    Ok(())
}

fn body(project_word: &str, words: &str) -> String {
    format!("{project_word} {}", domain::words::fold(words))
}

struct Row {
    doc: i64,
    find: FindId,
    project: ProjectId,
    body: String,
}

impl BulkRow for Row {
    const TABLE: &'static str = "search_doc";
    const COLUMNS: &'static [&'static str] = &["doc", "find_id", "project_id", "body"];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        statement.bind(self.doc).bind(self.find.0).bind(self.project.0).bind(self.body.clone())
    }
}
