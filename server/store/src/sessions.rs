//! Sessions: only the hash of a token is kept.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{PersonId, TabletId};
use uuid::Uuid;

/// A session as found by its token.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Session {
    #[sqlx(try_from = "Uuid")]
    pub person_id: PersonId,
    pub form_token: String,
    pub last_seen_at: Instant,
    /// The shared tablet it was opened on.
    pub tablet_id: Option<Uuid>,
    /// Opened by a PIN.
    pub bench_only: bool,
}

/// A session to be kept.
pub struct NewSession<'a> {
    pub token_hash: &'a [u8],
    pub person: PersonId,
    pub form_token: &'a str,
    /// The absolute end, however busy the session is.
    pub expires_at: Instant,
}

/// Keeps a session.
pub async fn insert(tx: &mut Tx, session: &NewSession<'_>, now: Instant) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO session (token_hash, person_id, form_token, created_at, last_seen_at, expires_at)
         VALUES ($1, $2, $3, $4, $4, $5)"
    ))
    .bind(session.token_hash.to_vec())
    .bind(session.person.0)
    .bind(session.form_token.to_owned())
    .bind(domain::cut(now))
    .bind(domain::cut(session.expires_at))
    .run()
    .await?;
    note_here(tx, session.token_hash, now).await
}

/// Binds a session to the shared tablet it is on; `bench_only` when a PIN opened it.
pub async fn update_tablet(tx: &mut Tx, token_hash: &[u8], tablet: TabletId, bench_only: bool) -> Result<()> {
    tx.sql(sql!("UPDATE session SET tablet_id = $2, bench_only = $3 WHERE token_hash = $1"))
        .bind(token_hash.to_vec())
        .bind(tablet.0)
        .bind(bench_only)
        .run()
        .await?;
    Ok(())
}

/// The session of a token, unless it ended, idled past `idle_since`, its person was shut out, or its tablet is shared no more.
pub async fn find(
    tx: &mut Tx,
    token_hash: &[u8],
    now: Instant,
    idle_since: Instant,
) -> Result<Option<Session>> {
    tx.sql(sql!(
        "SELECT s.person_id, s.form_token, s.last_seen_at, s.tablet_id, s.bench_only
         FROM session s JOIN person p ON p.id = s.person_id LEFT JOIN tablet t ON t.id = s.tablet_id
         WHERE s.token_hash = $1 AND s.expires_at > $2 AND s.last_seen_at > $3 AND p.disabled_at IS NULL
            AND t.ended_at IS NULL"
    ))
    .bind(token_hash.to_vec())
    .bind(domain::cut(now))
    .bind(domain::cut(idle_since))
    .opt()
    .await
}

/// Notes that a session is in use.
pub async fn update_seen(tx: &mut Tx, token_hash: &[u8], now: Instant) -> Result<()> {
    tx.sql(sql!("UPDATE session SET last_seen_at = $2 WHERE token_hash = $1"))
        .bind(token_hash.to_vec())
        .bind(domain::cut(now))
        .run()
        .await?;
    note_here(tx, token_hash, now).await
}

async fn note_here(tx: &mut Tx, token_hash: &[u8], now: Instant) -> Result<()> {
    tx.sql(sql!(
        "UPDATE person SET last_here_at = $2 WHERE id = (SELECT person_id FROM session WHERE token_hash = $1)"
    ))
    .bind(token_hash.to_vec())
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(())
}

/// Ends one session.
pub async fn delete(tx: &mut Tx, token_hash: &[u8]) -> Result<()> {
    tx.sql(sql!("DELETE FROM session WHERE token_hash = $1")).bind(token_hash.to_vec()).run().await?;
    Ok(())
}

/// Ends every session of a person.
pub async fn delete_all(tx: &mut Tx, person: PersonId) -> Result<u64> {
    tx.sql(sql!("DELETE FROM session WHERE person_id = $1")).bind(person.0).run().await
}

/// Ends the sessions a PIN opened for a person, on whatever tablet.
pub async fn delete_by_pin(tx: &mut Tx, person: PersonId) -> Result<u64> {
    tx.sql(sql!("DELETE FROM session WHERE person_id = $1 AND bench_only")).bind(person.0).run().await
}

/// Ends every session of a person but one.
pub async fn delete_others(tx: &mut Tx, person: PersonId, kept: &[u8]) -> Result<u64> {
    tx.sql(sql!("DELETE FROM session WHERE person_id = $1 AND token_hash <> $2"))
        .bind(person.0)
        .bind(kept.to_vec())
        .run()
        .await
}

/// How many living sessions a person has.
pub async fn count_living(tx: &mut Tx, person: PersonId, now: Instant, idle_since: Instant) -> Result<i64> {
    tx.sql(sql!(
        "SELECT COUNT(*) FROM session WHERE person_id = $1 AND expires_at > $2 AND last_seen_at > $3"
    ))
    .bind(person.0)
    .bind(domain::cut(now))
    .bind(domain::cut(idle_since))
    .cell()
    .await
    .map(Option::unwrap_or_default)
}

/// Forgets the sessions that ended by themselves.
pub async fn delete_ended(tx: &mut Tx, now: Instant, idle_since: Instant) -> Result<u64> {
    tx.sql(sql!("DELETE FROM session WHERE expires_at <= $1 OR last_seen_at <= $2"))
        .bind(domain::cut(now))
        .bind(domain::cut(idle_since))
        .run()
        .await
}
