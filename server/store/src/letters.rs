//! Letters wait in the database, queued in the same transaction as the event they tell of.
use crate::{Result, Tx, letter_wishes, sql};
use domain::Instant;
use domain::ids::{LetterId, PersonId};
use domain::letters::LetterKind;
use uuid::Uuid;

/// A letter to be sent.
#[derive(Debug, Clone)]
pub struct NewLetter {
    pub kind: LetterKind,
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
    pub queued_at: Instant,
    #[sqlx(try_from = "String")]
    pub kind: LetterKind,
    /// The account of the address, where it has one.
    pub person_id: Option<Uuid>,
}

impl Letter {
    /// The token of the link by which its reader stops letters of its kind; none where they cannot be stopped.
    pub async fn stop_token(&self, tx: &mut Tx, now: Instant) -> Result<Option<String>> {
        match self.person_id.filter(|_| self.kind.may_be_stopped()) {
            Some(person) => letter_wishes::token(tx, PersonId(person), self.kind, now).await.map(Some),
            None => Ok(None),
        }
    }
}

/// Queues a letter; none where its reader does without letters of that kind.
pub async fn insert(tx: &mut Tx, letter: &NewLetter, now: Instant) -> Result<Option<LetterId>> {
    let person: Option<Uuid> =
        tx.sql(sql!("SELECT id FROM person WHERE email = $1")).bind(letter.to_address.clone()).cell().await?;
    if let Some(person) = person
        && letter.kind.may_be_stopped()
        && letter_wishes::is_stopped(tx, PersonId(person), letter.kind).await?
    {
        return Ok(None);
    }
    let id = LetterId::new(now);
    tx.sql(sql!(
        "INSERT INTO letter (id, to_address, to_name, subject, body, queued_at, next_attempt_at, attempts, kind, person_id)
         VALUES ($1, $2, $3, $4, $5, $6, $6, 0, $7, $8)"
    ))
    .bind(id.0)
    .bind(letter.to_address.clone())
    .bind(letter.to_name.clone())
    .bind(letter.subject.clone())
    .bind(letter.body.clone())
    .bind(domain::cut(now))
    .bind(letter.kind.code())
    .bind(person)
    .run()
    .await?;
    Ok(Some(id))
}

/// Takes the next due letter and sets its next attempt to `lease_until`, so that nobody else takes it meanwhile. The
/// conditions stand twice: PostgreSQL asks the outer ones again once it has waited for another taker.
pub async fn take_due(tx: &mut Tx, now: Instant, lease_until: Instant) -> Result<Option<Letter>> {
    tx.sql(sql!(
        "UPDATE letter SET attempts = attempts + 1, next_attempt_at = $2
         WHERE id = (SELECT id FROM letter WHERE sent_at IS NULL AND given_up_at IS NULL AND next_attempt_at <= $1
                     ORDER BY next_attempt_at LIMIT 1)
           AND sent_at IS NULL AND given_up_at IS NULL AND next_attempt_at <= $1
         RETURNING id, to_address, to_name, subject, body, attempts, queued_at, kind, person_id"
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
    #[sqlx(try_from = "String")]
    pub kind: LetterKind,
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
        "SELECT id, kind, to_address, to_name, subject, queued_at, next_attempt_at, attempts, given_up_at, last_error
         FROM letter WHERE sent_at IS NULL ORDER BY CASE WHEN given_up_at IS NULL THEN 1 ELSE 0 END, queued_at LIMIT $1"
    ))
    .bind(most)
    .all()
    .await
}

/// A letter that went out, without its words.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Sent {
    #[sqlx(try_from = "String")]
    pub kind: LetterKind,
    pub to_address: String,
    pub to_name: String,
    pub subject: String,
    pub sent_at: Instant,
    pub attempts: i64,
}

/// The letters that went out last, the latest first.
pub async fn list_sent(tx: &mut Tx, most: i64) -> Result<Vec<Sent>> {
    tx.sql(sql!(
        "SELECT kind, to_address, to_name, subject, sent_at, attempts
         FROM letter WHERE sent_at IS NOT NULL ORDER BY sent_at DESC, id DESC LIMIT $1"
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
