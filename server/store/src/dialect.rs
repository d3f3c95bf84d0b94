//! The only code that asks which engine it is: opening, migrations, and the words of a search.
use crate::{Db, Result, StoreError, plans, search};
use sqlx::migrate::{Migration, Migrator};
use sqlx::postgres::{PgConnectOptions, PgPoolOptions};
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous};
use sqlx::{AssertSqlSafe, SqlSafeStr};
use std::str::FromStr;
use std::time::Duration;

static ALL: Migrator = sqlx::migrate!("../../migrations");

/// Connections that only read, on SQLite.
const READERS: u32 = 4;
/// Connections on PostgreSQL.
const CONNECTIONS: u32 = 8;

pub(crate) async fn open(url: &str) -> Result<Db> {
    if url.starts_with("sqlite") { open_sqlite(url).await } else { open_postgres(url).await }
}

async fn open_sqlite(url: &str) -> Result<Db> {
    // synchronous=FULL: in WAL mode anything less loses acknowledged commits in a power cut.
    let options = SqliteConnectOptions::from_str(url)
        .map_err(StoreError::from)?
        .create_if_missing(true)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(Duration::from_secs(5))
        .statement_cache_capacity(512);
    // KiB for each connection; with the map of the file off this bounds what the database keeps in memory.
    let cached = |kib: &'static str| options.clone().pragma("cache_size", kib);
    let write = SqlitePoolOptions::new()
        .max_connections(1)
        .acquire_timeout(Duration::from_secs(30))
        // what a statement would change back if it failed half-way stays in memory: on disk, each page of a large import is
        // written there several times
        .connect_with(cached("-49152").pragma("temp_store", "memory"))
        .await?;
    let read = SqlitePoolOptions::new()
        .max_connections(READERS)
        .acquire_timeout(Duration::from_secs(30))
        .connect_with(cached("-8192").read_only(true))
        .await?;
    Ok(Db::Sqlite { read, write })
}

async fn open_postgres(url: &str) -> Result<Db> {
    let options = PgConnectOptions::from_str(url).map_err(StoreError::from)?.statement_cache_capacity(512);
    Ok(Db::Postgres(PgPoolOptions::new().max_connections(CONNECTIONS).connect_with(options).await?))
}

pub(crate) async fn migrate(db: &Db) -> Result<()> {
    match db {
        Db::Sqlite { write, .. } => {
            // a migration may touch every page of a large site
            sqlx::raw_sql("PRAGMA temp_store = FILE").execute(write).await?;
            migrations("postgres", strict).run(write).await?;
            sqlx::raw_sql("PRAGMA temp_store = MEMORY").execute(write).await?;
            plans::tell(write).await?;
        }
        Db::Postgres(pool) => migrations("sqlite", str::to_owned).run(pool).await?,
    }
    let mut tx = db.write().await?;
    search::part_opinions(&mut tx).await?;
    tx.commit().await
}

/// The migrations of one engine: those that name the other are left out, each text is put into the engine's words.
fn migrations(other: &str, words: impl Fn(&str) -> String) -> Migrator {
    let ours = ALL.iter().filter(|m| !m.description.ends_with(other)).map(|m| {
        let text = AssertSqlSafe(words(m.sql.as_str())).into_sql_str();
        Migration::new(m.version, m.description.clone(), m.migration_type, text, m.no_tx)
    });
    Migrator::with_migrations(ours.collect())
}

/// PostgreSQL's type words in SQLite's, and every table strict about them.
fn strict(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 64);
    for line in text.replace("DOUBLE PRECISION", "REAL").split_inclusive('\n') {
        if line.trim_start().starts_with("--") {
            continue;
        }
        if line.trim_end() == ");" && !out.trim_end().ends_with('\'') {
            out.push_str(") STRICT;\n");
            continue;
        }
        let mut word = String::new();
        for c in line.chars().chain(std::iter::once('\0')) {
            if c.is_ascii_alphanumeric() || c == '_' {
                word.push(c);
                continue;
            }
            out.push_str(match word.as_str() {
                "BIGINT" | "BOOLEAN" => "INTEGER",
                "BYTEA" | "UUID" => "BLOB",
                "TIMESTAMPTZ" | "DATE" => "TEXT",
                other => other,
            });
            word.clear();
            if c != '\0' {
                out.push(c);
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::strict;

    #[test]
    fn type_words_are_mapped_whole_and_tables_are_strict() {
        let text = "CREATE TABLE a (\n    made_at TIMESTAMPTZ NOT NULL,\n    \"DATES\" BIGINT,\n    x DOUBLE PRECISION\n);\n";
        let mapped =
            "CREATE TABLE a (\n    made_at TEXT NOT NULL,\n    \"DATES\" INTEGER,\n    x REAL\n) STRICT;\n";
        assert_eq!(strict(text), mapped);
    }
}
