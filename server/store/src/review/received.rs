//! Opinions that came on paper or by mail: kept with their original, entered for their author, confirmed by the author.
use super::content;
use super::opinions::{NewOpinion, insert_row};
use crate::{Result, StoreError, Tx, sql};
use chrono::{Duration, NaiveDate};
use domain::Instant;
use domain::ids::{FindId, OpinionId, PersonId, ProjectId, ReceivedId};
use domain::review::{CONFIRMATION_DAYS, CameAs};
use uuid::Uuid;

/// One that has come, to be kept with its original.
#[derive(Debug, Clone)]
pub struct NewReceived {
    pub find: FindId,
    pub author: PersonId,
    pub came_as: CameAs,
    pub came_on: NaiveDate,
    pub sha256: String,
    pub file_name: String,
    pub bytes: i64,
}

/// One that has come, as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Received {
    #[sqlx(try_from = "Uuid")]
    pub id: ReceivedId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    #[sqlx(try_from = "Uuid")]
    pub author_id: PersonId,
    pub author_name: String,
    pub author_email: String,
    #[sqlx(try_from = "String")]
    pub came_as: CameAs,
    pub came_on: NaiveDate,
    pub sha256: String,
    pub file_name: String,
    pub bytes: i64,
    pub kept_by: String,
    pub kept_at: Instant,
    pub fields: String,
    pub entered_at: Option<Instant>,
}

/// Keeps one that has come.
pub async fn insert(tx: &mut Tx, new: &NewReceived, by: PersonId, now: Instant) -> Result<ReceivedId> {
    let id = ReceivedId::new(now);
    tx.sql(sql!(
        "INSERT INTO received_opinion (id, find_id, author_id, came_as, came_on, sha256, file_name, bytes, kept_by,
            kept_at, fields)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, '')"
    ))
    .bind(id.0)
    .bind(new.find.0)
    .bind(new.author.0)
    .bind(new.came_as.code())
    .bind(new.came_on)
    .bind(new.sha256.clone())
    .bind(new.file_name.clone())
    .bind(new.bytes)
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// The one of an id; whoever asks must be asked for its find.
pub async fn find(tx: &mut Tx, id: ReceivedId) -> Result<Option<Received>> {
    tx.sql(sql!(
        "SELECT r.id, r.find_id, r.author_id, a.name AS author_name, a.email AS author_email, r.came_as, r.came_on,
            r.sha256, r.file_name, r.bytes, k.name AS kept_by, r.kept_at, r.fields, r.entered_at
         FROM received_opinion r JOIN person a ON a.id = r.author_id JOIN person k ON k.id = r.kept_by WHERE r.id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// Keeps the draft as typed.
pub async fn update_draft(tx: &mut Tx, id: ReceivedId, fields: &str) -> Result<()> {
    tx.sql(sql!("UPDATE received_opinion SET fields = $2 WHERE id = $1 AND entered_at IS NULL"))
        .bind(id.0)
        .bind(fields.to_owned())
        .run()
        .await?;
    Ok(())
}

/// Enters the opinion on each of its finds, unconfirmed; `Changed` when it was entered before. Only what was entered for
/// the author earlier and not confirmed is superseded.
pub async fn enter(
    tx: &mut Tx,
    id: ReceivedId,
    new: &[NewOpinion],
    author: PersonId,
    now: Instant,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE received_opinion SET fields = '', entered_at = $2 WHERE id = $1 AND entered_at IS NULL"
        ))
        .bind(id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    if touched != 1 {
        return Err(StoreError::Changed);
    }
    for one in new {
        tx.sql(sql!(
            "UPDATE opinion SET superseded_at = $3 WHERE find_id = $1 AND author_id = $2 AND superseded_at IS NULL
                AND received_id IS NOT NULL AND confirmed_at IS NULL"
        ))
        .bind(one.find.0)
        .bind(author.0)
        .bind(domain::cut(now))
        .run()
        .await?;
        let entered = insert_row(tx, one, author, now).await?;
        tx.sql(sql!("UPDATE opinion SET received_id = $2 WHERE id = $1"))
            .bind(entered.0)
            .bind(id.0)
            .run()
            .await?;
        content::insert(tx, entered, &one.content.parts).await?;
        crate::finds::refresh_search(tx, one.find).await?;
    }
    Ok(())
}

/// An opinion that waits for its author.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Waiting {
    #[sqlx(try_from = "Uuid")]
    pub opinion_id: OpinionId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub project_code: String,
    pub project_name: String,
    pub number: String,
}

/// What of one that has come still waits for its author: on each find that it covers, by number.
pub async fn list_waiting(tx: &mut Tx, id: ReceivedId) -> Result<Vec<Waiting>> {
    tx.sql(sql!(
        "SELECT o.id AS opinion_id, f.id AS find_id, f.project_id, p.code AS project_code, p.name AS project_name, f.number
         FROM opinion o JOIN find f ON f.id = o.find_id JOIN project p ON p.id = f.project_id
         WHERE o.received_id = $1 AND o.confirmed_at IS NULL AND o.superseded_at IS NULL ORDER BY f.sort_key, f.id"
    ))
    .bind(id.0)
    .all()
    .await
}

/// Confirms what was entered, as it stands; what its author said before is superseded by it.
pub async fn update_confirmed(tx: &mut Tx, waiting: &Waiting, author: PersonId, now: Instant) -> Result<()> {
    tx.sql(sql!(
        "UPDATE opinion SET superseded_at = $4
         WHERE find_id = $1 AND author_id = $2 AND id <> $3 AND superseded_at IS NULL"
    ))
    .bind(waiting.find_id.0)
    .bind(author.0)
    .bind(waiting.opinion_id.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    tx.sql(sql!("UPDATE opinion SET confirmed_at = $2 WHERE id = $1"))
        .bind(waiting.opinion_id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    crate::finds::refresh_search(tx, waiting.find_id).await
}

/// Keeps a link by which the author confirms; earlier ones end.
pub async fn insert_link(tx: &mut Tx, token_hash: &[u8], id: ReceivedId, now: Instant) -> Result<()> {
    tx.sql(sql!("UPDATE confirmation_link SET used_at = $2 WHERE received_id = $1 AND used_at IS NULL"))
        .bind(id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    tx.sql(sql!(
        "INSERT INTO confirmation_link (token_hash, received_id, expires_at, created_at) VALUES ($1, $2, $3, $4)"
    ))
    .bind(token_hash.to_vec())
    .bind(id.0)
    .bind(domain::cut(now + Duration::days(CONFIRMATION_DAYS)))
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(())
}

#[derive(sqlx::FromRow)]
struct Linked {
    #[sqlx(try_from = "Uuid")]
    received_id: ReceivedId,
}

/// What a link that still works leads to.
pub async fn find_linked(tx: &mut Tx, token_hash: &[u8], now: Instant) -> Result<Option<ReceivedId>> {
    let linked: Option<Linked> = tx
        .sql(sql!(
            "SELECT received_id FROM confirmation_link WHERE token_hash = $1 AND used_at IS NULL AND expires_at > $2"
        ))
        .bind(token_hash.to_vec())
        .bind(domain::cut(now))
        .opt()
        .await?;
    Ok(linked.map(|linked| linked.received_id))
}

/// Uses a link up; whether it still worked.
pub async fn update_link_used(tx: &mut Tx, token_hash: &[u8], now: Instant) -> Result<bool> {
    let touched = tx
        .sql(sql!(
            "UPDATE confirmation_link SET used_at = $2 WHERE token_hash = $1 AND used_at IS NULL AND expires_at > $2"
        ))
        .bind(token_hash.to_vec())
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(touched == 1)
}

/// One that has come and is not entered yet.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Unentered {
    #[sqlx(try_from = "Uuid")]
    pub id: ReceivedId,
    pub number: String,
    pub author_name: String,
    #[sqlx(try_from = "String")]
    pub came_as: CameAs,
    pub kept_at: Instant,
    pub restricted: bool,
}

/// What has come to a project and is not entered yet, the oldest first.
pub async fn list_unentered(tx: &mut Tx, project: ProjectId, most: i64) -> Result<Vec<Unentered>> {
    tx.sql(sql!(
        "SELECT r.id, f.number, a.name AS author_name, r.came_as, r.kept_at, f.restricted
         FROM find f JOIN received_opinion r ON r.find_id = f.id JOIN person a ON a.id = r.author_id
         WHERE f.project_id = $1 AND r.entered_at IS NULL AND f.void_at IS NULL ORDER BY r.kept_at, r.id LIMIT $2"
    ))
    .bind(project.0)
    .bind(most)
    .all()
    .await
}
