//! The daily round of letters: at which hour of whose day, and which days were seen to.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::ids::PersonId;
use uuid::Uuid;

/// A person with an account that is open, and the last of their days that was seen to.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Waiting {
    #[sqlx(try_from = "Uuid")]
    pub id: PersonId,
    /// The hour of their choice.
    pub daily_hour: Option<i64>,
    /// The name of their time zone; empty for universal time.
    pub time_zone: String,
    pub last_day: Option<NaiveDate>,
}

/// Everybody with an account that is open.
pub async fn list_waiting(tx: &mut Tx) -> Result<Vec<Waiting>> {
    tx.sql(sql!(
        "SELECT p.id, p.daily_hour, p.time_zone,
            (SELECT MAX(d.day) FROM daily_letter d WHERE d.person_id = p.id) AS last_day
         FROM person p WHERE p.disabled_at IS NULL ORDER BY p.id"
    ))
    .all()
    .await
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

#[derive(sqlx::FromRow)]
struct HourRow {
    daily_hour: Option<i64>,
    time_zone: String,
}

/// The hour a person chose, and their time zone; empty for universal time.
pub async fn find_hour(tx: &mut Tx, person: PersonId) -> Result<(Option<i64>, String)> {
    let row: Option<HourRow> =
        tx.sql(sql!("SELECT daily_hour, time_zone FROM person WHERE id = $1")).bind(person.0).opt().await?;
    Ok(row.map(|row| (row.daily_hour, row.time_zone)).unwrap_or_default())
}

/// Notes at which hour of which zone a person wants the daily letter.
pub async fn update_hour(tx: &mut Tx, person: PersonId, hour: u32, zone: &str) -> Result<()> {
    tx.sql(sql!("UPDATE person SET daily_hour = $2, time_zone = $3 WHERE id = $1"))
        .bind(person.0)
        .bind(i64::from(hour))
        .bind(zone.to_owned())
        .run()
        .await?;
    Ok(())
}

/// Forgets days long past.
pub async fn delete_before(tx: &mut Tx, day: NaiveDate) -> Result<u64> {
    tx.sql(sql!("DELETE FROM daily_letter WHERE day < $1")).bind(day).run().await
}
