//! Questions and answers on a find between a specialist and the project's people.
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{FindId, ImageId, PersonId, ProjectId, ThreadLineId};
use domain::review::asking::LineKind;
use uuid::Uuid;

/// A line to be written.
#[derive(Debug, Clone)]
pub struct NewLine {
    pub find: FindId,
    /// Whose thread it is.
    pub specialist: PersonId,
    pub kind: LineKind,
    pub words: String,
    pub image: Option<ImageId>,
    /// The line that it answers.
    pub answers: Option<ThreadLineId>,
}

/// A line as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Line {
    #[sqlx(try_from = "Uuid")]
    pub id: ThreadLineId,
    #[sqlx(try_from = "Uuid")]
    pub specialist_id: PersonId,
    pub specialist_name: String,
    #[sqlx(try_from = "String")]
    pub kind: LineKind,
    pub words: String,
    pub image_id: Option<Uuid>,
    pub answers_id: Option<Uuid>,
    #[sqlx(try_from = "Uuid")]
    pub written_by: PersonId,
    pub by_name: String,
    pub written_at: Instant,
    pub answered_at: Option<Instant>,
}

impl Line {
    /// Whether somebody is still to answer it.
    pub fn is_open(&self) -> bool {
        self.kind.asks() && self.answered_at.is_none()
    }
}

/// Writes a line. One that answers closes the line it answers, which must be of the same thread and open: `Changed`
/// where somebody else was quicker.
pub async fn insert(tx: &mut Tx, new: &NewLine, by: PersonId, now: Instant) -> Result<ThreadLineId> {
    if let Some(answered) = new.answers {
        let touched = tx
            .sql(sql!(
                "UPDATE thread_line SET answered_at = $4
                 WHERE id = $1 AND find_id = $2 AND specialist_id = $3 AND answered_at IS NULL"
            ))
            .bind(answered.0)
            .bind(new.find.0)
            .bind(new.specialist.0)
            .bind(domain::cut(now))
            .run()
            .await?;
        if touched != 1 {
            return Err(StoreError::Changed);
        }
    }
    let id = ThreadLineId::new(now);
    tx.sql(sql!(
        "INSERT INTO thread_line (id, find_id, specialist_id, kind, words, image_id, answers_id, written_by, written_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)"
    ))
    .bind(id.0)
    .bind(new.find.0)
    .bind(new.specialist.0)
    .bind(new.kind.code())
    .bind(new.words.clone())
    .bind(new.image.map(Uuid::from))
    .bind(new.answers.map(Uuid::from))
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// Every line on a find, thread by thread, the oldest first.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Line>> {
    tx.sql(sql!(
        "SELECT l.id, l.specialist_id, s.name AS specialist_name, l.kind, l.words, l.image_id, l.answers_id,
            l.written_by, w.name AS by_name, l.written_at, l.answered_at
         FROM thread_line l JOIN person s ON s.id = l.specialist_id JOIN person w ON w.id = l.written_by
         WHERE l.find_id = $1 ORDER BY s.name, s.id, l.written_at, CASE WHEN l.kind = 'word' THEN 1 ELSE 0 END, l.id"
    ))
    .bind(find.0)
    .all()
    .await
}

/// How many lines on a find wait for an answer.
pub async fn count_open(tx: &mut Tx, find: FindId) -> Result<i64> {
    let count = tx
        .sql(sql!(
            "SELECT COUNT(*) FROM thread_line WHERE find_id = $1 AND answered_at IS NULL AND kind <> 'word'"
        ))
        .bind(find.0)
        .cell()
        .await?;
    Ok(count.unwrap_or(0))
}

/// A line that waits for an answer, with the find it is about.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Open {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub number: String,
    pub object_type: String,
    #[sqlx(try_from = "String")]
    pub kind: LineKind,
    pub words: String,
    pub specialist_name: String,
    pub written_at: Instant,
}

/// What specialists ask in a project and nobody has answered, the oldest first.
pub async fn list_open(
    tx: &mut Tx,
    project: ProjectId,
    restricted_too: bool,
    most: i64,
) -> Result<Vec<Open>> {
    tx.sql(sql!(
        "SELECT f.id AS find_id, f.number, f.object_type, l.kind, l.words, s.name AS specialist_name, l.written_at
         FROM thread_line l JOIN find f ON f.id = l.find_id JOIN person s ON s.id = l.specialist_id
         WHERE f.project_id = $1 AND l.answered_at IS NULL AND l.kind <> 'word' AND ($2 OR NOT f.restricted)
         ORDER BY l.written_at, l.id LIMIT $3"
    ))
    .bind(project.0)
    .bind(restricted_too)
    .bind(most)
    .all()
    .await
}

/// Somebody to whom a letter about a specialist's line goes.
#[derive(Debug, Clone, PartialEq, Eq, sqlx::FromRow)]
pub struct Reader {
    pub email: String,
    pub name: String,
}

/// Who is told of a specialist's line: whoever sent the find to them, and who has it on the bench.
pub async fn list_readers(tx: &mut Tx, find: FindId, specialist: PersonId) -> Result<Vec<Reader>> {
    tx.sql(sql!(
        "SELECT DISTINCT p.email, p.name FROM person p WHERE p.disabled_at IS NULL AND (
            p.id IN (SELECT a.made_by FROM shared_find s JOIN assignment a ON a.id = s.assignment_id
                     WHERE s.find_id = $1 AND s.specialist_id = $2)
            OR p.id IN (SELECT f.assignee_id FROM find f WHERE f.id = $1))
         ORDER BY p.name, p.email"
    ))
    .bind(find.0)
    .bind(specialist.0)
    .all()
    .await
}

/// The specialists who see a find and could be written to.
pub async fn list_specialists(tx: &mut Tx, find: FindId) -> Result<Vec<crate::people::Colleague>> {
    tx.sql(sql!(
        "SELECT DISTINCT p.id, p.name FROM shared_find s JOIN person p ON p.id = s.specialist_id
         WHERE s.find_id = $1 AND p.disabled_at IS NULL ORDER BY p.name, p.id"
    ))
    .bind(find.0)
    .all()
    .await
}
