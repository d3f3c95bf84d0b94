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
pub(crate) async fn query(
    tx: &mut Tx,
    project: ProjectId,
    words: &[String],
    opinions: bool,
) -> Result<String> {
    let Some((begun, whole)) = words.split_last() else { return Ok(String::new()) };
    let project = project_word(project);
    Ok(match tx.engine() {
        Engine::Sqlite => {
            let mut parts = vec![format!("\"{project}\"")];
            parts.extend(whole.iter().map(|word| format!("\"{word}\"")));
            parts.push(begun_words(tx, begun).await?);
            let all = parts.join(" AND ");
            if opinions { all } else { format!("body : ({all})") }
        }
        Engine::Postgres => {
            // weight A is the register's
            let (word, begin) = if opinions { ("", ":*") } else { (":A", ":*A") };
            let mut parts = vec![project];
            parts.extend(whole.iter().map(|whole| format!("{whole}{word}")));
            parts.push(format!("{begun}{begin}"));
            parts.join(" & ")
        }
    })
}

/// So many words are named one by one.
const NAMED: usize = 8;
/// Characters of a begun word that SQLite keeps an index of (`prefix` of `search_words`).
const INDEXED: usize = 3;

/// The words that begin so, in the notation of SQLite.
///
/// Asked for a beginning that is not indexed SQLite first gathers the documents of all words that have it, however few are wanted;
/// whole words it reads as far as it needs.
async fn begun_words(tx: &mut Tx, begun: &str) -> Result<String> {
    let any = format!("\"{begun}\" *");
    if begun.chars().count() <= INDEXED {
        return Ok(any);
    }
    let named: Vec<Named> = tx
        // a statement of SQLite alone, so none of those both engines are asked about
        .sql(
            "WITH RECURSIVE named (term) AS (
                SELECT (SELECT term FROM search_term WHERE term >= $1 ORDER BY term LIMIT 1)
                UNION ALL
                SELECT (SELECT term FROM search_term WHERE term >= named.term || char(1) ORDER BY term LIMIT 1)
                FROM named WHERE named.term < $2)
             SELECT term FROM named WHERE term < $2 LIMIT $3",
        )
        .bind(begun)
        .bind(format!("{begun}\u{10ffff}"))
        .bind(NAMED as i64 + 1)
        .all()
        .await?;
    // none where the index writes the word otherwise than it was folded
    if named.is_empty() || named.len() > NAMED {
        return Ok(any);
    }
    let words: Vec<String> = named.iter().map(|named| format!("\"{}\"", named.term)).collect();
    Ok(format!("({})", words.join(" OR ")))
}

#[derive(sqlx::FromRow)]
struct Named {
    term: String,
}
