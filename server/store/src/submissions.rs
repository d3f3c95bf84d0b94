//! The same form sent twice is one record.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{PersonId, SubmissionId};

/// Where the first sending of this form led, if it was sent before by this person.
pub async fn find_reply(tx: &mut Tx, id: SubmissionId, person: PersonId) -> Result<Option<String>> {
    tx.sql(sql!("SELECT reply FROM submission WHERE id = $1 AND person_id = $2"))
        .bind(id.0)
        .bind(person.0)
        .cell()
        .await
}

/// Notes that this form has been dealt with and where it led. `Taken` when a twin was faster.
pub async fn insert(
    tx: &mut Tx,
    id: SubmissionId,
    person: PersonId,
    reply: &str,
    now: Instant,
) -> Result<()> {
    tx.sql(sql!("INSERT INTO submission (id, person_id, reply, made_at) VALUES ($1, $2, $3, $4)"))
        .bind(id.0)
        .bind(person.0)
        .bind(reply.to_owned())
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(())
}

/// Forgets the forms sent before an instant: nobody sends them again.
pub async fn delete_before(tx: &mut Tx, at: Instant) -> Result<u64> {
    tx.sql(sql!("DELETE FROM submission WHERE made_at < $1")).bind(domain::cut(at)).run().await
}
