//! The daily letter: who wants it, and on which days it was seen to.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::ids::PersonId;
use uuid::Uuid;

#[derive(sqlx::FromRow)]
struct Waiting {
    #[sqlx(try_from = "Uuid")]
    id: PersonId,
}

/// People with an account in use who want the letter and whose day has not been seen to.
pub async fn list_waiting(tx: &mut Tx, day: NaiveDate) -> Result<Vec<PersonId>> {
    let people: Vec<Waiting> = tx
        .sql(sql!(
            "SELECT p.id FROM person p
             WHERE p.disabled_at IS NULL AND p.password_hash IS NOT NULL AND p.wants_daily
                AND NOT EXISTS (SELECT 1 FROM daily_letter d WHERE d.person_id = p.id AND d.day = $1)
             ORDER BY p.id"
        ))
        .bind(day)
        .all()
        .await?;
    Ok(people.into_iter().map(|person| person.id).collect())
}

/// Takes a person's day for this transaction; `false` when somebody took it before.
pub async fn take(tx: &mut Tx, person: PersonId, day: NaiveDate) -> Result<bool> {
    let touched = tx
        .sql(sql!("INSERT INTO daily_letter (person_id, day) VALUES ($1, $2) ON CONFLICT DO NOTHING"))
        .bind(person.0)
        .bind(day)
        .run()
        .await?;
    Ok(touched == 1)
}

/// Whether a person wants the letter.
pub async fn find_wish(tx: &mut Tx, person: PersonId) -> Result<bool> {
    let wish: Option<bool> =
        tx.sql(sql!("SELECT wants_daily FROM person WHERE id = $1")).bind(person.0).cell().await?;
    Ok(wish.unwrap_or(false))
}

/// Notes whether a person wants the letter.
pub async fn update_wish(tx: &mut Tx, person: PersonId, wanted: bool) -> Result<()> {
    tx.sql(sql!("UPDATE person SET wants_daily = $2 WHERE id = $1"))
        .bind(person.0)
        .bind(wanted)
        .run()
        .await?;
    Ok(())
}

/// Forgets days long past.
pub async fn delete_before(tx: &mut Tx, day: NaiveDate) -> Result<u64> {
    tx.sql(sql!("DELETE FROM daily_letter WHERE day < $1")).bind(day).run().await
}
