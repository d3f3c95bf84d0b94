//! Settlements: the editor's decision with its reason, dissent kept.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{FindId, OpinionId, PersonId, ProjectId, SettlementId};
use domain::review::{Outcome, Stance};
use uuid::Uuid;

/// A settlement to be recorded.
#[derive(Debug, Clone)]
pub struct NewSettlement {
    pub find: FindId,
    pub outcome: Outcome,
    pub identification: String,
    pub date_words: String,
    pub date_lo: Option<i64>,
    pub date_hi: Option<i64>,
    pub reason: String,
    /// Every standing opinion, adopted or dissenting.
    pub stances: Vec<(OpinionId, Stance)>,
}

/// A settlement as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Settlement {
    #[sqlx(try_from = "Uuid")]
    pub id: SettlementId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    #[sqlx(try_from = "String")]
    pub outcome: Outcome,
    pub identification: String,
    pub date_words: String,
    pub date_lo: Option<i64>,
    pub date_hi: Option<i64>,
    pub reason: String,
    pub settled_by: String,
    pub settled_at: Instant,
    pub superseded_at: Option<Instant>,
}

/// Records a settlement; the one before is superseded. The find is from now on what it was settled to be.
pub async fn insert(tx: &mut Tx, new: &NewSettlement, by: PersonId, now: Instant) -> Result<SettlementId> {
    let id = SettlementId::new(now);
    tx.sql(sql!("UPDATE settlement SET superseded_at = $2 WHERE find_id = $1 AND superseded_at IS NULL"))
        .bind(new.find.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    tx.sql(sql!(
        "INSERT INTO settlement (id, find_id, outcome, identification, date_words, date_lo, date_hi, reason, settled_by,
            settled_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)"
    ))
    .bind(id.0)
    .bind(new.find.0)
    .bind(new.outcome.code())
    .bind(new.identification.clone())
    .bind(new.date_words.clone())
    .bind(new.date_lo)
    .bind(new.date_hi)
    .bind(new.reason.clone())
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    for (opinion, stance) in &new.stances {
        tx.sql(sql!(
            "INSERT INTO settlement_opinion (settlement_id, opinion_id, stance) VALUES ($1, $2, $3)"
        ))
        .bind(id.0)
        .bind(opinion.0)
        .bind(stance.code())
        .run()
        .await?;
    }
    if !new.identification.is_empty() {
        tx.sql(sql!("UPDATE find SET object_type = $2, revision = revision + 1 WHERE id = $1"))
            .bind(new.find.0)
            .bind(new.identification.clone())
            .run()
            .await?;
        crate::finds::refresh_search(tx, new.find).await?;
    }
    Ok(id)
}

/// The settlements of a find, the standing one first.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Settlement>> {
    tx.sql(sql!(
        "SELECT s.id, s.find_id, s.outcome, s.identification, s.date_words, s.date_lo, s.date_hi, s.reason,
            p.name AS settled_by, s.settled_at, s.superseded_at
         FROM settlement s JOIN person p ON p.id = s.settled_by WHERE s.find_id = $1 ORDER BY s.settled_at DESC, s.id DESC"
    ))
    .bind(find.0)
    .all()
    .await
}

/// The standing settlements of a project, by find: for the report.
pub async fn list_of_project(tx: &mut Tx, project: ProjectId) -> Result<Vec<Settlement>> {
    tx.sql(sql!(
        "SELECT s.id, s.find_id, s.outcome, s.identification, s.date_words, s.date_lo, s.date_hi, s.reason,
            p.name AS settled_by, s.settled_at, s.superseded_at
         FROM find f JOIN settlement s ON s.find_id = f.id JOIN person p ON p.id = s.settled_by
         WHERE f.project_id = $1 AND s.superseded_at IS NULL ORDER BY f.sort_key, f.id"
    ))
    .bind(project.0)
    .all()
    .await
}

/// Where an opinion stood to a settlement.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct StanceLine {
    #[sqlx(try_from = "Uuid")]
    pub opinion_id: OpinionId,
    #[sqlx(try_from = "String")]
    pub stance: Stance,
    #[sqlx(try_from = "Uuid")]
    pub author_id: PersonId,
    pub author_name: String,
    pub qualification: String,
    /// What was said then, whatever its author says now.
    pub identification: String,
    pub date_words: String,
}

impl StanceLine {
    /// “panel of an altarpiece, late C14–mid C15”.
    pub fn words(&self) -> String {
        let words = [self.identification.as_str(), self.date_words.as_str()];
        words.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ")
    }
}

/// Where each opinion stood to a settlement.
pub async fn list_stances(tx: &mut Tx, id: SettlementId) -> Result<Vec<StanceLine>> {
    tx.sql(sql!(
        "SELECT so.opinion_id, so.stance, p.id AS author_id, p.name AS author_name, p.qualification, o.identification,
            o.date_words
         FROM settlement_opinion so
         JOIN opinion o ON o.id = so.opinion_id JOIN person p ON p.id = o.author_id
         WHERE so.settlement_id = $1 ORDER BY p.name"
    ))
    .bind(id.0)
    .all()
    .await
}
