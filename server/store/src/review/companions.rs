//! What a specialist sees beside a find: other finds of the same assignments, and when colleagues' opinions show.
use crate::{Result, Tx, sql};
use domain::ids::{FindId, PersonId};
use uuid::Uuid;

/// Another find of an open assignment.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Companion {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    pub number: String,
    pub object_type: String,
    pub material_name: String,
}

/// The other finds of the open assignments under which a specialist was sent this one, by number.
pub async fn list(tx: &mut Tx, find: FindId, specialist: PersonId) -> Result<Vec<Companion>> {
    tx.sql(sql!(
        "SELECT DISTINCT f.sort_key, f.id, f.number, f.object_type, m.name AS material_name
         FROM shared_find mine JOIN shared_find other ON other.assignment_id = mine.assignment_id AND other.find_id <> mine.find_id
         JOIN find f ON f.id = other.find_id JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         WHERE mine.find_id = $1 AND mine.specialist_id = $2 AND mine.closed_at IS NULL AND f.void_at IS NULL
         ORDER BY f.sort_key, f.id"
    ))
    .bind(find.0)
    .bind(specialist.0)
    .all()
    .await
}

/// Whether colleagues' opinions on a find stay hidden from a specialist until the own one is in: when one of the
/// assignments that sent it is blind.
pub async fn is_blind(tx: &mut Tx, find: FindId, specialist: PersonId) -> Result<bool> {
    let blind: Option<i64> = tx
        .sql(sql!(
            "SELECT COUNT(*) FROM assignment_find af JOIN assignment a ON a.id = af.assignment_id
             WHERE af.find_id = $1 AND a.specialist_id = $2 AND a.blind"
        ))
        .bind(find.0)
        .bind(specialist.0)
        .cell()
        .await?;
    Ok(blind.unwrap_or(0) > 0)
}

/// The finds on which colleagues' opinions are hidden from a specialist because the own one is still to come.
pub async fn list_unspoken(tx: &mut Tx, specialist: PersonId) -> Result<Vec<FindId>> {
    let rows: Vec<Unspoken> = tx
        .sql(sql!(
            "SELECT DISTINCT s.find_id FROM shared_find s JOIN assignment a ON a.id = s.assignment_id
             WHERE s.specialist_id = $1 AND a.blind
                AND NOT EXISTS (SELECT 1 FROM opinion o WHERE o.find_id = s.find_id AND o.author_id = $1)"
        ))
        .bind(specialist.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| row.find_id).collect())
}

#[derive(sqlx::FromRow)]
struct Unspoken {
    #[sqlx(try_from = "Uuid")]
    find_id: FindId,
}
