//! What was counted and weighed at either end. Never changed: a wrong one is superseded.
use crate::{Result, StoreError, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::dispatch::{Amount, Way};
use domain::ids::{DispatchId, DispatchItemId, PersonId, ReceiptId};
use uuid::Uuid;

/// A receipt to be recorded.
#[derive(Debug, Clone)]
pub struct NewReceipt {
    pub dispatch: DispatchId,
    pub way: Way,
    pub received_on: NaiveDate,
    pub received_by: String,
    pub note: String,
    pub lines: Vec<NewLine>,
    /// The receipt that this one corrects.
    pub supersedes: Option<ReceiptId>,
}

/// What was counted of one line.
#[derive(Debug, Clone)]
pub struct NewLine {
    pub item: DispatchItemId,
    pub amount: Amount,
    pub condition: String,
}

/// A receipt as kept.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Receipt {
    #[sqlx(try_from = "Uuid")]
    pub id: ReceiptId,
    #[sqlx(try_from = "Uuid")]
    pub dispatch_id: DispatchId,
    #[sqlx(try_from = "String")]
    pub way: Way,
    pub received_on: NaiveDate,
    pub received_by: String,
    pub note: String,
    pub recorded_by: String,
    pub recorded_at: Instant,
    pub superseded_at: Option<Instant>,
}

/// A line of a receipt as kept.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct ReceiptLine {
    #[sqlx(try_from = "Uuid")]
    pub receipt_id: ReceiptId,
    #[sqlx(try_from = "Uuid")]
    pub item_id: DispatchItemId,
    pub number: String,
    pub restricted: bool,
    pub quantity: i64,
    pub mass_g: Option<f64>,
    pub condition: String,
}

/// Records a receipt; `Changed` when the one it corrects was corrected before.
pub async fn insert(tx: &mut Tx, new: &NewReceipt, by: PersonId, now: Instant) -> Result<ReceiptId> {
    if let Some(old) = new.supersedes {
        let touched = tx
            .sql(sql!(
                "UPDATE receipt SET superseded_at = $2 WHERE id = $1 AND dispatch_id = $3 AND superseded_at IS NULL"
            ))
            .bind(old.0)
            .bind(domain::cut(now))
            .bind(new.dispatch.0)
            .run()
            .await?;
        if touched != 1 {
            return Err(StoreError::Changed);
        }
    }
    let id = ReceiptId::new(now);
    tx.sql(sql!(
        "INSERT INTO receipt (id, dispatch_id, way, received_on, received_by, note, recorded_by, recorded_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8)"
    ))
    .bind(id.0)
    .bind(new.dispatch.0)
    .bind(new.way.code())
    .bind(new.received_on)
    .bind(new.received_by.clone())
    .bind(new.note.clone())
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    for line in &new.lines {
        tx.sql(sql!(
            "INSERT INTO receipt_item (receipt_id, item_id, quantity, mass_g, condition) VALUES ($1, $2, $3, $4, $5)"
        ))
        .bind(id.0)
        .bind(line.item.0)
        .bind(line.amount.pieces)
        .bind(line.amount.mass_g)
        .bind(line.condition.clone())
        .run()
        .await?;
    }
    Ok(id)
}

/// The receipts of a dispatch, the earliest first, superseded ones among them.
pub async fn list(tx: &mut Tx, dispatch: DispatchId) -> Result<Vec<Receipt>> {
    tx.sql(sql!(
        "SELECT r.id, r.dispatch_id, r.way, r.received_on, r.received_by, r.note, p.name AS recorded_by, r.recorded_at,
            r.superseded_at
         FROM receipt r JOIN person p ON p.id = r.recorded_by WHERE r.dispatch_id = $1 ORDER BY r.recorded_at, r.id"
    ))
    .bind(dispatch.0)
    .all()
    .await
}

/// The lines of every receipt of a dispatch, by find number.
pub async fn list_lines(tx: &mut Tx, dispatch: DispatchId) -> Result<Vec<ReceiptLine>> {
    tx.sql(sql!(
        "SELECT l.receipt_id, l.item_id, f.number, f.restricted, l.quantity, l.mass_g, l.condition
         FROM receipt r JOIN receipt_item l ON l.receipt_id = r.id JOIN dispatch_item i ON i.id = l.item_id
         JOIN find f ON f.id = i.find_id WHERE r.dispatch_id = $1 ORDER BY f.sort_key, f.id"
    ))
    .bind(dispatch.0)
    .all()
    .await
}
