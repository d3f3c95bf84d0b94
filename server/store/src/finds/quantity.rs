//! Splitting, joining and recounting: events that keep counts true and explain themselves.
//!
//! What befalls pieces that are out belongs to their line of the dispatch as well, so that both tell the same.
use super::{Find, NewFind, insert};
use crate::dispatches::{self, NewItem, items};
use crate::review::reopenings;
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::dispatch::{Amount, Change};
use domain::ids::{DispatchId, DispatchItemId, FindId, PersonId, ProjectId, QuantityEventId};
use domain::review::Reopened;
use std::collections::BTreeSet;
use uuid::Uuid;

/// What happened to a quantity.
#[derive(Debug, Clone)]
pub struct NewEvent {
    pub project: ProjectId,
    pub change: Change,
    pub reason: String,
    pub parts: Vec<Part>,
    /// The line of a dispatch it befell; without one, finds that are out as a whole are looked for.
    pub line: Option<Befell>,
}

/// The line of a dispatch an event befell.
#[derive(Debug, Clone, Copy)]
pub struct Befell {
    pub item: DispatchItemId,
    /// On the way to the recipient, before it was counted there.
    pub on_the_way_there: bool,
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
    .bind(event.change.code())
    .bind(event.reason.clone())
    .bind(domain::cut(now))
    .bind(by.0)
    .run()
    .await?;
    let mut lines = Lines::default();
    for part in event.parts.iter().map(Part::weighed) {
        let line = lines.of(tx, (event, &part), now).await?;
        tx.sql(sql!(
            "INSERT INTO quantity_event_find (event_id, find_id, quantity_before, quantity_after, weight_before_g,
                weight_after_g, dispatch_item_id, on_the_way_there) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)"
        ))
        .bind(id.0)
        .bind(part.find.0)
        .bind(part.quantity.0)
        .bind(part.quantity.1)
        .bind(part.weight_g.0)
        .bind(part.weight_g.1)
        .bind(line.map(|line| line.item.0))
        .bind(line.is_some_and(|line| line.on_the_way_there))
        .run()
        .await?;
        tx.sql(sql!("UPDATE find SET quantity = $2, weight_g = $3, revision = revision + 1 WHERE id = $1"))
            .bind(part.find.0)
            .bind(part.quantity.1)
            .bind(part.weight_g.1)
            .run()
            .await?;
        let why = (Reopened::by(event.change), event.reason.as_str());
        reopenings::insert_of_count(tx, part.find, part.quantity, why, Some(by), now).await?;
    }
    for dispatch in lines.dispatches {
        dispatches::refresh(tx, dispatch, now).await?;
    }
    Ok(())
}

impl Part {
    /// The same with masses to the millionth of a gram, finer than any balance: sums of decimals stay decimals.
    fn weighed(&self) -> Part {
        let cut = |mass: Option<f64>| mass.map(|g| (g * 1e6).round() / 1e6);
        Part { weight_g: (cut(self.weight_g.0), cut(self.weight_g.1)), ..*self }
    }
}

/// The lines of dispatches that an event befalls.
#[derive(Default)]
struct Lines {
    dispatches: BTreeSet<DispatchId>,
}

impl Lines {
    /// The line a part of the event belongs to: the one it names, or that of a find which is out as a whole. A piece
    /// taken out of such a find is out too, and gets a line of its own.
    async fn of(
        &mut self,
        tx: &mut Tx,
        (event, part): (&NewEvent, &Part),
        now: Instant,
    ) -> Result<Option<Befell>> {
        if let Some(line) = event.line {
            let item = items::find(tx, line.item).await?.ok_or(StoreError::Dangling)?;
            self.dispatches.insert(item.dispatch_id);
            return Ok(Some(line));
        }
        let out = items::list_out(tx, part.find).await?;
        if let Some(out) = out.iter().find(|out| out.is_whole_of(part.quantity.0)) {
            self.dispatches.insert(out.dispatch_id);
            return Ok(Some(Befell { item: out.item_id, on_the_way_there: false }));
        }
        match self.dispatches.first() {
            Some(dispatch) if event.change == Change::Split && part.quantity.0 == 0 => {
                let nothing = Amount { pieces: 0, mass_g: part.weight_g.1.map(|_| 0.0) };
                let new = NewItem { find: part.find, amount: nothing, condition: String::new() };
                let item = items::insert(tx, *dispatch, &new, now).await?;
                Ok(Some(Befell { item, on_the_way_there: false }))
            }
            _ => Ok(None),
        }
    }
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
    let as_the_whole = format!("as {}, out of which it was taken", from.number);
    super::progress::inherit(tx, (from.id, id), piece.quantity, &as_the_whole, now).await?;
    let left_g = from.weight_g.map(|whole| (whole - piece.weight_g.unwrap_or(0.0)).max(0.0));
    let event = NewEvent {
        project: from.project_id,
        change: Change::Split,
        reason: reason.to_owned(),
        line: None,
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

/// Joins finds into one that keeps its number; the others keep theirs as void. `pieces` is the count afterwards. What a
/// restricted find is joined into is restricted.
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
    let event = NewEvent {
        project: into.project_id,
        change: Change::Join,
        reason: reason.to_owned(),
        parts,
        line: None,
    };
    insert_event(tx, &event, by, now).await?;
    if others.iter().any(|other| other.restricted) {
        tx.sql(sql!("UPDATE find SET restricted = TRUE WHERE id = $1")).bind(into.id.0).run().await?;
    }
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
    #[sqlx(try_from = "String")]
    pub change: Change,
    pub reason: String,
    pub happened_at: Instant,
    pub quantity_before: i64,
    pub quantity_after: i64,
    pub weight_before_g: Option<f64>,
    pub weight_after_g: Option<f64>,
    /// The numbers of the other finds of the event, separated by commas.
    pub others: String,
    pub by_name: String,
    /// The dispatch it befell, by its number in the project.
    pub dispatch: Option<i64>,
}

#[derive(sqlx::FromRow)]
struct EventRow {
    event_id: Uuid,
    #[sqlx(try_from = "String")]
    kind: Change,
    reason: String,
    happened_at: Instant,
    quantity_before: i64,
    quantity_after: i64,
    weight_before_g: Option<f64>,
    weight_after_g: Option<f64>,
    by_name: String,
    dispatch: Option<i64>,
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
                p.weight_before_g, p.weight_after_g, r.name AS by_name, d.serial AS dispatch
             FROM quantity_event_find p JOIN quantity_event e ON e.id = p.event_id JOIN person r ON r.id = e.recorded_by
             LEFT JOIN dispatch_item i ON i.id = p.dispatch_item_id LEFT JOIN dispatch d ON d.id = i.dispatch_id
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
            change: row.kind,
            reason: row.reason,
            happened_at: row.happened_at,
            quantity_before: row.quantity_before,
            quantity_after: row.quantity_after,
            weight_before_g: row.weight_before_g,
            weight_after_g: row.weight_after_g,
            others: others.into_iter().map(|n| n.number).collect::<Vec<_>>().join(", "),
            by_name: row.by_name,
            dispatch: row.dispatch,
        });
    }
    Ok(lines)
}
