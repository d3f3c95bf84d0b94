//! Single-use links in letters: only the hash of a token is kept.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::PersonId;
use domain::people::link::LinkPurpose;
use uuid::Uuid;

/// A link as found by its token, whether it still works or not.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct MailLink {
    #[sqlx(try_from = "Uuid")]
    pub person_id: PersonId,
    #[sqlx(try_from = "String")]
    pub purpose: LinkPurpose,
    pub expires_at: Instant,
    pub used_at: Option<Instant>,
    pub email: String,
    pub name: String,
    pub qualification: String,
}

impl MailLink {
    /// Whether the link works at this moment.
    pub fn works(&self, now: Instant) -> bool {
        self.used_at.is_none() && now < self.expires_at
    }
}

/// Keeps a link; it works for as long as its purpose lasts.
pub async fn insert(
    tx: &mut Tx,
    token_hash: &[u8],
    person: PersonId,
    purpose: LinkPurpose,
    now: Instant,
) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO mail_link (token_hash, person_id, purpose, expires_at, created_at) VALUES ($1, $2, $3, $4, $5)"
    ))
    .bind(token_hash.to_vec())
    .bind(person.0)
    .bind(purpose.code())
    .bind(domain::cut(now + purpose.lasts()))
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(())
}

/// The link of a token and whose it is; none for people who are shut out.
pub async fn find(tx: &mut Tx, token_hash: &[u8]) -> Result<Option<MailLink>> {
    tx.sql(sql!(
        "SELECT l.person_id, l.purpose, l.expires_at, l.used_at, p.email, p.name, p.qualification
         FROM mail_link l JOIN person p ON p.id = l.person_id WHERE l.token_hash = $1 AND p.disabled_at IS NULL"
    ))
    .bind(token_hash.to_vec())
    .opt()
    .await
}

/// Uses a link up; whether it still worked.
pub async fn update_used(tx: &mut Tx, token_hash: &[u8], now: Instant) -> Result<bool> {
    let touched = tx
        .sql(sql!(
            "UPDATE mail_link SET used_at = $2 WHERE token_hash = $1 AND used_at IS NULL AND expires_at > $2"
        ))
        .bind(token_hash.to_vec())
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(touched == 1)
}

/// Ends every link of a person that still works.
pub async fn update_all_used(tx: &mut Tx, person: PersonId, now: Instant) -> Result<()> {
    tx.sql(sql!("UPDATE mail_link SET used_at = $2 WHERE person_id = $1 AND used_at IS NULL"))
        .bind(person.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(())
}

/// How many links of a purpose a person was sent since an instant.
pub async fn count_since(tx: &mut Tx, person: PersonId, purpose: LinkPurpose, since: Instant) -> Result<i64> {
    tx.sql(sql!("SELECT COUNT(*) FROM mail_link WHERE person_id = $1 AND purpose = $2 AND created_at > $3"))
        .bind(person.0)
        .bind(purpose.code())
        .bind(domain::cut(since))
        .cell()
        .await
        .map(Option::unwrap_or_default)
}

/// Forgets the links that ended before an instant.
pub async fn delete_before(tx: &mut Tx, at: Instant) -> Result<u64> {
    tx.sql(sql!("DELETE FROM mail_link WHERE expires_at < $1")).bind(domain::cut(at)).run().await
}
