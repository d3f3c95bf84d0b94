//! Places: building, room, shelf, box. Where a find is and where it was.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{FindId, MovementId, PersonId, PlaceId, ProjectId};
use uuid::Uuid;

/// A place as kept.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Place {
    #[sqlx(try_from = "Uuid")]
    pub id: PlaceId,
    pub parent_id: Option<Uuid>,
    pub kind: String,
    pub name: String,
    /// All names from the building down, separated by “ › ”.
    pub path: String,
    pub revision: i64,
}

/// A place to be made.
#[derive(Debug, Clone)]
pub struct NewPlace {
    pub project: ProjectId,
    pub parent: Option<PlaceId>,
    pub kind: String,
    pub name: String,
}

/// Between the names of a path.
pub const PARTING: &str = " › ";

/// Makes a place; `Taken` when its parent has one of that name.
pub async fn insert(tx: &mut Tx, place: &NewPlace, now: Instant) -> Result<PlaceId> {
    let above = match place.parent {
        Some(parent) => find(tx, place.project, parent).await?.map(|p| p.path + PARTING).unwrap_or_default(),
        None => String::new(),
    };
    let path = format!("{above}{}", place.name);
    let id = PlaceId::new(now);
    tx.sql(sql!(
        "INSERT INTO place (id, project_id, parent_id, kind, name, path, sort_key, revision)
         VALUES ($1, $2, $3, $4, $5, $6, $7, 1)"
    ))
    .bind(id.0)
    .bind(place.project.0)
    .bind(place.parent.map(Uuid::from))
    .bind(place.kind.clone())
    .bind(place.name.clone())
    .bind(path.clone())
    .bind(domain::finds::number::sort_key(&path))
    .run()
    .await?;
    Ok(id)
}

/// A place of a project.
pub async fn find(tx: &mut Tx, project: ProjectId, id: PlaceId) -> Result<Option<Place>> {
    tx.sql(sql!(
        "SELECT id, parent_id, kind, name, path, revision FROM place WHERE id = $1 AND project_id = $2"
    ))
    .bind(id.0)
    .bind(project.0)
    .opt()
    .await
}

/// The places of a project, each below the one it is in.
pub async fn list(tx: &mut Tx, project: ProjectId) -> Result<Vec<Place>> {
    tx.sql(sql!("SELECT id, parent_id, kind, name, path, revision FROM place WHERE project_id = $1 ORDER BY sort_key, id"))
        .bind(project.0)
        .all()
        .await
}

/// How much lies in a place and in what stands there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// Nothing stands in it.
    Itself,
    /// So few finds that each can be looked at.
    Few,
    /// So many that a list in whichever order soon comes by some.
    Many,
}

/// Finds in a place up to which they are few.
const FEW: i64 = 5_000;

/// How much lies in a place.
pub async fn reach(tx: &mut Tx, place: PlaceId) -> Result<Reach> {
    let holds: Option<bool> =
        tx.sql(sql!("SELECT EXISTS (SELECT 1 FROM place WHERE parent_id = $1)")).bind(place.0).cell().await?;
    if holds != Some(true) {
        return Ok(Reach::Itself);
    }
    let finds: Option<i64> = tx
        .sql(sql!(
            "WITH RECURSIVE inside (id) AS (
                SELECT p.id FROM place p WHERE p.id = $1
                UNION ALL SELECT p.id FROM place p JOIN inside i ON p.parent_id = i.id)
             SELECT COUNT(*) FROM (
                SELECT 1 FROM inside CROSS JOIN find f WHERE f.place_id = inside.id LIMIT $2) counted"
        ))
        .bind(place.0)
        .bind(FEW + 1)
        .cell()
        .await?;
    Ok(if finds > Some(FEW) { Reach::Many } else { Reach::Few })
}

/// A movement to be recorded.
#[derive(Debug, Clone)]
pub struct NewMovement {
    pub find: FindId,
    pub to: PlaceId,
    /// Pieces moved; `None` is all of them.
    pub quantity: Option<i64>,
    pub moved_at: Instant,
    pub moved_by: String,
    pub reason: String,
}

/// Records a movement; unless only some pieces moved, the find is now there.
pub async fn insert_movement(tx: &mut Tx, movement: &NewMovement, by: PersonId, now: Instant) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO movement (id, find_id, from_place_id, to_place_id, quantity, moved_at, moved_by, reason, recorded_by,
            recorded_at)
         VALUES ($1, $2, (SELECT place_id FROM find WHERE id = $2), $3, $4, $5, $6, $7, $8, $9)"
    ))
    .bind(MovementId::new(now).0)
    .bind(movement.find.0)
    .bind(movement.to.0)
    .bind(movement.quantity)
    .bind(domain::cut(movement.moved_at))
    .bind(movement.moved_by.clone())
    .bind(movement.reason.clone())
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    if movement.quantity.is_none() {
        crate::boxes::update_left(tx, movement.find, Some(movement.to), now).await?;
        tx.sql(sql!("UPDATE find SET place_id = $2 WHERE id = $1"))
            .bind(movement.find.0)
            .bind(movement.to.0)
            .run()
            .await?;
    }
    Ok(())
}

/// Whether a find was moved since.
pub async fn is_moved_since(tx: &mut Tx, find: FindId, since: Instant) -> Result<bool> {
    let moved: Option<bool> = tx
        .sql(sql!("SELECT EXISTS (SELECT 1 FROM movement WHERE find_id = $1 AND recorded_at > $2)"))
        .bind(find.0)
        .bind(domain::cut(since))
        .cell()
        .await?;
    Ok(moved == Some(true))
}

/// A movement as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Movement {
    pub from_path: Option<String>,
    pub to_path: String,
    pub quantity: Option<i64>,
    pub moved_at: Instant,
    pub moved_by: String,
    pub reason: String,
}

/// Where a find was, the latest movement first.
pub async fn list_movements(tx: &mut Tx, find: FindId) -> Result<Vec<Movement>> {
    tx.sql(sql!(
        "SELECT a.path AS from_path, b.path AS to_path, v.quantity, v.moved_at, v.moved_by, v.reason
         FROM movement v LEFT JOIN place a ON a.id = v.from_place_id JOIN place b ON b.id = v.to_place_id
         WHERE v.find_id = $1 ORDER BY v.moved_at DESC, v.id DESC"
    ))
    .bind(find.0)
    .all()
    .await
}
