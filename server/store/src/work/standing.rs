//! Standing authorisations: a lead's word for a whole class of plain work.
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{PersonId, ProjectId, StandingId};
use uuid::Uuid;

/// A standing authorisation.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Standing {
    #[sqlx(try_from = "Uuid")]
    pub id: StandingId,
    pub material: String,
    pub material_name: String,
    /// The class in words: “sound unpainted ceramic”.
    pub words: String,
    pub mixture: String,
    pub stop_point: String,
    pub given_by: String,
    pub given_at: Instant,
    pub withdrawn_at: Option<Instant>,
}

/// A standing authorisation to be given.
#[derive(Debug, Clone)]
pub struct NewStanding {
    pub project: ProjectId,
    pub material: String,
    pub words: String,
    pub mixture: String,
    pub stop_point: String,
}

/// Gives one.
pub async fn insert(tx: &mut Tx, standing: &NewStanding, by: PersonId, now: Instant) -> Result<StandingId> {
    let id = StandingId::new(now);
    tx.sql(sql!(
        "INSERT INTO standing_authorisation (id, project_id, material, words, mixture, stop_point, given_by, given_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8)"
    ))
    .bind(id.0)
    .bind(standing.project.0)
    .bind(standing.material.clone())
    .bind(standing.words.clone())
    .bind(standing.mixture.clone())
    .bind(standing.stop_point.clone())
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// Every one of a project, those in force first.
pub async fn list(tx: &mut Tx, project: ProjectId) -> Result<Vec<Standing>> {
    tx.sql(sql!(
        "SELECT s.id, s.material, m.name AS material_name, s.words, s.mixture, s.stop_point, p.name AS given_by, s.given_at,
            s.withdrawn_at
         FROM standing_authorisation s JOIN person p ON p.id = s.given_by
         JOIN material m ON m.project_id = s.project_id AND m.code = s.material
         WHERE s.project_id = $1
         ORDER BY CASE WHEN s.withdrawn_at IS NULL THEN 0 ELSE 1 END, s.given_at DESC"
    ))
    .bind(project.0)
    .all()
    .await
}

/// Withdraws one; `Changed` when it is not in force in this project.
pub async fn update_withdrawn(
    tx: &mut Tx,
    project: ProjectId,
    id: StandingId,
    by: PersonId,
    now: Instant,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE standing_authorisation SET withdrawn_by = $3, withdrawn_at = $4
             WHERE id = $1 AND project_id = $2 AND withdrawn_at IS NULL"
        ))
        .bind(id.0)
        .bind(project.0)
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}
