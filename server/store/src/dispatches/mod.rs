//! Objects that leave the house and come back.
//!
//! - [`items`]: the lines of a dispatch, each with its account
//! - [`receipts`]: what was counted and weighed at either end
pub mod items;
pub mod receipts;

use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::dispatch::Amount;
use domain::ids::{DispatchId, FindId, PersonId, ProjectId};
use uuid::Uuid;

/// A dispatch to be recorded.
#[derive(Debug, Clone)]
pub struct NewDispatch {
    pub project: ProjectId,
    pub recipient_id: Option<PersonId>,
    pub recipient: String,
    pub address: String,
    pub purpose: String,
    pub packing: String,
    pub carrier: String,
    pub insurer: String,
    /// What may be sampled; empty: nothing.
    pub sampling: String,
    /// Why it goes although something is lacking; empty where nothing is.
    pub lifted: String,
    pub sent_on: NaiveDate,
    pub due_on: NaiveDate,
    pub sent_by: String,
    pub items: Vec<NewItem>,
}

/// A line of a dispatch to be recorded.
#[derive(Debug, Clone)]
pub struct NewItem {
    pub find: FindId,
    pub amount: Amount,
    pub condition: String,
}

/// A dispatch as kept.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Dispatch {
    #[sqlx(try_from = "Uuid")]
    pub id: DispatchId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub project_code: String,
    pub project_name: String,
    pub serial: i64,
    pub recipient_id: Option<Uuid>,
    pub recipient: String,
    pub address: String,
    pub purpose: String,
    pub packing: String,
    pub carrier: String,
    pub insurer: String,
    pub sampling: String,
    pub lifted: String,
    pub sent_on: NaiveDate,
    pub due_on: NaiveDate,
    pub sent_by: String,
    pub recorded_by: String,
    pub recorded_at: Instant,
    pub complete_at: Option<Instant>,
    pub settled_at: Option<Instant>,
}

impl Dispatch {
    /// What it is called: “VSQ31 D4”.
    pub fn name(&self) -> String {
        format!("{} D{}", self.project_code, self.serial)
    }

    /// The recipient’s account, where there is one.
    pub fn recipient(&self) -> Option<PersonId> {
        self.recipient_id.map(PersonId)
    }
}

/// Records a dispatch with its lines; its id and its number in the project.
pub async fn insert(tx: &mut Tx, new: &NewDispatch, by: PersonId, now: Instant) -> Result<(DispatchId, i64)> {
    // Two dispatches of one project take turns at the next number.
    tx.sql(sql!("UPDATE project SET code = code WHERE id = $1")).bind(new.project.0).run().await?;
    let last: Option<Option<i64>> = tx
        .sql(sql!("SELECT MAX(serial) FROM dispatch WHERE project_id = $1"))
        .bind(new.project.0)
        .cell()
        .await?;
    let (id, serial) = (DispatchId::new(now), last.flatten().unwrap_or(0) + 1);
    tx.sql(sql!(
        "INSERT INTO dispatch (id, project_id, serial, recipient_id, recipient, address, purpose, packing, carrier, insurer,
            sampling, lifted, sent_on, due_on, sent_by, recorded_by, recorded_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17)"
    ))
    .bind(id.0)
    .bind(new.project.0)
    .bind(serial)
    .bind(new.recipient_id.map(Uuid::from))
    .bind(new.recipient.clone())
    .bind(new.address.clone())
    .bind(new.purpose.clone())
    .bind(new.packing.clone())
    .bind(new.carrier.clone())
    .bind(new.insurer.clone())
    .bind(new.sampling.clone())
    .bind(new.lifted.clone())
    .bind(new.sent_on)
    .bind(new.due_on)
    .bind(new.sent_by.clone())
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    for item in &new.items {
        items::insert(tx, id, item, now).await?;
    }
    Ok((id, serial))
}

/// The dispatch of an id.
pub async fn find(tx: &mut Tx, id: DispatchId) -> Result<Option<Dispatch>> {
    tx.sql(sql!(
        "SELECT d.id, d.project_id, p.code AS project_code, p.name AS project_name, d.serial, d.recipient_id, d.recipient,
            d.address, d.purpose, d.packing, d.carrier, d.insurer, d.sampling, d.lifted, d.sent_on, d.due_on, d.sent_by,
            r.name AS recorded_by, d.recorded_at, d.complete_at, d.settled_at
         FROM dispatch d JOIN project p ON p.id = d.project_id JOIN person r ON r.id = d.recorded_by WHERE d.id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// The dispatches of a project, unsettled ones first, the soonest due first; settled ones the latest first.
pub async fn list_of_project(tx: &mut Tx, project: ProjectId, most: i64) -> Result<Vec<Dispatch>> {
    tx.sql(sql!(
        "SELECT d.id, d.project_id, p.code AS project_code, p.name AS project_name, d.serial, d.recipient_id, d.recipient,
            d.address, d.purpose, d.packing, d.carrier, d.insurer, d.sampling, d.lifted, d.sent_on, d.due_on, d.sent_by,
            r.name AS recorded_by, d.recorded_at, d.complete_at, d.settled_at
         FROM dispatch d JOIN project p ON p.id = d.project_id JOIN person r ON r.id = d.recorded_by
         WHERE d.project_id = $1
         ORDER BY CASE WHEN d.settled_at IS NULL THEN 0 ELSE 1 END,
            CASE WHEN d.settled_at IS NULL THEN d.due_on END, d.serial DESC LIMIT $2"
    ))
    .bind(project.0)
    .bind(most)
    .all()
    .await
}

/// What is not settled yet in a project, the soonest due first.
pub async fn list_open(tx: &mut Tx, project: ProjectId) -> Result<Vec<Dispatch>> {
    tx.sql(sql!(
        "SELECT d.id, d.project_id, p.code AS project_code, p.name AS project_name, d.serial, d.recipient_id, d.recipient,
            d.address, d.purpose, d.packing, d.carrier, d.insurer, d.sampling, d.lifted, d.sent_on, d.due_on, d.sent_by,
            r.name AS recorded_by, d.recorded_at, d.complete_at, d.settled_at
         FROM dispatch d JOIN project p ON p.id = d.project_id JOIN person r ON r.id = d.recorded_by
         WHERE d.project_id = $1 AND d.settled_at IS NULL ORDER BY d.due_on, d.serial"
    ))
    .bind(project.0)
    .all()
    .await
}

/// What was sent to a person in every project, unsettled ones first, the soonest due first.
pub async fn list_of_recipient(tx: &mut Tx, person: PersonId) -> Result<Vec<Dispatch>> {
    tx.sql(sql!(
        "SELECT d.id, d.project_id, p.code AS project_code, p.name AS project_name, d.serial, d.recipient_id, d.recipient,
            d.address, d.purpose, d.packing, d.carrier, d.insurer, d.sampling, d.lifted, d.sent_on, d.due_on, d.sent_by,
            r.name AS recorded_by, d.recorded_at, d.complete_at, d.settled_at
         FROM dispatch d JOIN project p ON p.id = d.project_id JOIN person r ON r.id = d.recorded_by
         WHERE d.recipient_id = $1
         ORDER BY CASE WHEN d.settled_at IS NULL THEN 0 ELSE 1 END, d.due_on, d.recorded_at"
    ))
    .bind(person.0)
    .all()
    .await
}

/// Says that nothing more is to come back, or that something is after all.
pub async fn update_complete(tx: &mut Tx, id: DispatchId, at: Option<Instant>) -> Result<()> {
    tx.sql(sql!("UPDATE dispatch SET complete_at = $2 WHERE id = $1"))
        .bind(id.0)
        .bind(at.map(domain::cut))
        .run()
        .await?;
    Ok(())
}

/// Notes whether the dispatch is settled, by its accounts as they stand now; whether it is.
pub async fn refresh(tx: &mut Tx, id: DispatchId, now: Instant) -> Result<bool> {
    let Some(dispatch) = find(tx, id).await? else { return Ok(false) };
    let lines = items::list(tx, id).await?;
    let settled = lines.iter().all(|line| line.account(dispatch.complete_at.is_some()).is_settled());
    if settled != dispatch.settled_at.is_some() {
        tx.sql(sql!("UPDATE dispatch SET settled_at = $2 WHERE id = $1"))
            .bind(id.0)
            .bind(settled.then(|| domain::cut(now)))
            .run()
            .await?;
    }
    Ok(settled)
}
