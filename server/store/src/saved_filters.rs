//! Filters a person keeps by name.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{FilterId, PersonId, ProjectId};
use uuid::Uuid;

/// A kept filter: the query part of a list's address.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct SavedFilter {
    #[sqlx(try_from = "Uuid")]
    pub id: FilterId,
    pub name: String,
    pub query: String,
}

/// Keeps a filter; one of the same name is replaced.
pub async fn insert(
    tx: &mut Tx,
    project: ProjectId,
    person: PersonId,
    (name, query): (&str, &str),
    now: Instant,
) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO saved_filter (id, project_id, person_id, name, query) VALUES ($1, $2, $3, $4, $5)
         ON CONFLICT (project_id, person_id, name) DO UPDATE SET query = excluded.query"
    ))
    .bind(FilterId::new(now).0)
    .bind(project.0)
    .bind(person.0)
    .bind(name.to_owned())
    .bind(query.to_owned())
    .run()
    .await?;
    Ok(())
}

/// The filters of a person in a project, by name.
pub async fn list(tx: &mut Tx, project: ProjectId, person: PersonId) -> Result<Vec<SavedFilter>> {
    tx.sql(sql!(
        "SELECT id, name, query FROM saved_filter WHERE project_id = $1 AND person_id = $2 ORDER BY name"
    ))
    .bind(project.0)
    .bind(person.0)
    .all()
    .await
}

/// Forgets a filter of this person.
pub async fn delete(tx: &mut Tx, person: PersonId, id: FilterId) -> Result<()> {
    tx.sql(sql!("DELETE FROM saved_filter WHERE id = $1 AND person_id = $2"))
        .bind(id.0)
        .bind(person.0)
        .run()
        .await?;
    Ok(())
}
