//! The material groups of a project, as its leads keep them.
use crate::{Result, StoreError, Tx, sql};
use domain::ids::ProjectId;

/// A material group with the revision its form starts from.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Group {
    pub code: String,
    pub name: String,
    /// Folded words by which registers call it, separated by commas.
    pub words: String,
    pub caution: String,
    /// What a licence asks for wherever such a find is handled.
    pub licence: String,
    pub revision: i64,
}

/// The words of a group, new or changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GroupWords {
    pub name: String,
    pub words: String,
    pub caution: String,
    pub licence: String,
}

/// The groups of a project, in shelf order.
pub async fn list(tx: &mut Tx, project: ProjectId) -> Result<Vec<Group>> {
    tx.sql(sql!(
        "SELECT code, name, words, caution, licence, revision FROM material WHERE project_id = $1 ORDER BY position, code"
    ))
    .bind(project.0)
    .all()
    .await
}

/// One group of a project.
pub async fn find(tx: &mut Tx, project: ProjectId, code: &str) -> Result<Option<Group>> {
    tx.sql(sql!(
        "SELECT code, name, words, caution, licence, revision FROM material WHERE project_id = $1 AND code = $2"
    ))
    .bind(project.0)
    .bind(code.to_owned())
    .opt()
    .await
}

/// Adds a group at the end of the shelf; `Taken` when the code is in use.
pub async fn insert(tx: &mut Tx, project: ProjectId, code: &str, group: &GroupWords) -> Result<()> {
    let last: Option<i64> = tx
        .sql(sql!("SELECT COALESCE(MAX(position), 0) FROM material WHERE project_id = $1"))
        .bind(project.0)
        .cell()
        .await?;
    tx.sql(sql!(
        "INSERT INTO material (project_id, code, name, words, caution, licence, position)
         VALUES ($1, $2, $3, $4, $5, $6, $7)"
    ))
    .bind(project.0)
    .bind(code.to_owned())
    .bind(group.name.clone())
    .bind(group.words.clone())
    .bind(group.caution.clone())
    .bind(group.licence.clone())
    .bind(last.unwrap_or_default() + 1)
    .run()
    .await?;
    Ok(())
}

/// Gives a group other words; `Changed` when somebody else did since `revision`.
pub async fn update(
    tx: &mut Tx,
    project: ProjectId,
    code: &str,
    group: &GroupWords,
    revision: i64,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE material SET name = $4, words = $5, caution = $6, licence = $7, revision = revision + 1
             WHERE project_id = $1 AND code = $2 AND revision = $3"
        ))
        .bind(project.0)
        .bind(code.to_owned())
        .bind(revision)
        .bind(group.name.clone())
        .bind(group.words.clone())
        .bind(group.caution.clone())
        .bind(group.licence.clone())
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}
