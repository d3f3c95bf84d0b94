//! The shots a project expects, and the finds among which they are looked for.
use crate::{Result, StoreError, Tx, sql};
use domain::ids::{FindId, ProjectId};
use domain::shots::{Rule, default_rules};
use uuid::Uuid;

/// The rules of a project with the revision their form starts from; 0 while they are those every project starts with.
#[derive(Debug, Clone, PartialEq)]
pub struct ShotList {
    pub rules: Vec<Rule>,
    pub revision: i64,
}

#[derive(sqlx::FromRow)]
struct Kept {
    rules: String,
    revision: i64,
}

/// The shots a project expects.
pub async fn find_list(tx: &mut Tx, project: ProjectId) -> Result<ShotList> {
    let kept: Option<Kept> = tx
        .sql(sql!("SELECT rules, revision FROM shot_list WHERE project_id = $1"))
        .bind(project.0)
        .opt()
        .await?;
    let Some(kept) = kept else { return Ok(ShotList { rules: default_rules(), revision: 0 }) };
    let rules = serde_json::from_str(&kept.rules)
        .map_err(|cause| StoreError::Corrupt { column: "rules".into(), cause: cause.to_string() })?;
    Ok(ShotList { rules, revision: kept.revision })
}

/// Gives a project other rules; `Changed` when somebody else did since `revision`.
pub async fn update_list(tx: &mut Tx, project: ProjectId, rules: &[Rule], revision: i64) -> Result<()> {
    let text = serde_json::to_string(rules)
        .map_err(|cause| StoreError::Corrupt { column: "rules".into(), cause: cause.to_string() })?;
    let touched = tx
        .sql(sql!(
            "INSERT INTO shot_list (project_id, rules, revision) VALUES ($1, $2, $3)
             ON CONFLICT (project_id) DO UPDATE SET rules = excluded.rules, revision = excluded.revision
             WHERE shot_list.revision = $4"
        ))
        .bind(project.0)
        .bind(text)
        .bind(revision + 1)
        .bind(revision)
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// A find among which shots are looked for.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Looked {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    pub number: String,
    pub sort_key: String,
    pub object_type: String,
    pub material: String,
}

/// Finds registered singly whose stage changed last, the latest first; restricted ones where asked.
pub async fn list_recent(
    tx: &mut Tx,
    project: ProjectId,
    restricted_too: bool,
    most: i64,
) -> Result<Vec<Looked>> {
    tx.sql(sql!(
        "SELECT id, number, sort_key, object_type, material FROM find
         WHERE project_id = $1 AND NOT bulk AND void_at IS NULL AND (NOT restricted OR $2)
         ORDER BY stage_since DESC, id DESC LIMIT $3"
    ))
    .bind(project.0)
    .bind(restricted_too)
    .bind(most)
    .all()
    .await
}

/// Finds registered singly in the order of their numbers, from behind this place on; restricted ones where asked.
pub async fn list_finds(
    tx: &mut Tx,
    project: ProjectId,
    restricted_too: bool,
    (after, after_id): (&str, Uuid),
    most: i64,
) -> Result<Vec<Looked>> {
    tx.sql(sql!(
        "SELECT id, number, sort_key, object_type, material FROM find
         WHERE project_id = $1 AND NOT bulk AND void_at IS NULL AND (NOT restricted OR $2)
            AND (sort_key > $3 OR (sort_key = $4 AND id > $5))
         ORDER BY sort_key, id LIMIT $6"
    ))
    .bind(project.0)
    .bind(restricted_too)
    .bind(after.to_owned())
    .bind(after.to_owned())
    .bind(after_id)
    .bind(most)
    .all()
    .await
}
