//! Finds judged residual or intrusive in their context. A judgement is never changed, only withdrawn.
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{ContextId, FindId, JudgementId, PersonId, ProjectId};
use domain::review::Origin;
use uuid::Uuid;

/// A judgement as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Judgement {
    #[sqlx(try_from = "Uuid")]
    pub id: JudgementId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub number: String,
    #[sqlx(try_from = "Uuid")]
    pub context_id: ContextId,
    #[sqlx(try_from = "String")]
    pub origin: Origin,
    pub reason: String,
    pub judged_by: String,
    pub judged_at: Instant,
    pub withdrawn_by: Option<String>,
    pub withdrawn_at: Option<Instant>,
    pub withdrawn_why: Option<String>,
}

/// A standing judgement as a report prints it.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Judged {
    pub number: String,
    pub context_number: String,
    #[sqlx(try_from = "String")]
    pub origin: Origin,
    pub reason: String,
    pub judged_by: String,
    pub judged_at: Instant,
}

/// A judgement to be made.
#[derive(Debug, Clone)]
pub struct NewJudgement {
    pub find: FindId,
    pub context: ContextId,
    pub origin: Origin,
    pub reason: String,
}

/// Judges a find; `Taken` while another judgement of it in that context stands.
pub async fn insert(tx: &mut Tx, new: &NewJudgement, by: PersonId, now: Instant) -> Result<JudgementId> {
    let id = JudgementId::new(now);
    tx.sql(sql!(
        "INSERT INTO judgement (id, find_id, context_id, origin, reason, judged_by, judged_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7)"
    ))
    .bind(id.0)
    .bind(new.find.0)
    .bind(new.context.0)
    .bind(new.origin.code())
    .bind(new.reason.clone())
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// Withdraws a judgement; `Changed` when it was withdrawn before.
pub async fn update_withdrawn(
    tx: &mut Tx,
    id: JudgementId,
    why: &str,
    by: PersonId,
    now: Instant,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE judgement SET withdrawn_by = $2, withdrawn_at = $3, withdrawn_why = $4
             WHERE id = $1 AND withdrawn_at IS NULL"
        ))
        .bind(id.0)
        .bind(by.0)
        .bind(domain::cut(now))
        .bind(why.to_owned())
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// The judgement of an id.
pub async fn find(tx: &mut Tx, id: JudgementId) -> Result<Option<Judgement>> {
    tx.sql(sql!(
        "SELECT j.id, j.find_id, f.number, j.context_id, j.origin, j.reason, p.name AS judged_by, j.judged_at,
            w.name AS withdrawn_by, j.withdrawn_at, j.withdrawn_why
         FROM judgement j JOIN find f ON f.id = j.find_id JOIN person p ON p.id = j.judged_by
         LEFT JOIN person w ON w.id = j.withdrawn_by WHERE j.id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// The judgements of finds in a context, withdrawn ones among them, the newest first; of restricted finds where asked.
pub async fn list_of_context(
    tx: &mut Tx,
    context: ContextId,
    restricted_too: bool,
) -> Result<Vec<Judgement>> {
    tx.sql(sql!(
        "SELECT j.id, j.find_id, f.number, j.context_id, j.origin, j.reason, p.name AS judged_by, j.judged_at,
            w.name AS withdrawn_by, j.withdrawn_at, j.withdrawn_why
         FROM judgement j JOIN find f ON f.id = j.find_id JOIN person p ON p.id = j.judged_by
         LEFT JOIN person w ON w.id = j.withdrawn_by
         WHERE j.context_id = $1 AND ($2 OR NOT f.restricted) ORDER BY j.judged_at DESC, j.id DESC"
    ))
    .bind(context.0)
    .bind(restricted_too)
    .all()
    .await
}

/// The standing judgements of finds of a project that may be printed, by find, in the context they lie in now.
pub async fn list_of_project(tx: &mut Tx, project: ProjectId) -> Result<Vec<Judged>> {
    tx.sql(sql!(
        "SELECT f.number, c.number AS context_number, j.origin, j.reason, p.name AS judged_by, j.judged_at
         FROM judgement j JOIN find f ON f.id = j.find_id AND f.context_id = j.context_id
         JOIN context c ON c.id = j.context_id JOIN person p ON p.id = j.judged_by
         WHERE f.project_id = $1 AND j.withdrawn_at IS NULL AND NOT f.restricted AND f.void_at IS NULL
         ORDER BY f.sort_key, f.id"
    ))
    .bind(project.0)
    .all()
    .await
}

/// A find set aside where it lies now.
#[derive(Debug, Clone, Copy, sqlx::FromRow)]
pub struct SetAside {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    #[sqlx(try_from = "String")]
    pub origin: Origin,
}

/// The finds of a project that a standing judgement sets aside in the context they lie in now.
pub async fn list_set_aside(tx: &mut Tx, project: ProjectId) -> Result<Vec<SetAside>> {
    tx.sql(sql!(
        "SELECT j.find_id, j.origin FROM judgement j
         JOIN find f ON f.id = j.find_id AND f.context_id = j.context_id
         WHERE f.project_id = $1 AND j.withdrawn_at IS NULL"
    ))
    .bind(project.0)
    .all()
    .await
}
