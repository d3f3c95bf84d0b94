//! Letters wait in the database, queued in the same transaction as the event they tell of.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::LetterId;
use uuid::Uuid;

/// A letter to be sent.
#[derive(Debug, Clone)]
pub struct NewLetter {
    pub to_address: String,
    pub to_name: String,
    pub subject: String,
    /// Plain text.
    pub body: String,
}

/// A letter taken for sending.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Letter {
    #[sqlx(try_from = "Uuid")]
    pub id: LetterId,
    pub to_address: String,
    pub to_name: String,
    pub subject: String,
    pub body: String,
    pub attempts: i64,
}

/// Queues a letter.
pub async fn insert(tx: &mut Tx, letter: &NewLetter, now: Instant) -> Result<LetterId> {
    let id = LetterId::new(now);
    tx.sql(sql!(
        "INSERT INTO letter (id, to_address, to_name, subject, body, queued_at, next_attempt_at, attempts)
         VALUES ($1, $2, $3, $4, $5, $6, $6, 0)"
    ))
    .bind(id.0)
    .bind(letter.to_address.clone())
    .bind(letter.to_name.clone())
    .bind(letter.subject.clone())
    .bind(letter.body.clone())
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// Takes the next due letter and sets its next attempt to `lease_until`, so that nobody else takes it meanwhile. The
/// conditions stand twice: PostgreSQL asks the outer ones again once it has waited for another taker.
pub async fn take_due(tx: &mut Tx, now: Instant, lease_until: Instant) -> Result<Option<Letter>> {
    tx.sql(sql!(
        "UPDATE letter SET attempts = attempts + 1, next_attempt_at = $2
         WHERE id = (SELECT id FROM letter WHERE sent_at IS NULL AND given_up_at IS NULL AND next_attempt_at <= $1
                     ORDER BY next_attempt_at LIMIT 1)
           AND sent_at IS NULL AND given_up_at IS NULL AND next_attempt_at <= $1
         RETURNING id, to_address, to_name, subject, body, attempts"
    ))
    .bind(domain::cut(now))
    .bind(domain::cut(lease_until))
    .opt()
    .await
}

/// Marks a letter as sent. Its words go: they may hold a link that lets somebody in.
pub async fn update_sent(tx: &mut Tx, id: LetterId, now: Instant) -> Result<()> {
    tx.sql(sql!("UPDATE letter SET sent_at = $2, last_error = NULL, body = '' WHERE id = $1"))
        .bind(id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(())
}

/// Notes why a letter was not sent; with `retry_at` it is tried again, without it is given up.
pub async fn update_failed(
    tx: &mut Tx,
    id: LetterId,
    cause: &str,
    retry_at: Option<Instant>,
    now: Instant,
) -> Result<()> {
    let given_up = retry_at.is_none().then_some(domain::cut(now));
    tx.sql(sql!("UPDATE letter SET last_error = $2, given_up_at = $3, next_attempt_at = $4 WHERE id = $1"))
        .bind(id.0)
        .bind(cause.to_owned())
        .bind(given_up)
        .bind(domain::cut(retry_at.unwrap_or(now)))
        .run()
        .await?;
    Ok(())
}

/// A letter that has not gone out, without its words.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Unsent {
    #[sqlx(try_from = "Uuid")]
    pub id: LetterId,
    pub to_address: String,
    pub to_name: String,
    pub subject: String,
    pub queued_at: Instant,
    pub next_attempt_at: Instant,
    pub attempts: i64,
    pub given_up_at: Option<Instant>,
    pub last_error: Option<String>,
}

/// The letters that have not gone out, those given up first.
pub async fn list_unsent(tx: &mut Tx, most: i64) -> Result<Vec<Unsent>> {
    tx.sql(sql!(
        "SELECT id, to_address, to_name, subject, queued_at, next_attempt_at, attempts, given_up_at, last_error
         FROM letter WHERE sent_at IS NULL ORDER BY CASE WHEN given_up_at IS NULL THEN 1 ELSE 0 END, queued_at LIMIT $1"
    ))
    .bind(most)
    .all()
    .await
}

/// How many letters failed at least once and have not gone out.
pub async fn count_failed(tx: &mut Tx) -> Result<i64> {
    tx.sql(sql!("SELECT COUNT(*) FROM letter WHERE sent_at IS NULL AND last_error IS NOT NULL"))
        .cell()
        .await
        .map(Option::unwrap_or_default)
}

/// Has an unsent letter tried again now, with all its attempts before it.
pub async fn update_again(tx: &mut Tx, id: LetterId, now: Instant) -> Result<()> {
    tx.sql(sql!(
        "UPDATE letter SET given_up_at = NULL, attempts = 0, next_attempt_at = $2 WHERE id = $1 AND sent_at IS NULL"
    ))
    .bind(id.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(())
}

/// Throws an unsent letter away.
pub async fn delete_unsent(tx: &mut Tx, id: LetterId) -> Result<()> {
    tx.sql(sql!("DELETE FROM letter WHERE id = $1 AND sent_at IS NULL")).bind(id.0).run().await?;
    Ok(())
}
