//! Contexts and how they lie upon each other.
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::finds::number::sort_key;
use domain::ids::{ContextId, ProjectId};
use uuid::Uuid;

/// A context as kept.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Context {
    #[sqlx(try_from = "Uuid")]
    pub id: ContextId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub number: String,
    pub kind: String,
    pub area: String,
    pub phase: String,
    pub interpretation: String,
    pub description: String,
    pub soil: String,
    pub spot_date: String,
    pub revision: i64,
}

/// A context to be made or the new words of one.
#[derive(Debug, Clone, Default, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct NewContext {
    pub number: String,
    pub kind: String,
    pub area: String,
    pub phase: String,
    pub interpretation: String,
    pub description: String,
    pub soil: String,
    pub spot_date: String,
}

impl Context {
    /// The words of the context as a form shows them.
    pub fn as_new(&self) -> NewContext {
        NewContext {
            number: self.number.clone(),
            kind: self.kind.clone(),
            area: self.area.clone(),
            phase: self.phase.clone(),
            interpretation: self.interpretation.clone(),
            description: self.description.clone(),
            soil: self.soil.clone(),
            spot_date: self.spot_date.clone(),
        }
    }
}

/// What differs between two versions: label, before, after.
pub fn changes(before: &NewContext, after: &NewContext) -> Vec<(&'static str, String, String)> {
    let pairs = [
        ("Kind", &before.kind, &after.kind),
        ("Area", &before.area, &after.area),
        ("Phase", &before.phase, &after.phase),
        ("Interpretation", &before.interpretation, &after.interpretation),
        ("Description", &before.description, &after.description),
        ("Soil", &before.soil, &after.soil),
        ("Spot date", &before.spot_date, &after.spot_date),
    ];
    let differ = pairs.into_iter().filter(|(_, old, new)| old != new);
    differ.map(|(label, old, new)| (label, old.clone(), new.clone())).collect()
}

/// Makes a context; `Taken` when its number is.
pub async fn insert(
    tx: &mut Tx,
    project: ProjectId,
    context: &NewContext,
    now: Instant,
) -> Result<ContextId> {
    let id = ContextId::new(now);
    tx.sql(sql!(
        "INSERT INTO context (id, project_id, number, sort_key, kind, area, phase, interpretation, description, soil,
            spot_date, revision, created_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, 1, $12)"
    ))
    .bind(id.0)
    .bind(project.0)
    .bind(context.number.clone())
    .bind(sort_key(&context.number))
    .bind(context.kind.clone())
    .bind(context.area.clone())
    .bind(context.phase.clone())
    .bind(context.interpretation.clone())
    .bind(context.description.clone())
    .bind(context.soil.clone())
    .bind(context.spot_date.clone())
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// Makes many contexts at once; the ids in the order given.
pub async fn insert_many(
    tx: &mut Tx,
    project: ProjectId,
    contexts: &[NewContext],
    now: Instant,
) -> Result<Vec<ContextId>> {
    let rows: Vec<Row<'_>> = contexts
        .iter()
        .map(|context| Row { id: ContextId::new(now), project, context, now: domain::cut(now) })
        .collect();
    bulk::insert(tx, &rows).await?;
    Ok(rows.iter().map(|row| row.id).collect())
}

struct Row<'a> {
    id: ContextId,
    project: ProjectId,
    context: &'a NewContext,
    now: Instant,
}

impl BulkRow for Row<'_> {
    const TABLE: &'static str = "context";
    const COLUMNS: &'static [&'static str] = &[
        "id",
        "project_id",
        "number",
        "sort_key",
        "kind",
        "area",
        "phase",
        "interpretation",
        "description",
        "soil",
        "spot_date",
        "revision",
        "created_at",
    ];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        let c = self.context;
        statement
            .bind(self.id.0)
            .bind(self.project.0)
            .bind(c.number.clone())
            .bind(sort_key(&c.number))
            .bind(c.kind.clone())
            .bind(c.area.clone())
            .bind(c.phase.clone())
            .bind(c.interpretation.clone())
            .bind(c.description.clone())
            .bind(c.soil.clone())
            .bind(c.spot_date.clone())
            .bind(1_i64)
            .bind(self.now)
    }
}

/// Gives a context new words, all but its number; `Changed` when somebody else saved since `revision`.
pub async fn update(tx: &mut Tx, id: ContextId, context: &NewContext, revision: i64) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE context SET kind = $3, area = $4, phase = $5, interpretation = $6, description = $7, soil = $8,
                spot_date = $9, revision = revision + 1 WHERE id = $1 AND revision = $2"
        ))
        .bind(id.0)
        .bind(revision)
        .bind(context.kind.clone())
        .bind(context.area.clone())
        .bind(context.phase.clone())
        .bind(context.interpretation.clone())
        .bind(context.description.clone())
        .bind(context.soil.clone())
        .bind(context.spot_date.clone())
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// The context of an id.
pub async fn find(tx: &mut Tx, id: ContextId) -> Result<Option<Context>> {
    tx.sql(sql!(
        "SELECT id, project_id, number, kind, area, phase, interpretation, description, soil, spot_date, revision
         FROM context WHERE id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// The context of a number in a project.
pub async fn find_by_number(tx: &mut Tx, project: ProjectId, number: &str) -> Result<Option<Context>> {
    tx.sql(sql!(
        "SELECT id, project_id, number, kind, area, phase, interpretation, description, soil, spot_date, revision
         FROM context WHERE project_id = $1 AND number = $2"
    ))
    .bind(project.0)
    .bind(number.to_owned())
    .opt()
    .await
}

/// The contexts of a project in their order; a page of them after the number's sort key `after`.
pub async fn list(tx: &mut Tx, project: ProjectId, after: &str, most: i64) -> Result<Vec<Context>> {
    tx.sql(sql!(
        "SELECT id, project_id, number, kind, area, phase, interpretation, description, soil, spot_date, revision
         FROM context WHERE project_id = $1 AND sort_key > $2 ORDER BY sort_key, id LIMIT $3"
    ))
    .bind(project.0)
    .bind(after.to_owned())
    .bind(most)
    .all()
    .await
}

/// The other end of a relation.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Neighbour {
    #[sqlx(try_from = "Uuid")]
    pub id: ContextId,
    pub number: String,
    pub interpretation: String,
    /// `above`, `cuts` or `same_as`.
    pub kind: String,
}

/// Says that `later` lies above or cuts `earlier`, or is the same as it. Saying it twice changes nothing.
pub async fn insert_relation(
    tx: &mut Tx,
    project: ProjectId,
    later: ContextId,
    earlier: ContextId,
    kind: &'static str,
) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO context_relation (project_id, later_id, earlier_id, kind) VALUES ($1, $2, $3, $4)
         ON CONFLICT (later_id, earlier_id) DO UPDATE SET kind = excluded.kind"
    ))
    .bind(project.0)
    .bind(later.0)
    .bind(earlier.0)
    .bind(kind)
    .run()
    .await?;
    Ok(())
}

/// Takes a relation back.
pub async fn delete_relation(tx: &mut Tx, later: ContextId, earlier: ContextId) -> Result<u64> {
    tx.sql(sql!("DELETE FROM context_relation WHERE later_id = $1 AND earlier_id = $2"))
        .bind(later.0)
        .bind(earlier.0)
        .run()
        .await
}

/// What a context lies above, cuts, or is the same as.
pub async fn list_earlier(tx: &mut Tx, id: ContextId) -> Result<Vec<Neighbour>> {
    tx.sql(sql!(
        "SELECT c.id, c.number, c.interpretation, r.kind FROM context_relation r JOIN context c ON c.id = r.earlier_id
         WHERE r.later_id = $1 ORDER BY c.sort_key"
    ))
    .bind(id.0)
    .all()
    .await
}

/// What lies above a context, cuts it, or is the same as it.
pub async fn list_later(tx: &mut Tx, id: ContextId) -> Result<Vec<Neighbour>> {
    tx.sql(sql!(
        "SELECT c.id, c.number, c.interpretation, r.kind FROM context_relation r JOIN context c ON c.id = r.later_id
         WHERE r.earlier_id = $1 ORDER BY c.sort_key"
    ))
    .bind(id.0)
    .all()
    .await
}

/// Every relation of a project: later, earlier, kind.
pub async fn list_relations(tx: &mut Tx, project: ProjectId) -> Result<Vec<(ContextId, ContextId, String)>> {
    let rows: Vec<RelationRow> = tx
        .sql(sql!("SELECT later_id, earlier_id, kind FROM context_relation WHERE project_id = $1"))
        .bind(project.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| (row.later_id, row.earlier_id, row.kind)).collect())
}

#[derive(sqlx::FromRow)]
struct RelationRow {
    #[sqlx(try_from = "Uuid")]
    later_id: ContextId,
    #[sqlx(try_from = "Uuid")]
    earlier_id: ContextId,
    kind: String,
}
