//! The lines of a dispatch: what went of one find, what became of it, what came back.
use super::NewItem;
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::dispatch::{Account, Amount, Change};
use domain::ids::{DispatchId, DispatchItemId, FindId};
use uuid::Uuid;

/// A line with the sums behind it.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Item {
    #[sqlx(try_from = "Uuid")]
    pub id: DispatchItemId,
    #[sqlx(try_from = "Uuid")]
    pub dispatch_id: DispatchId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub number: String,
    pub object_type: String,
    pub material_name: String,
    pub restricted: bool,
    /// What the register holds of it now.
    pub now_quantity: i64,
    pub now_weight_g: Option<f64>,
    pub quantity: i64,
    pub mass_g: Option<f64>,
    pub condition: String,
    changed: i64,
    changed_g: f64,
    changed_there: i64,
    changed_there_g: f64,
    arrived: Option<i64>,
    arrived_g: Option<f64>,
    back: Option<i64>,
    back_g: Option<f64>,
}

impl Item {
    /// The account of the line; `complete` when nothing more is to come back.
    pub fn account(&self, complete: bool) -> Account {
        let amount =
            |pieces: Option<i64>, mass_g: Option<f64>| pieces.map(|pieces| Amount { pieces, mass_g });
        Account {
            sent: Amount { pieces: self.quantity, mass_g: self.mass_g },
            changed_there: (self.changed_there, self.changed_there_g),
            changed: (self.changed, self.changed_g),
            arrived: amount(self.arrived, self.arrived_g),
            back: amount(self.back, self.back_g),
            complete,
        }
    }
}

/// Adds a line.
pub async fn insert(
    tx: &mut Tx,
    dispatch: DispatchId,
    item: &NewItem,
    now: Instant,
) -> Result<DispatchItemId> {
    let id = DispatchItemId::new(now);
    tx.sql(sql!(
        "INSERT INTO dispatch_item (id, dispatch_id, find_id, quantity, mass_g, condition) VALUES ($1, $2, $3, $4, $5, $6)"
    ))
    .bind(id.0)
    .bind(dispatch.0)
    .bind(item.find.0)
    .bind(item.amount.pieces)
    .bind(item.amount.mass_g)
    .bind(item.condition.clone())
    .run()
    .await?;
    Ok(id)
}

/// The lines of a dispatch, by find number.
pub async fn list(tx: &mut Tx, dispatch: DispatchId) -> Result<Vec<Item>> {
    tx.sql(sql!(
        "SELECT i.id, i.dispatch_id, i.find_id, f.number, f.object_type, m.name AS material_name, f.restricted,
            f.quantity AS now_quantity, f.weight_g AS now_weight_g, i.quantity, i.mass_g, i.condition, a.changed, a.changed_g,
            a.changed_there, a.changed_there_g, a.arrived, a.arrived_g, a.back, a.back_g
         FROM dispatch_item i JOIN dispatch_account a ON a.item_id = i.id JOIN find f ON f.id = i.find_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         WHERE i.dispatch_id = $1 ORDER BY f.sort_key, f.id"
    ))
    .bind(dispatch.0)
    .all()
    .await
}

/// The line of an id.
pub async fn find(tx: &mut Tx, id: DispatchItemId) -> Result<Option<Item>> {
    tx.sql(sql!(
        "SELECT i.id, i.dispatch_id, i.find_id, f.number, f.object_type, m.name AS material_name, f.restricted,
            f.quantity AS now_quantity, f.weight_g AS now_weight_g, i.quantity, i.mass_g, i.condition, a.changed, a.changed_g,
            a.changed_there, a.changed_there_g, a.arrived, a.arrived_g, a.back, a.back_g
         FROM dispatch_item i JOIN dispatch_account a ON a.item_id = i.id JOIN find f ON f.id = i.find_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         WHERE i.id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// A dispatch under which something of a find is not back.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Out {
    #[sqlx(try_from = "Uuid")]
    pub item_id: DispatchItemId,
    #[sqlx(try_from = "Uuid")]
    pub dispatch_id: DispatchId,
    pub serial: i64,
    pub recipient: String,
    pub sent_on: NaiveDate,
    pub due_on: NaiveDate,
    pub complete_at: Option<Instant>,
    /// Pieces that went, with what befell them since; 0 where they were not counted.
    expected: i64,
    back: Option<i64>,
    /// Pieces by the register.
    register: i64,
}

impl Out {
    /// Pieces that are not back.
    pub fn outstanding(&self) -> i64 {
        self.expected - self.back.unwrap_or(0)
    }

    /// Whether the whole find is out: what befalls it befalls what is out.
    pub fn is_whole(&self) -> bool {
        self.is_whole_of(self.register)
    }

    /// The same when the find had so many pieces.
    pub(crate) fn is_whole_of(&self, pieces: i64) -> bool {
        self.complete_at.is_none() && self.back.is_none() && self.expected >= pieces
    }
}

/// Where a find is out, the latest last. What came back with a difference counts until that is explained.
pub async fn list_out(tx: &mut Tx, find: FindId) -> Result<Vec<Out>> {
    tx.sql(sql!(
        "SELECT i.id AS item_id, d.id AS dispatch_id, d.serial, d.recipient, d.sent_on, d.due_on, d.complete_at,
            i.quantity + a.changed AS expected, a.back, f.quantity AS register
         FROM dispatch_item i JOIN dispatch d ON d.id = i.dispatch_id JOIN dispatch_account a ON a.item_id = i.id
         JOIN find f ON f.id = i.find_id
         WHERE i.find_id = $1 AND d.settled_at IS NULL
            AND (d.complete_at IS NULL OR i.quantity + a.changed <> COALESCE(a.back, 0))
         ORDER BY d.sent_on, d.serial"
    ))
    .bind(find.0)
    .all()
    .await
}

/// A dispatch a find was on, for its page.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Travelled {
    #[sqlx(try_from = "Uuid")]
    pub dispatch_id: DispatchId,
    pub serial: i64,
    pub recipient: String,
    pub sent_on: NaiveDate,
    pub due_on: NaiveDate,
    pub quantity: i64,
    pub mass_g: Option<f64>,
    pub back: Option<i64>,
    pub back_g: Option<f64>,
    pub complete_at: Option<Instant>,
    pub settled_at: Option<Instant>,
}

/// Every dispatch a find was on, the latest first.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Travelled>> {
    tx.sql(sql!(
        "SELECT d.id AS dispatch_id, d.serial, d.recipient, d.sent_on, d.due_on, i.quantity, i.mass_g, a.back, a.back_g,
            d.complete_at, d.settled_at
         FROM dispatch_item i JOIN dispatch d ON d.id = i.dispatch_id JOIN dispatch_account a ON a.item_id = i.id
         WHERE i.find_id = $1 ORDER BY d.sent_on DESC, d.serial DESC"
    ))
    .bind(find.0)
    .all()
    .await
}

/// What befell a find while it was out, as a dispatch tells it.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Event {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub number: String,
    #[sqlx(try_from = "String")]
    pub change: Change,
    pub reason: String,
    pub happened_at: Instant,
    pub by_name: String,
    pub quantity_before: i64,
    pub quantity_after: i64,
    pub weight_before_g: Option<f64>,
    pub weight_after_g: Option<f64>,
    pub on_the_way_there: bool,
}

/// What befell the finds of a dispatch while they were out, the earliest first.
pub async fn list_events(tx: &mut Tx, dispatch: DispatchId) -> Result<Vec<Event>> {
    tx.sql(sql!(
        "SELECT f.id AS find_id, f.number, e.kind AS change, e.reason, e.happened_at, p.name AS by_name, q.quantity_before,
            q.quantity_after, q.weight_before_g, q.weight_after_g, q.on_the_way_there
         FROM dispatch_item i JOIN quantity_event_find q ON q.dispatch_item_id = i.id
         JOIN quantity_event e ON e.id = q.event_id JOIN person p ON p.id = e.recorded_by JOIN find f ON f.id = q.find_id
         WHERE i.dispatch_id = $1 ORDER BY e.happened_at, e.id, f.sort_key"
    ))
    .bind(dispatch.0)
    .all()
    .await
}
