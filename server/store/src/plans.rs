//! What SQLite is told of the finds of a large site, by which it chooses among the indexes of a list.
//!
//! Measured by itself the expectation changes with the site and with it the choice, at worst to reading every find of a
//! project. Few are on a bench, held, due or in one context, and what specialists said is less than the finds: a page of a
//! context asks for it first.
use crate::Result;
use sqlx::SqlitePool;

/// Table and index; how many rows it holds, then how many share the first column, the first two and so on.
const EXPECTED: &[(&str, &str, &str)] = &[
    ("find", "find_assignee_newest", "10000 1000 1000 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_assignee_number", "10000 1000 1000 1 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_assignee_waiting", "10000 1000 1000 1 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_context", "200000 40 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_due", "2000 2000 10 1 1 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_due_newest", "2000 2000 1 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_due_number", "2000 2000 1 1 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_due_waiting", "2000 2000 1 1 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_headline_newest", "200000 200000 28000 1 1 1 1 1 1"),
    ("find", "find_headline_number", "200000 200000 28000 1 1 1 1 1 1 1"),
    ("find", "find_headline_waiting", "200000 200000 28000 2 1 1 1 1 1 1"),
    ("find", "find_held_newest", "2000 2000 1 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_held_number", "2000 2000 1 1 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_held_waiting", "2000 2000 1 1 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_material_newest", "200000 200000 17000 1 1 1 1 1 1"),
    ("find", "find_material_number", "200000 200000 17000 1 1 1 1 1 1 1"),
    ("find", "find_material_waiting", "200000 200000 17000 2 1 1 1 1 1 1"),
    ("find", "find_newest", "200000 200000 1 1 1 1"),
    ("find", "find_number", "200000 200000 1 1 1 1 1"),
    ("find", "find_oldest", "200000 200000 28000 2400 1"),
    ("find", "find_place", "200000 5000 1 1 1 1 1 1 1 1 1 1"),
    ("find", "find_restricted", "2000 2000 300 25"),
    ("find", "find_stage_newest", "200000 200000 12000 1 1 1 1 1 1"),
    ("find", "find_stage_number", "200000 200000 12000 1 1 1 1 1 1 1"),
    ("find", "find_stage_waiting", "200000 200000 12000 2 1 1 1 1 1 1"),
    ("find", "find_waiting", "200000 200000 2 1 1 1 1"),
    ("find", "sqlite_autoindex_find_1", "200000 1"),
    ("find", "sqlite_autoindex_find_2", "200000 200000 1"),
    ("judgement", "judgement_context", "2000 2 1"),
    ("judgement", "judgement_standing", "2000 1 1"),
    ("opinion", "opinion_author", "20000 2000 1"),
    ("settlement", "settlement_find", "5000 2"),
    ("thread_line", "thread_line_find", "5000 3 1 1"),
    ("thread_line", "thread_line_open", "200 2"),
    ("thread_line", "thread_line_specialist", "5000 500 3"),
];

/// Tells it, unless it has been told.
pub(crate) async fn tell(write: &SqlitePool) -> Result<()> {
    let mut tx = write.begin().await?;
    let (tables,): (i64,) = sqlx::query_as("SELECT COUNT(*) FROM sqlite_schema WHERE name = 'sqlite_stat1'")
        .fetch_one(&mut *tx)
        .await?;
    if tables == 0 {
        // makes the table, which SQLite keeps to itself
        sqlx::raw_sql("ANALYZE sqlite_schema").execute(&mut *tx).await?;
    }
    let told: Vec<(String, String, String)> = sqlx::query_as(
        "SELECT tbl, COALESCE(idx, ''), CAST(stat AS TEXT) FROM sqlite_stat1 ORDER BY tbl, idx",
    )
    .fetch_all(&mut *tx)
    .await?;
    if told
        .iter()
        .map(|(table, index, counts)| (table.as_str(), index.as_str(), counts.as_str()))
        .eq(EXPECTED.iter().copied())
    {
        return Ok(());
    }
    sqlx::raw_sql("DELETE FROM sqlite_stat1").execute(&mut *tx).await?;
    for (table, index, counts) in EXPECTED {
        sqlx::query("INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ($1, $2, $3)")
            .bind(table)
            .bind(index)
            .bind(counts)
            .execute(&mut *tx)
            .await?;
    }
    sqlx::raw_sql("ANALYZE sqlite_schema").execute(&mut *tx).await?;
    tx.commit().await?;
    Ok(())
}
