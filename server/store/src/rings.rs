//! Ring diameters measured on finds, and lists of moulds they are compared with.
use crate::{Result, StoreError, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::{FindId, MouldListId, PersonId, ProjectId, RingSetId};
use domain::rings::NewMould;
use uuid::Uuid;

/// A list of moulds.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct MouldList {
    #[sqlx(try_from = "Uuid")]
    pub id: MouldListId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub project_code: String,
    pub name: String,
    pub source: String,
    #[sqlx(try_from = "Uuid")]
    pub made_by_id: PersonId,
    pub made_by: String,
    pub made_at: Instant,
    pub withdrawn_at: Option<Instant>,
    /// How many moulds it holds.
    pub moulds: i64,
}

/// Keeps a list of moulds.
pub async fn insert_list(
    tx: &mut Tx,
    project: ProjectId,
    (name, source, moulds): (&str, &str, &[NewMould]),
    by: PersonId,
    now: Instant,
) -> Result<MouldListId> {
    let id = MouldListId::new(now);
    tx.sql(sql!(
        "INSERT INTO mould_list (id, project_id, name, source, made_by, made_at) VALUES ($1, $2, $3, $4, $5, $6)"
    ))
    .bind(id.0)
    .bind(project.0)
    .bind(name.to_owned())
    .bind(source.to_owned())
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    for (position, mould) in (1_i64..).zip(moulds) {
        tx.sql(sql!("INSERT INTO mould (list_id, position, name, rings_mm) VALUES ($1, $2, $3, $4)"))
            .bind(id.0)
            .bind(position)
            .bind(mould.name.clone())
            .bind(words(&mould.rings_mm))
            .run()
            .await?;
    }
    Ok(id)
}

/// The lists of a project, those that stand first, by name.
pub async fn list_lists(tx: &mut Tx, project: ProjectId) -> Result<Vec<MouldList>> {
    tx.sql(sql!(
        "SELECT l.id, l.project_id, pr.code AS project_code, l.name, l.source, l.made_by AS made_by_id, p.name AS made_by, l.made_at,
            l.withdrawn_at, (SELECT COUNT(*) FROM mould m WHERE m.list_id = l.id) AS moulds
         FROM mould_list l JOIN person p ON p.id = l.made_by JOIN project pr ON pr.id = l.project_id
         WHERE l.project_id = $1
         ORDER BY CASE WHEN l.withdrawn_at IS NULL THEN 0 ELSE 1 END, l.name, l.id"
    ))
    .bind(project.0)
    .all()
    .await
}

/// The list of an id.
pub async fn find_list(tx: &mut Tx, id: MouldListId) -> Result<Option<MouldList>> {
    tx.sql(sql!(
        "SELECT l.id, l.project_id, pr.code AS project_code, l.name, l.source, l.made_by AS made_by_id, p.name AS made_by, l.made_at,
            l.withdrawn_at, (SELECT COUNT(*) FROM mould m WHERE m.list_id = l.id) AS moulds
         FROM mould_list l JOIN person p ON p.id = l.made_by JOIN project pr ON pr.id = l.project_id WHERE l.id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// Withdraws a list: it is offered no more. `Changed` when it was withdrawn before.
pub async fn update_withdrawn(tx: &mut Tx, id: MouldListId, now: Instant) -> Result<()> {
    let touched = tx
        .sql(sql!("UPDATE mould_list SET withdrawn_at = $2 WHERE id = $1 AND withdrawn_at IS NULL"))
        .bind(id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

#[derive(sqlx::FromRow)]
struct MouldRow {
    name: String,
    rings_mm: String,
}

/// The moulds of a list in its order.
pub async fn list_moulds(tx: &mut Tx, id: MouldListId) -> Result<Vec<NewMould>> {
    let rows: Vec<MouldRow> = tx
        .sql(sql!("SELECT name, rings_mm FROM mould WHERE list_id = $1 ORDER BY position"))
        .bind(id.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| NewMould { name: row.name, rings_mm: numbers(&row.rings_mm) }).collect())
}

/// Ring diameters to be kept.
#[derive(Debug, Clone)]
pub struct NewRingSet {
    pub find: FindId,
    pub rings_mm: Vec<f64>,
    pub u_mm: f64,
    pub scale_mean: f64,
    pub scale_sd: f64,
    pub measured_with: String,
    pub done_by: String,
    pub done_on: NaiveDate,
}

/// Ring diameters as measured once.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct RingSet {
    #[sqlx(try_from = "Uuid")]
    pub id: RingSetId,
    rings_mm: String,
    pub u_mm: f64,
    pub scale_mean: f64,
    pub scale_sd: f64,
    pub measured_with: String,
    pub done_by: String,
    pub done_on: NaiveDate,
    pub recorded_by: String,
    pub recorded_at: Instant,
}

impl RingSet {
    /// In mm, from the smallest outwards.
    pub fn rings_mm(&self) -> Vec<f64> {
        numbers(&self.rings_mm)
    }
}

/// Keeps ring diameters.
pub async fn insert_set(tx: &mut Tx, new: &NewRingSet, by: PersonId, now: Instant) -> Result<RingSetId> {
    let id = RingSetId::new(now);
    tx.sql(sql!(
        "INSERT INTO ring_set (id, find_id, rings_mm, u_mm, scale_mean, scale_sd, measured_with, done_by, done_on,
            recorded_by, recorded_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)"
    ))
    .bind(id.0)
    .bind(new.find.0)
    .bind(words(&new.rings_mm))
    .bind(new.u_mm)
    .bind(new.scale_mean)
    .bind(new.scale_sd)
    .bind(new.measured_with.clone())
    .bind(new.done_by.clone())
    .bind(new.done_on)
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// The ring diameters of a find, those measured last first.
pub async fn list_sets(tx: &mut Tx, find: FindId) -> Result<Vec<RingSet>> {
    tx.sql(sql!(
        "SELECT r.id, r.rings_mm, r.u_mm, r.scale_mean, r.scale_sd, r.measured_with, r.done_by, r.done_on,
            p.name AS recorded_by, r.recorded_at
         FROM ring_set r JOIN person p ON p.id = r.recorded_by
         WHERE r.find_id = $1 ORDER BY r.done_on DESC, r.recorded_at DESC, r.id DESC"
    ))
    .bind(find.0)
    .all()
    .await
}

/// A find with measured rings.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Ringed {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    pub number: String,
}

/// The finds of a project with measured rings that may be printed, by number: neither void nor restricted.
pub async fn list_ringed(tx: &mut Tx, project: ProjectId) -> Result<Vec<Ringed>> {
    tx.sql(sql!(
        "SELECT f.id, f.number FROM find f WHERE f.project_id = $1 AND f.void_at IS NULL AND NOT f.restricted
            AND EXISTS (SELECT 1 FROM ring_set r WHERE r.find_id = f.id) ORDER BY f.sort_key, f.id"
    ))
    .bind(project.0)
    .all()
    .await
}

fn words(rings_mm: &[f64]) -> String {
    serde_json::Value::from(rings_mm.to_vec()).to_string()
}

fn numbers(words: &str) -> Vec<f64> {
    serde_json::from_str(words).unwrap_or_default()
}
