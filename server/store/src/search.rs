//! The words by which finds are found, kept folded in the same transaction as the find.
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::{Engine, Result, Tx, sql};
use domain::ids::{FindId, ProjectId};
use uuid::Uuid;

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

/// Gives a find's document new words: those of the register, and those of specialists.
pub async fn update(
    tx: &mut Tx,
    project: ProjectId,
    find: FindId,
    (words, opinions): (&str, &str),
) -> Result<()> {
    tx.sql(sql!("UPDATE search_doc SET body = $2, opinions = $3 WHERE find_id = $1"))
        .bind(find.0)
        .bind(body(&project_word(project), words))
        .bind(domain::words::fold(opinions))
        .run()
        .await?;
    Ok(())
}

/// Parts the words of specialists from those of the register where they still stand together.
pub(crate) async fn part_opinions(tx: &mut Tx) -> Result<()> {
    let together: Vec<Together> =
        tx.sql(sql!("SELECT find_id FROM search_doc WHERE opinions IS NULL")).all().await?;
    for Together { find_id } in together {
        crate::finds::refresh_search(tx, find_id).await?;
    }
    Ok(())
}

#[derive(sqlx::FromRow)]
struct Together {
    #[sqlx(try_from = "Uuid")]
    find_id: FindId,
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
    const COLUMNS: &'static [&'static str] = &["doc", "find_id", "project_id", "body", "opinions"];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        statement.bind(self.doc).bind(self.find.0).bind(self.project.0).bind(self.body.clone()).bind("")
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

/// The words of a search in an engine's own notation: all must occur, the last may be begun only, inside one project; among
/// what specialists said only where `opinions` may be read.
///
/// The words are folded, so they hold letters and digits only and cannot be taken for notation.
pub(crate) fn query(engine: Engine, project: ProjectId, words: &[String], opinions: bool) -> String {
    let last = words.len().saturating_sub(1);
    // weight A is the register's
    let only = if opinions { "" } else { "A" };
    let project = project_word(project);
    let mut parts = vec![match engine {
        Engine::Sqlite => format!("\"{project}\""),
        Engine::Postgres => project,
    }];
    parts.extend(words.iter().enumerate().map(|(at, word)| match engine {
        Engine::Sqlite if at == last => format!("\"{word}\" *"),
        Engine::Sqlite => format!("\"{word}\""),
        Engine::Postgres if at == last => format!("{word}:*{only}"),
        Engine::Postgres if opinions => word.clone(),
        Engine::Postgres => format!("{word}:{only}"),
    }));
    match engine {
        Engine::Sqlite if opinions => parts.join(" AND "),
        Engine::Sqlite => format!("body : ({})", parts.join(" AND ")),
        Engine::Postgres => parts.join(" & "),
    }
}
