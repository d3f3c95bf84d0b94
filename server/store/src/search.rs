//! The words by which finds are found, kept folded in the same transaction as the find.
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::{Engine, Result, Tx, sql};
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
    let last: Option<i64> =
        tx.sql(sql!("SELECT MAX(doc) FROM search_doc")).cell::<Option<i64>>().await?.flatten();
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

/// The folded words of a search, at most ten.
pub fn terms(typed: &str) -> Vec<String> {
    domain::words::fold(typed)
        .split(' ')
        .filter(|word| !word.is_empty())
        .take(10)
        .map(str::to_owned)
        .collect()
}

/// The words of a search in an engine's own notation: all must occur, the last may be begun only, inside one project.
///
/// The words are folded, so they hold letters and digits only and cannot be taken for notation.
pub(crate) fn query(engine: Engine, project: ProjectId, words: &[String]) -> String {
    let last = words.len().saturating_sub(1);
    let mut parts = vec![match engine {
        Engine::Sqlite => format!("\"{}\"", project_word(project)),
        Engine::Postgres => project_word(project),
    }];
    parts.extend(words.iter().enumerate().map(|(at, word)| match engine {
        Engine::Sqlite if at == last => format!("\"{word}\" *"),
        Engine::Sqlite => format!("\"{word}\""),
        Engine::Postgres if at == last => format!("{word}:*"),
        Engine::Postgres => word.clone(),
    }));
    parts.join(match engine {
        Engine::Sqlite => " AND ",
        Engine::Postgres => " & ",
    })
}
