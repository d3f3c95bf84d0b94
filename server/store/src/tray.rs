//! The tray of a person: finds laid together to be treated in one entry.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{FindId, PersonId, ProjectId};
use domain::stages::{Stage, StageState};
use uuid::Uuid;

/// A find on a tray.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Laid {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub project_code: String,
    pub number: String,
    pub object_type: String,
    pub material_name: String,
    pub restricted: bool,
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    #[sqlx(try_from = "String")]
    pub stage_state: StageState,
}

/// Lays a find on a person's tray; `false` when it lay there.
pub async fn insert(tx: &mut Tx, person: PersonId, find: FindId, now: Instant) -> Result<bool> {
    let touched = tx
        .sql(sql!(
            "INSERT INTO tray_find (person_id, find_id, added_at) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING"
        ))
        .bind(person.0)
        .bind(find.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(touched == 1)
}

/// Takes a find off a person's tray.
pub async fn delete(tx: &mut Tx, person: PersonId, find: FindId) -> Result<()> {
    tx.sql(sql!("DELETE FROM tray_find WHERE person_id = $1 AND find_id = $2"))
        .bind(person.0)
        .bind(find.0)
        .run()
        .await?;
    Ok(())
}

/// Empties a person's tray.
pub async fn delete_all(tx: &mut Tx, person: PersonId) -> Result<()> {
    tx.sql(sql!("DELETE FROM tray_find WHERE person_id = $1")).bind(person.0).run().await?;
    Ok(())
}

/// What lies on a person's tray, whoever may see it: by project, in the order it was laid there.
pub async fn list(tx: &mut Tx, person: PersonId) -> Result<Vec<Laid>> {
    tx.sql(sql!(
        "SELECT f.id, f.project_id, p.code AS project_code, f.number, f.object_type, m.name AS material_name, f.restricted,
            f.stage, f.stage_state
         FROM tray_find t JOIN find f ON f.id = t.find_id JOIN project p ON p.id = f.project_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         WHERE t.person_id = $1 AND f.void_at IS NULL ORDER BY p.code, t.added_at, f.id"
    ))
    .bind(person.0)
    .all()
    .await
}
