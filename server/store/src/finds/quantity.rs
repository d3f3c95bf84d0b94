//! Splitting, joining and recounting: events that keep counts true and explain themselves.
use super::{Find, NewFind, insert};
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{FindId, PersonId, ProjectId, QuantityEventId};
use uuid::Uuid;

/// What happened to a quantity.
#[derive(Debug, Clone)]
pub struct NewEvent {
    pub project: ProjectId,
    /// `split`, `join` or `recount`.
    pub kind: &'static str,
    pub reason: String,
    pub parts: Vec<Part>,
}

/// What an event did to one find. Masses in g.
#[derive(Debug, Clone)]
pub struct Part {
    pub find: FindId,
    pub quantity: (i64, i64),
    pub weight_g: (Option<f64>, Option<f64>),
}

/// Records an event and sets the quantities and masses it tells of.
pub async fn insert_event(tx: &mut Tx, event: &NewEvent, by: PersonId, now: Instant) -> Result<()> {
    let id = QuantityEventId::new(now);
    tx.sql(sql!(
        "INSERT INTO quantity_event (id, project_id, kind, reason, happened_at, recorded_by) VALUES ($1, $2, $3, $4, $5, $6)"
    ))
    .bind(id.0)
    .bind(event.project.0)
    .bind(event.kind)
    .bind(event.reason.clone())
    .bind(domain::cut(now))
    .bind(by.0)
    .run()
    .await?;
    for part in &event.parts {
        tx.sql(sql!(
            "INSERT INTO quantity_event_find (event_id, find_id, quantity_before, quantity_after, weight_before_g,
                weight_after_g) VALUES ($1, $2, $3, $4, $5, $6)"
        ))
        .bind(id.0)
        .bind(part.find.0)
        .bind(part.quantity.0)
        .bind(part.quantity.1)
        .bind(part.weight_g.0)
        .bind(part.weight_g.1)
        .run()
        .await?;
        tx.sql(sql!("UPDATE find SET quantity = $2, weight_g = $3, revision = revision + 1 WHERE id = $1"))
            .bind(part.find.0)
            .bind(part.quantity.1)
            .bind(part.weight_g.1)
            .run()
            .await?;
    }
    Ok(())
}

/// Takes pieces out of a find and registers them under a number of their own; the two together are what was there.
pub async fn split(
    tx: &mut Tx,
    from: &Find,
    piece: &NewFind,
    reason: &str,
    by: PersonId,
    now: Instant,
) -> Result<FindId> {
    let id = insert(tx, from.project_id, piece, Some(by), now).await?;
    let left_g = from.weight_g.map(|whole| (whole - piece.weight_g.unwrap_or(0.0)).max(0.0));
    let event = NewEvent {
        project: from.project_id,
        kind: "split",
        reason: reason.to_owned(),
        parts: vec![
            Part {
                find: from.id,
                quantity: (from.quantity, from.quantity - piece.quantity),
                weight_g: (from.weight_g, left_g),
            },
            Part { find: id, quantity: (0, piece.quantity), weight_g: (None, piece.weight_g) },
        ],
    };
    insert_event(tx, &event, by, now).await?;
    Ok(id)
}

/// Joins finds into one that keeps its number; the others keep theirs as void. `pieces` is the count afterwards.
pub async fn join(
    tx: &mut Tx,
    into: &Find,
    others: &[Find],
    (pieces, reason): (i64, &str),
    by: PersonId,
    now: Instant,
) -> Result<()> {
    let masses = std::iter::once(into).chain(others).map(|f| f.weight_g);
    let whole_g = masses.sum::<Option<f64>>();
    let mut parts = vec![Part {
        find: into.id,
        quantity: (into.quantity, pieces),
        weight_g: (into.weight_g, whole_g.or(into.weight_g)),
    }];
    parts.extend(others.iter().map(|f| Part {
        find: f.id,
        quantity: (f.quantity, 0),
        weight_g: (f.weight_g, None),
    }));
    let event = NewEvent { project: into.project_id, kind: "join", reason: reason.to_owned(), parts };
    insert_event(tx, &event, by, now).await?;
    for other in others {
        update_void(tx, other.id, &format!("joined into {}", into.number), now).await?;
    }
    Ok(())
}

/// Makes a number void: it keeps its row and is never used again. `Changed` when it was void before.
pub async fn update_void(tx: &mut Tx, id: FindId, reason: &str, now: Instant) -> Result<()> {
    let touched = tx
        .sql(sql!("UPDATE find SET void_at = $2, void_reason = $3, revision = revision + 1 WHERE id = $1 AND void_at IS NULL"))
        .bind(id.0)
        .bind(domain::cut(now))
        .bind(reason.to_owned())
        .run()
        .await?;
    if touched != 1 {
        return Err(StoreError::Changed);
    }
    super::progress::refresh(tx, id, now).await
}

/// An event as the find page tells it.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct QuantityLine {
    pub kind: String,
    pub reason: String,
    pub happened_at: Instant,
    pub quantity_before: i64,
    pub quantity_after: i64,
    pub weight_before_g: Option<f64>,
    pub weight_after_g: Option<f64>,
    /// The numbers of the other finds of the event, parted by commas.
    pub others: String,
}

#[derive(sqlx::FromRow)]
struct EventRow {
    event_id: Uuid,
    kind: String,
    reason: String,
    happened_at: Instant,
    quantity_before: i64,
    quantity_after: i64,
    weight_before_g: Option<f64>,
    weight_after_g: Option<f64>,
}

#[derive(sqlx::FromRow)]
struct NumberRow {
    number: String,
}

/// What happened to the quantity of a find, the latest first.
pub async fn list_events(tx: &mut Tx, find: FindId) -> Result<Vec<QuantityLine>> {
    let rows: Vec<EventRow> = tx
        .sql(sql!(
            "SELECT e.id AS event_id, e.kind, e.reason, e.happened_at, p.quantity_before, p.quantity_after,
                p.weight_before_g, p.weight_after_g
             FROM quantity_event_find p JOIN quantity_event e ON e.id = p.event_id
             WHERE p.find_id = $1 ORDER BY e.happened_at DESC, e.id DESC"
        ))
        .bind(find.0)
        .all()
        .await?;
    let mut lines = Vec::with_capacity(rows.len());
    for row in rows {
        let others: Vec<NumberRow> = tx
            .sql(sql!(
                "SELECT f.number FROM quantity_event_find p JOIN find f ON f.id = p.find_id
                 WHERE p.event_id = $1 AND p.find_id <> $2 ORDER BY f.sort_key"
            ))
            .bind(row.event_id)
            .bind(find.0)
            .all()
            .await?;
        lines.push(QuantityLine {
            kind: row.kind,
            reason: row.reason,
            happened_at: row.happened_at,
            quantity_before: row.quantity_before,
            quantity_after: row.quantity_after,
            weight_before_g: row.weight_before_g,
            weight_after_g: row.weight_after_g,
            others: others.into_iter().map(|n| n.number).collect::<Vec<_>>().join(", "),
        });
    }
    Ok(lines)
}
