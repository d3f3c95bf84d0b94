//! Object groups: finds that were one thing or belong together.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{FindId, GroupId, ProjectId};
use uuid::Uuid;

/// A group by name.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Group {
    #[sqlx(try_from = "Uuid")]
    pub id: GroupId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub name: String,
    pub note: String,
    pub revision: i64,
}

/// A find of a group.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Member {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    pub number: String,
    pub object_type: String,
    pub restricted: bool,
}

/// Makes a group; `Taken` when the project has one of that name.
pub async fn insert(
    tx: &mut Tx,
    project: ProjectId,
    name: &str,
    note: &str,
    now: Instant,
) -> Result<GroupId> {
    let id = GroupId::new(now);
    tx.sql(sql!(
        "INSERT INTO object_group (id, project_id, name, note, revision, created_at) VALUES ($1, $2, $3, $4, 1, $5)"
    ))
    .bind(id.0)
    .bind(project.0)
    .bind(name.to_owned())
    .bind(note.to_owned())
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// The group of an id.
pub async fn find(tx: &mut Tx, id: GroupId) -> Result<Option<Group>> {
    tx.sql(sql!("SELECT id, project_id, name, note, revision FROM object_group WHERE id = $1"))
        .bind(id.0)
        .opt()
        .await
}

/// The group of a name in a project.
pub async fn find_by_name(tx: &mut Tx, project: ProjectId, name: &str) -> Result<Option<Group>> {
    tx.sql(sql!(
        "SELECT id, project_id, name, note, revision FROM object_group WHERE project_id = $1 AND name = $2"
    ))
    .bind(project.0)
    .bind(name.to_owned())
    .opt()
    .await
}

/// Every group of a project, by name.
pub async fn list(tx: &mut Tx, project: ProjectId) -> Result<Vec<Group>> {
    tx.sql(sql!(
        "SELECT id, project_id, name, note, revision FROM object_group WHERE project_id = $1 ORDER BY name"
    ))
    .bind(project.0)
    .all()
    .await
}

/// The groups a find belongs to.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Group>> {
    tx.sql(sql!(
        "SELECT g.id, g.project_id, g.name, g.note, g.revision FROM object_group g
         JOIN object_group_find gf ON gf.group_id = g.id WHERE gf.find_id = $1 ORDER BY g.name"
    ))
    .bind(find.0)
    .all()
    .await
}

/// The finds of a group, by number.
pub async fn list_members(tx: &mut Tx, id: GroupId) -> Result<Vec<Member>> {
    tx.sql(sql!(
        "SELECT f.id, f.number, f.object_type, f.restricted FROM object_group_find gf JOIN find f ON f.id = gf.find_id
         WHERE gf.group_id = $1 ORDER BY f.sort_key, f.id"
    ))
    .bind(id.0)
    .all()
    .await
}

/// Lays a find to a group; doing it twice changes nothing.
pub async fn insert_member(tx: &mut Tx, id: GroupId, find: FindId) -> Result<()> {
    tx.sql(sql!("INSERT INTO object_group_find (group_id, find_id) VALUES ($1, $2) ON CONFLICT DO NOTHING"))
        .bind(id.0)
        .bind(find.0)
        .run()
        .await?;
    Ok(())
}

/// Takes a find out of a group.
pub async fn delete_member(tx: &mut Tx, id: GroupId, find: FindId) -> Result<()> {
    tx.sql(sql!("DELETE FROM object_group_find WHERE group_id = $1 AND find_id = $2"))
        .bind(id.0)
        .bind(find.0)
        .run()
        .await?;
    Ok(())
}
