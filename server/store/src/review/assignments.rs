//! Finds sent to a specialist with a question and a due date.
use crate::db::Stmt;
use crate::{Result, StoreError, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::{AssignmentId, FindId, PersonId, ProjectId};
use domain::review::share::{FeeFor, Share, Shares};
use uuid::Uuid;

/// An assignment to be made.
#[derive(Debug, Clone)]
pub struct NewAssignment {
    pub project: ProjectId,
    pub specialist: PersonId,
    pub question: String,
    pub due_on: NaiveDate,
    pub finds: Vec<FindId>,
    pub terms: Terms,
}

/// What is shared and what was agreed.
#[derive(Debug, Clone)]
pub struct Terms {
    /// Questions of the project that the answer should serve.
    pub aims: String,
    pub shares: Shares,
    /// Colleagues' opinions show only once the own one is in.
    pub blind: bool,
    pub days: Option<f64>,
    pub fee: Option<f64>,
    pub fee_for: FeeFor,
    pub currency: String,
}

impl Default for Terms {
    fn default() -> Self {
        Self {
            aims: String::new(),
            shares: Shares::USUAL,
            blind: true,
            days: None,
            fee: None,
            fee_for: FeeFor::Whole,
            currency: String::new(),
        }
    }
}

/// An assignment with how far it has come.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Assignment {
    #[sqlx(try_from = "Uuid")]
    pub id: AssignmentId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub project_code: String,
    pub project_name: String,
    #[sqlx(try_from = "Uuid")]
    pub specialist_id: PersonId,
    pub specialist_name: String,
    pub question: String,
    pub due_on: NaiveDate,
    #[sqlx(try_from = "Uuid")]
    pub made_by: PersonId,
    pub made_by_name: String,
    pub made_at: Instant,
    pub closed_at: Option<Instant>,
    pub sharing_ended_at: Option<Instant>,
    /// Colleagues’ opinions show only once the own one is in.
    pub blind: bool,
    pub revision: i64,
    pub aims: String,
    pub agreed_days: Option<f64>,
    pub fee: Option<f64>,
    #[sqlx(try_from = "String")]
    pub fee_for: FeeFor,
    pub currency: String,
    #[sqlx(flatten)]
    shared: Shared,
    pub finds: i64,
    /// Finds on which the specialist has submitted an opinion.
    pub answered: i64,
}

#[derive(Debug, Clone, sqlx::FromRow)]
#[allow(clippy::struct_field_names, reason = "the names of the columns")]
struct Shared {
    share_images: bool,
    share_xrays: bool,
    share_conservation: bool,
    share_measurements: bool,
    share_contexts: bool,
    share_restricted: bool,
}

impl Assignment {
    /// What it shares of its finds.
    pub fn shares(&self) -> Shares {
        let shared = &self.shared;
        Shares::default()
            .with(Share::Images, shared.share_images)
            .with(Share::Xrays, shared.share_xrays)
            .with(Share::Conservation, shared.share_conservation)
            .with(Share::Measurements, shared.share_measurements)
            .with(Share::Contexts, shared.share_contexts)
            .with(Share::Restricted, shared.share_restricted)
    }
}

/// Makes an assignment.
pub async fn insert(tx: &mut Tx, new: &NewAssignment, by: PersonId, now: Instant) -> Result<AssignmentId> {
    let id = AssignmentId::new(now);
    let statement = tx.sql(sql!(
        "INSERT INTO assignment (id, project_id, specialist_id, question, due_on, made_by, made_at, aims, blind,
            agreed_days, fee, fee_for, currency, share_images, share_xrays, share_conservation, share_measurements,
            share_contexts, share_restricted)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19)"
    ));
    let statement = statement
        .bind(id.0)
        .bind(new.project.0)
        .bind(new.specialist.0)
        .bind(new.question.clone())
        .bind(new.due_on)
        .bind(by.0)
        .bind(domain::cut(now));
    bind_terms(statement, &new.terms).run().await?;
    for find in &new.finds {
        tx.sql(sql!("INSERT INTO assignment_find (assignment_id, find_id) VALUES ($1, $2)"))
            .bind(id.0)
            .bind(find.0)
            .run()
            .await?;
    }
    Ok(id)
}

/// The statement that reads assignments, with the words behind it.
macro_rules! assignments {
    ($rest:literal) => {
        sql!(concat!(
            "SELECT a.id, a.project_id, p.code AS project_code, p.name AS project_name, a.specialist_id,
                s.name AS specialist_name, a.question, a.due_on, a.made_by, b.name AS made_by_name, a.made_at, a.closed_at,
                a.sharing_ended_at, a.blind, a.revision, a.aims, a.agreed_days, a.fee, a.fee_for, a.currency, a.share_images, a.share_xrays,
                a.share_conservation, a.share_measurements, a.share_contexts, a.share_restricted,
                (SELECT COUNT(*) FROM assignment_find af JOIN find f ON f.id = af.find_id
                 WHERE af.assignment_id = a.id AND (NOT f.restricted OR a.share_restricted)) AS finds,
                (SELECT COUNT(DISTINCT o.find_id) FROM opinion o JOIN assignment_find af ON af.find_id = o.find_id
                 JOIN find f ON f.id = o.find_id
                 WHERE af.assignment_id = a.id AND o.author_id = a.specialist_id
                    AND (NOT f.restricted OR a.share_restricted)) AS answered
             FROM assignment a JOIN project p ON p.id = a.project_id JOIN person s ON s.id = a.specialist_id
             JOIN person b ON b.id = a.made_by ",
            $rest
        ))
    };
}

/// The assignments of a project, open ones first, the soonest due first.
pub async fn list_of_project(tx: &mut Tx, project: ProjectId) -> Result<Vec<Assignment>> {
    let text = assignments!(
        "WHERE a.project_id = $1 ORDER BY CASE WHEN a.closed_at IS NULL THEN 0 ELSE 1 END, a.due_on, a.made_at"
    );
    tx.sql(text).bind(project.0).all().await
}

/// What a specialist has been asked, in every project, open ones first, the soonest due first.
pub async fn list_of_specialist(tx: &mut Tx, specialist: PersonId) -> Result<Vec<Assignment>> {
    let text = assignments!(
        "WHERE a.specialist_id = $1 ORDER BY CASE WHEN a.closed_at IS NULL THEN 0 ELSE 1 END, a.due_on, a.made_at"
    );
    tx.sql(text).bind(specialist.0).all().await
}

/// The assignment of an id.
pub async fn find(tx: &mut Tx, id: AssignmentId) -> Result<Option<Assignment>> {
    tx.sql(assignments!("WHERE a.id = $1")).bind(id.0).opt().await
}

/// Asks, shares and agrees something else; `Changed` when somebody else did since `revision`.
pub async fn update(
    tx: &mut Tx,
    id: AssignmentId,
    (question, due_on, terms): (&str, NaiveDate, &Terms),
    revision: i64,
) -> Result<()> {
    let statement = tx.sql(sql!(
            "UPDATE assignment SET question = $3, due_on = $4, aims = $5, blind = $6, agreed_days = $7, fee = $8, fee_for = $9,
                currency = $10, share_images = $11, share_xrays = $12, share_conservation = $13,
                share_measurements = $14, share_contexts = $15, share_restricted = $16, revision = revision + 1
             WHERE id = $1 AND revision = $2"
    ));
    let statement = statement.bind(id.0).bind(revision).bind(question.to_owned()).bind(due_on);
    let touched = bind_terms(statement, terms).run().await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// The terms in the order of both statements, from the aims to restricted finds.
fn bind_terms<'a>(statement: Stmt<'a>, terms: &Terms) -> Stmt<'a> {
    let shares = terms.shares;
    statement
        .bind(terms.aims.clone())
        .bind(terms.blind)
        .bind(terms.days)
        .bind(terms.fee)
        .bind(terms.fee_for.code())
        .bind(terms.currency.clone())
        .bind(shares.has(Share::Images))
        .bind(shares.has(Share::Xrays))
        .bind(shares.has(Share::Conservation))
        .bind(shares.has(Share::Measurements))
        .bind(shares.has(Share::Contexts))
        .bind(shares.has(Share::Restricted))
}

/// Closes an assignment.
pub async fn update_closed(tx: &mut Tx, id: AssignmentId, now: Instant) -> Result<()> {
    tx.sql(sql!("UPDATE assignment SET closed_at = $2 WHERE id = $1 AND closed_at IS NULL"))
        .bind(id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(())
}

/// Takes what an assignment shares out of its specialist's sight.
pub async fn update_sharing_ended(tx: &mut Tx, id: AssignmentId, now: Instant) -> Result<()> {
    tx.sql(sql!("UPDATE assignment SET sharing_ended_at = $2 WHERE id = $1 AND sharing_ended_at IS NULL"))
        .bind(id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(())
}

/// A find of an assignment, as its specialist sees it in a row.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct AssignedFind {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    pub number: String,
    pub object_type: String,
    pub material_name: String,
    pub context_number: Option<String>,
    pub restricted: bool,
    /// The specialist's own latest version, if any.
    pub version: Option<i64>,
    pub finality: Option<String>,
    pub has_draft: bool,
}

/// The finds of an assignment, by number.
pub async fn list_finds(tx: &mut Tx, assignment: &Assignment) -> Result<Vec<AssignedFind>> {
    tx.sql(sql!(
        "SELECT f.id, f.number, f.object_type, m.name AS material_name, c.number AS context_number, f.restricted,
            o.version, o.finality,
            EXISTS (SELECT 1 FROM opinion_draft d WHERE d.find_id = f.id AND d.author_id = $2) AS has_draft
         FROM assignment_find af JOIN find f ON f.id = af.find_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         LEFT JOIN context c ON c.id = f.context_id
         LEFT JOIN opinion o ON o.find_id = f.id AND o.author_id = $2 AND o.superseded_at IS NULL
            AND (o.received_id IS NULL OR o.confirmed_at IS NOT NULL)
         WHERE af.assignment_id = $1 ORDER BY f.sort_key, f.id"
    ))
    .bind(assignment.id.0)
    .bind(assignment.specialist_id.0)
    .all()
    .await
}

/// The open assignment under which a specialist sees a find, the latest of several.
pub async fn find_of(tx: &mut Tx, find: FindId, specialist: PersonId) -> Result<Option<AssignmentId>> {
    let id: Option<Uuid> = tx
        .sql(sql!(
            "SELECT a.id FROM assignment a JOIN assignment_find af ON af.assignment_id = a.id
             WHERE af.find_id = $1 AND a.specialist_id = $2 ORDER BY a.made_at DESC LIMIT 1"
        ))
        .bind(find.0)
        .bind(specialist.0)
        .cell()
        .await?;
    Ok(id.map(AssignmentId))
}

/// Who was asked about a find, and what.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Asked {
    #[sqlx(try_from = "Uuid")]
    pub specialist_id: PersonId,
    pub specialist_name: String,
    pub question: String,
    pub aims: String,
    pub due_on: NaiveDate,
    pub closed_at: Option<Instant>,
}

/// Everybody asked about a find.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Asked>> {
    tx.sql(sql!(
        "SELECT a.specialist_id, s.name AS specialist_name, a.question, a.aims, a.due_on, a.closed_at
         FROM assignment_find af
         JOIN assignment a ON a.id = af.assignment_id JOIN person s ON s.id = a.specialist_id
         WHERE af.find_id = $1 ORDER BY a.made_at"
    ))
    .bind(find.0)
    .all()
    .await
}

/// The specialists of a project, by name.
pub async fn list_specialists(tx: &mut Tx, project: ProjectId) -> Result<Vec<crate::people::Colleague>> {
    tx.sql(sql!(
        "SELECT p.id, p.name FROM membership m JOIN person p ON p.id = m.person_id
         WHERE m.project_id = $1 AND m.role = 'specialist' AND p.disabled_at IS NULL ORDER BY p.name, p.id"
    ))
    .bind(project.0)
    .all()
    .await
}
