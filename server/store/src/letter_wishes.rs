//! Which kinds of letters a person does without, by the account page or by the link at the foot of a letter.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{PersonId, fresh};
use domain::letters::LetterKind;
use uuid::Uuid;

/// A person and a kind of letter, as the link at the foot of a letter names them.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Wish {
    #[sqlx(try_from = "Uuid")]
    pub person_id: PersonId,
    #[sqlx(try_from = "String")]
    pub kind: LetterKind,
    pub email: String,
    pub stopped_at: Option<Instant>,
}

/// The wish a link stands for.
pub async fn find(tx: &mut Tx, token: &str) -> Result<Option<Wish>> {
    tx.sql(sql!(
        "SELECT w.person_id, w.kind, p.email, w.stopped_at FROM letter_wish w JOIN person p ON p.id = w.person_id
         WHERE w.token = $1"
    ))
    .bind(token.to_owned())
    .opt()
    .await
}

/// Whether a person does without a kind of letter.
pub async fn is_stopped(tx: &mut Tx, person: PersonId, kind: LetterKind) -> Result<bool> {
    let stopped: Option<i64> = tx
        .sql(sql!(
            "SELECT COUNT(*) FROM letter_wish WHERE person_id = $1 AND kind = $2 AND stopped_at IS NOT NULL"
        ))
        .bind(person.0)
        .bind(kind.code())
        .cell()
        .await?;
    Ok(stopped.unwrap_or(0) > 0)
}

#[derive(sqlx::FromRow)]
struct KindRow {
    #[sqlx(try_from = "String")]
    kind: LetterKind,
}

/// The kinds a person does without.
pub async fn list_stopped(tx: &mut Tx, person: PersonId) -> Result<Vec<LetterKind>> {
    let rows: Vec<KindRow> = tx
        .sql(sql!(
            "SELECT kind FROM letter_wish WHERE person_id = $1 AND stopped_at IS NOT NULL ORDER BY kind"
        ))
        .bind(person.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| row.kind).collect())
}

/// Notes that a person does without a kind of letter, or wants it again; whether that changed anything. What of the kind
/// still waits is thrown away.
pub async fn update(
    tx: &mut Tx,
    person: PersonId,
    kind: LetterKind,
    stopped: bool,
    now: Instant,
) -> Result<bool> {
    if is_stopped(tx, person, kind).await? == stopped {
        return Ok(false);
    }
    tx.sql(sql!(
        "INSERT INTO letter_wish (person_id, kind, stopped_at) VALUES ($1, $2, $3)
         ON CONFLICT (person_id, kind) DO UPDATE SET stopped_at = excluded.stopped_at"
    ))
    .bind(person.0)
    .bind(kind.code())
    .bind(stopped.then_some(domain::cut(now)))
    .run()
    .await?;
    if stopped {
        tx.sql(sql!("DELETE FROM letter WHERE person_id = $1 AND kind = $2 AND sent_at IS NULL"))
            .bind(person.0)
            .bind(kind.code())
            .run()
            .await?;
    }
    Ok(true)
}

/// The token of the link for a person and a kind, made when there is none.
///
/// Two random ids after each other: 148 random bits.
pub async fn token(tx: &mut Tx, person: PersonId, kind: LetterKind, now: Instant) -> Result<String> {
    let made = format!("{}{}", fresh(now).simple(), fresh(now).simple());
    tx.sql(sql!(
        "INSERT INTO letter_wish (person_id, kind, token) VALUES ($1, $2, $3)
         ON CONFLICT (person_id, kind) DO UPDATE SET token = COALESCE(letter_wish.token, excluded.token)"
    ))
    .bind(person.0)
    .bind(kind.code())
    .bind(made)
    .run()
    .await?;
    let kept: Option<String> = tx
        .sql(sql!("SELECT token FROM letter_wish WHERE person_id = $1 AND kind = $2"))
        .bind(person.0)
        .bind(kind.code())
        .cell()
        .await?;
    Ok(kept.unwrap_or_default())
}
