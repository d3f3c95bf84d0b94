//! A specialist's desk: the finds of all open assignments in every project, and the order in which to go through them.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::ids::{AssignmentId, FindId, PersonId};

/// A find on the desk. One that two assignments sent stands under both.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct DeskFind {
    #[sqlx(try_from = "uuid::Uuid")]
    pub assignment_id: AssignmentId,
    #[sqlx(try_from = "uuid::Uuid")]
    pub id: FindId,
    pub number: String,
    pub object_type: String,
    pub material_name: String,
    /// Where contexts are shared.
    pub context_number: Option<String>,
    pub due_on: NaiveDate,
    /// The specialist's own latest version, if any.
    pub version: Option<i64>,
    pub finality: Option<String>,
    pub has_draft: bool,
    /// Lines of the specialist that nobody has answered.
    pub asked: i64,
    /// The last word in the thread is the project's.
    pub is_answered: bool,
}

/// What is on a specialist's desk, the soonest due first; the finds of an assignment by number.
pub async fn list(tx: &mut Tx, specialist: PersonId) -> Result<Vec<DeskFind>> {
    tx.sql(sql!(
        "SELECT s.assignment_id, f.id, f.number, f.object_type, m.name AS material_name,
            CASE WHEN s.contexts THEN c.number END AS context_number, a.due_on, o.version, o.finality,
            EXISTS (SELECT 1 FROM opinion_draft d WHERE d.find_id = f.id AND d.author_id = $1) AS has_draft,
            (SELECT COUNT(*) FROM thread_line t WHERE t.find_id = f.id AND t.specialist_id = $1
                AND t.answered_at IS NULL AND t.kind <> 'word') AS asked,
            COALESCE((SELECT t.kind = 'word' FROM thread_line t WHERE t.find_id = f.id AND t.specialist_id = $1
                ORDER BY t.written_at DESC, CASE WHEN t.kind = 'word' THEN 0 ELSE 1 END, t.id DESC LIMIT 1), FALSE) AS is_answered
         FROM shared_find s JOIN assignment a ON a.id = s.assignment_id JOIN find f ON f.id = s.find_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         LEFT JOIN context c ON c.id = f.context_id
         LEFT JOIN opinion o ON o.find_id = f.id AND o.author_id = $1 AND o.superseded_at IS NULL
            AND (o.received_id IS NULL OR o.confirmed_at IS NOT NULL)
         WHERE s.specialist_id = $1 AND s.closed_at IS NULL AND f.void_at IS NULL
         ORDER BY a.due_on, a.made_at, a.id, f.sort_key, f.id"
    ))
    .bind(specialist.0)
    .all()
    .await
}

/// A step of the way through the desk.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Stop {
    #[sqlx(try_from = "uuid::Uuid")]
    pub id: FindId,
    pub number: String,
}

/// The finds of the desk in its order, each once.
pub async fn list_series(tx: &mut Tx, specialist: PersonId) -> Result<Vec<Stop>> {
    let mut stops: Vec<Stop> = tx
        .sql(sql!(
            "SELECT f.id, f.number FROM shared_find s JOIN assignment a ON a.id = s.assignment_id
             JOIN find f ON f.id = s.find_id
             WHERE s.specialist_id = $1 AND s.closed_at IS NULL AND f.void_at IS NULL
             ORDER BY a.due_on, a.made_at, a.id, f.sort_key, f.id"
        ))
        .bind(specialist.0)
        .all()
        .await?;
    let mut known = std::collections::HashSet::new();
    stops.retain(|stop| known.insert(stop.id));
    Ok(stops)
}
