//! The journal: written in the same transaction as the change it tells of, never changed.
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{ContextId, FindId, JournalId, PersonId, ProjectId};
use uuid::Uuid;

/// An entry to be written. `words` is a plain sentence, past tense, without the person's name.
#[derive(Debug, Clone, Default)]
pub struct Entry {
    pub project: Option<ProjectId>,
    pub find: Option<FindId>,
    pub context: Option<ContextId>,
    pub verb: &'static str,
    pub words: String,
    pub by: Option<PersonId>,
}

/// An entry as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Line {
    pub verb: String,
    pub words: String,
    /// Name of who did it; empty for the program itself.
    pub by_name: String,
    pub at: Instant,
}

/// Appends one entry.
pub async fn append(tx: &mut Tx, entry: &Entry, now: Instant) -> Result<()> {
    append_all(tx, std::slice::from_ref(entry), now).await
}

/// Appends many entries of the same instant.
pub async fn append_all(tx: &mut Tx, entries: &[Entry], now: Instant) -> Result<()> {
    let rows: Vec<Row<'_>> = entries.iter().map(|entry| Row { entry, now }).collect();
    bulk::insert(tx, &rows).await
}

/// Appends many entries, each of its own instant.
pub async fn append_dated(tx: &mut Tx, entries: &[(Entry, Instant)]) -> Result<()> {
    let rows: Vec<Row<'_>> = entries.iter().map(|(entry, at)| Row { entry, now: *at }).collect();
    bulk::insert(tx, &rows).await
}

/// The entries of a find, newest first, as far as they may be told to somebody who sees it.
pub async fn list_of_find(tx: &mut Tx, find: FindId, told: Told, most: i64) -> Result<Vec<Line>> {
    tx.sql(sql!(
        "SELECT j.verb, j.words, COALESCE(p.name, '') AS by_name, j.at FROM journal j
         LEFT JOIN person p ON p.id = j.by_person
         WHERE j.find_id = $1 AND ($2 OR j.verb NOT IN ('opinion', 'settled', 'reopened', 'judged'))
            AND ($3 OR j.verb <> 'findspot')
         ORDER BY j.at DESC, j.id DESC LIMIT $4"
    ))
    .bind(find.0)
    .bind(told.opinions)
    .bind(told.findspot)
    .bind(most)
    .all()
    .await
}

/// An entry of a project, with the find it tells of.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Lately {
    pub words: String,
    /// Name of who did it; empty for the program itself.
    pub by_name: String,
    pub at: Instant,
    pub find_id: Option<Uuid>,
    /// Empty where it tells of no find.
    pub find_number: String,
}

/// What of a project’s journal somebody may be told.
#[derive(Debug, Clone, Copy, Default)]
pub struct Told {
    pub finds: bool,
    /// Restricted finds too.
    pub restricted: bool,
    /// What specialists said, and what was made of it.
    pub opinions: bool,
    /// Exact findspots.
    pub findspot: bool,
}

impl Told {
    /// Everything.
    pub const ALL: Told = Told { finds: true, restricted: true, opinions: true, findspot: true };
}

/// The verb of what tells an exact findspot.
pub const FINDSPOT: &str = "findspot";

/// The latest entries of a project, newest first, as far as they may be told.
pub async fn list_of_project(tx: &mut Tx, project: ProjectId, told: Told, most: i64) -> Result<Vec<Lately>> {
    tx.sql(sql!(
        "SELECT j.words, COALESCE(p.name, '') AS by_name, j.at, j.find_id, COALESCE(f.number, '') AS find_number
         FROM journal j LEFT JOIN person p ON p.id = j.by_person LEFT JOIN find f ON f.id = j.find_id
         WHERE j.project_id = $1 AND (j.find_id IS NULL OR ($2 AND (NOT f.restricted OR $3)))
            AND ($4 OR j.verb NOT IN ('opinion', 'settled', 'reopened', 'judged')) AND ($5 OR j.verb <> 'findspot')
         ORDER BY j.at DESC, j.id DESC LIMIT $6"
    ))
    .bind(project.0)
    .bind(told.finds)
    .bind(told.restricted)
    .bind(told.opinions)
    .bind(told.findspot)
    .bind(most)
    .all()
    .await
}

struct Row<'a> {
    entry: &'a Entry,
    now: Instant,
}

impl BulkRow for Row<'_> {
    const TABLE: &'static str = "journal";
    const COLUMNS: &'static [&'static str] =
        &["id", "project_id", "find_id", "context_id", "verb", "words", "by_person", "at"];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        let entry = self.entry;
        statement
            .bind(JournalId::new(self.now).0)
            .bind(entry.project.map(Uuid::from))
            .bind(entry.find.map(Uuid::from))
            .bind(entry.context.map(Uuid::from))
            .bind(entry.verb)
            .bind(entry.words.clone())
            .bind(entry.by.map(Uuid::from))
            .bind(domain::cut(self.now))
    }
}
