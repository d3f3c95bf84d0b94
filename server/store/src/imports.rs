//! Imports of registers: what was read, what it changed, so that it can be undone.
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::finds::NewFind;
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{ContextId, FindId, ImportRunId, PersonId, ProjectId};
use uuid::Uuid;

/// One import.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Run {
    #[sqlx(try_from = "Uuid")]
    pub id: ImportRunId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    /// `finds` or `contexts`.
    pub kind: String,
    pub file_name: String,
    pub sha256: String,
    pub settings: String,
    pub uploaded_at: Instant,
    pub applied_at: Option<Instant>,
    pub undone_at: Option<Instant>,
    pub added: i64,
    pub changed: i64,
}

/// An import to be prepared.
#[derive(Debug, Clone)]
pub struct NewRun {
    pub project: ProjectId,
    pub kind: &'static str,
    pub file_name: String,
    pub sha256: String,
    pub settings: String,
}

/// Notes an uploaded register.
pub async fn insert(tx: &mut Tx, run: &NewRun, by: Option<PersonId>, now: Instant) -> Result<ImportRunId> {
    let id = ImportRunId::new(now);
    tx.sql(sql!(
        "INSERT INTO import_run (id, project_id, kind, file_name, sha256, settings, uploaded_by, uploaded_at, added, changed)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, 0, 0)"
    ))
    .bind(id.0)
    .bind(run.project.0)
    .bind(run.kind)
    .bind(run.file_name.clone())
    .bind(run.sha256.clone())
    .bind(run.settings.clone())
    .bind(by.map(Uuid::from))
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// The import of an id.
pub async fn find(tx: &mut Tx, id: ImportRunId) -> Result<Option<Run>> {
    tx.sql(sql!(
        "SELECT id, project_id, kind, file_name, sha256, settings, uploaded_at, applied_at, undone_at, added, changed
         FROM import_run WHERE id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// The imports of a project, the latest first.
pub async fn list(tx: &mut Tx, project: ProjectId) -> Result<Vec<Run>> {
    tx.sql(sql!(
        "SELECT id, project_id, kind, file_name, sha256, settings, uploaded_at, applied_at, undone_at, added, changed
         FROM import_run WHERE project_id = $1 ORDER BY uploaded_at DESC LIMIT 50"
    ))
    .bind(project.0)
    .all()
    .await
}

/// Keeps what the person chose.
pub async fn update_settings(tx: &mut Tx, id: ImportRunId, settings: &str) -> Result<()> {
    tx.sql(sql!("UPDATE import_run SET settings = $2 WHERE id = $1 AND applied_at IS NULL"))
        .bind(id.0)
        .bind(settings.to_owned())
        .run()
        .await?;
    Ok(())
}

/// Notes that an import was applied; `Changed` when it was before.
pub async fn update_applied(
    tx: &mut Tx,
    id: ImportRunId,
    (added, changed): (i64, i64),
    now: Instant,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE import_run SET applied_at = $2, added = $3, changed = $4 WHERE id = $1 AND applied_at IS NULL"
        ))
        .bind(id.0)
        .bind(domain::cut(now))
        .bind(added)
        .bind(changed)
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// Notes that an import was undone; `Changed` when it was before.
pub async fn update_undone(tx: &mut Tx, id: ImportRunId, now: Instant) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE import_run SET undone_at = $2 WHERE id = $1 AND applied_at IS NOT NULL AND undone_at IS NULL"
        ))
        .bind(id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// What an import did to one record.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Change {
    pub record_id: Uuid,
    /// The words before, as JSON; `None` where the record was added.
    pub before: Option<String>,
    /// The revision the import left behind.
    pub revision: i64,
}

struct ChangeRow<'a>(ImportRunId, &'a Change);

impl BulkRow for ChangeRow<'_> {
    const TABLE: &'static str = "import_change";
    const COLUMNS: &'static [&'static str] = &["run_id", "record_id", "before", "revision"];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        let change = self.1;
        statement.bind(self.0.0).bind(change.record_id).bind(change.before.clone()).bind(change.revision)
    }
}

/// Keeps what an import did.
pub async fn insert_changes(tx: &mut Tx, run: ImportRunId, changes: &[Change]) -> Result<()> {
    let rows: Vec<ChangeRow<'_>> = changes.iter().map(|change| ChangeRow(run, change)).collect();
    bulk::insert(tx, &rows).await
}

/// What an import did.
pub async fn list_changes(tx: &mut Tx, run: ImportRunId) -> Result<Vec<Change>> {
    tx.sql(sql!("SELECT record_id, before, revision FROM import_change WHERE run_id = $1"))
        .bind(run.0)
        .all()
        .await
}

/// A relation of contexts that an import made or changed.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct RelationChange {
    #[sqlx(try_from = "Uuid")]
    pub later_id: ContextId,
    #[sqlx(try_from = "Uuid")]
    pub earlier_id: ContextId,
    /// The kind before; `None` where the import made it.
    pub before: Option<String>,
}

struct RelationRow<'a>(ImportRunId, &'a RelationChange);

impl BulkRow for RelationRow<'_> {
    const TABLE: &'static str = "import_relation";
    const COLUMNS: &'static [&'static str] = &["run_id", "later_id", "earlier_id", "before"];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        let change = self.1;
        statement.bind(self.0.0).bind(change.later_id.0).bind(change.earlier_id.0).bind(change.before.clone())
    }
}

/// Keeps how an import laid contexts upon each other; each pair once.
pub async fn insert_relations(tx: &mut Tx, run: ImportRunId, changes: &[RelationChange]) -> Result<()> {
    let rows: Vec<RelationRow<'_>> = changes.iter().map(|change| RelationRow(run, change)).collect();
    bulk::insert(tx, &rows).await
}

/// Lays contexts upon each other as they lay before an import.
pub async fn undo_relations(tx: &mut Tx, run: ImportRunId) -> Result<()> {
    let changes: Vec<RelationChange> = tx
        .sql(sql!("SELECT later_id, earlier_id, before FROM import_relation WHERE run_id = $1"))
        .bind(run.0)
        .all()
        .await?;
    for change in changes {
        match change.before {
            None => {
                crate::contexts::delete_relation(tx, change.later_id, change.earlier_id).await?;
            }
            Some(kind) => {
                tx.sql(sql!("UPDATE context_relation SET kind = $3 WHERE later_id = $1 AND earlier_id = $2"))
                    .bind(change.later_id.0)
                    .bind(change.earlier_id.0)
                    .bind(kind)
                    .run()
                    .await?;
            }
        }
    }
    Ok(())
}

/// How many of the finds an import touched have gone on since: saved again, worked on, photographed, sent or moved.
pub async fn count_gone_on(tx: &mut Tx, run: ImportRunId) -> Result<i64> {
    let count = tx
        .sql(sql!(
            "SELECT CAST(COUNT(*) AS BIGINT) FROM import_change i JOIN find f ON f.id = i.record_id
             WHERE i.run_id = $1 AND (f.revision <> i.revision
                OR EXISTS (SELECT 1 FROM dispatch_item t WHERE t.find_id = f.id) OR (i.before IS NULL AND (
                EXISTS (SELECT 1 FROM work_record_find w WHERE w.find_id = f.id)
                OR EXISTS (SELECT 1 FROM find_stage s WHERE s.find_id = f.id)
                OR EXISTS (SELECT 1 FROM image_find g WHERE g.find_id = f.id)
                OR EXISTS (SELECT 1 FROM assignment_find a WHERE a.find_id = f.id)
                OR EXISTS (SELECT 1 FROM movement v WHERE v.find_id = f.id)
                OR EXISTS (SELECT 1 FROM hold h WHERE h.find_id = f.id)
                OR EXISTS (SELECT 1 FROM clock_look k WHERE k.find_id = f.id)
                OR EXISTS (SELECT 1 FROM object_group_find o WHERE o.find_id = f.id)
                OR EXISTS (SELECT 1 FROM quantity_event_find q WHERE q.find_id = f.id))))"
        ))
        .bind(run.0)
        .cell()
        .await?;
    Ok(count.unwrap_or(0))
}

/// Lets earlier imports of a find know that what came after them was undone: where one of them left the find as the undone import
/// found it, at `found_at`, it counts as left as it is now, and those before it keep their distance.
pub async fn carry_back(tx: &mut Tx, find: FindId, (found_at, now_at): (i64, i64)) -> Result<()> {
    tx.sql(sql!("UPDATE import_change SET revision = revision + $3 WHERE record_id = $1 AND revision <= $2"))
        .bind(find.0)
        .bind(found_at)
        .bind(now_at - found_at)
        .run()
        .await?;
    Ok(())
}

/// Takes an added find away again with everything the import gave it.
pub async fn delete_added_find(tx: &mut Tx, id: FindId) -> Result<()> {
    crate::finds::progress::leave_backlog(tx, id).await?;
    for statement in [
        sql!("DELETE FROM search_doc WHERE find_id = $1"),
        sql!("DELETE FROM clock WHERE find_id = $1"),
        sql!("DELETE FROM tray_find WHERE find_id = $1"),
        sql!("DELETE FROM journal WHERE find_id = $1"),
        sql!("DELETE FROM find WHERE id = $1"),
    ] {
        tx.sql(statement).bind(id.0).run().await?;
    }
    Ok(())
}

/// Takes an added context away again; `Dangling` when finds or others lie to it.
pub async fn delete_added_context(tx: &mut Tx, id: Uuid) -> Result<()> {
    for statement in [
        sql!("DELETE FROM context_relation WHERE later_id = $1 OR earlier_id = $1"),
        sql!("DELETE FROM journal WHERE context_id = $1 AND find_id IS NULL"),
        sql!("DELETE FROM context WHERE id = $1"),
    ] {
        tx.sql(statement).bind(id).run().await?;
    }
    Ok(())
}

#[derive(sqlx::FromRow)]
struct MatchRow {
    header: String,
    field: String,
}

/// What the columns of a register meant the last time: header and field.
pub async fn list_matches(
    tx: &mut Tx,
    project: ProjectId,
    kind: &'static str,
) -> Result<Vec<(String, String)>> {
    let rows: Vec<MatchRow> = tx
        .sql(sql!("SELECT header, field FROM column_match WHERE project_id = $1 AND kind = $2"))
        .bind(project.0)
        .bind(kind)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| (row.header, row.field)).collect())
}

/// Remembers what a column meant.
pub async fn update_match(
    tx: &mut Tx,
    project: ProjectId,
    kind: &'static str,
    header: &str,
    field: &str,
) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO column_match (project_id, kind, header, field) VALUES ($1, $2, $3, $4)
         ON CONFLICT (project_id, kind, header) DO UPDATE SET field = excluded.field"
    ))
    .bind(project.0)
    .bind(kind)
    .bind(header.to_owned())
    .bind(field.to_owned())
    .run()
    .await?;
    Ok(())
}

/// A number in use.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct UsedNumber {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    pub number: String,
    pub void_at: Option<Instant>,
}

/// Every find number of a project.
pub async fn list_numbers(tx: &mut Tx, project: ProjectId) -> Result<Vec<UsedNumber>> {
    tx.sql(sql!("SELECT id, number, void_at FROM find WHERE project_id = $1")).bind(project.0).all().await
}

/// The words of a find before an import, to be kept.
pub fn to_words(find: &NewFind) -> Result<String> {
    serde_json::to_string(find).map_err(|cause| StoreError::Corrupt {
        column: "import_change.before".into(),
        cause: cause.to_string(),
    })
}

/// The words of a find before an import, as kept.
pub fn from_words(words: &str) -> Result<NewFind> {
    serde_json::from_str(words).map_err(|cause| StoreError::Corrupt {
        column: "import_change.before".into(),
        cause: cause.to_string(),
    })
}
