//! Rows of specialists.
//!
//! - `disciplines`: the columns as a project keeps them
//! - `drafts`: what a specialist has typed so far
//! - `lists`: rows as submitted, in versions
pub mod disciplines;
pub mod drafts;
pub mod lists;

use crate::{Result, StoreError, Tx, sql};
use domain::ids::{AssignmentId, FindId};
use domain::rows::FindAsked;
use serde::Serialize;
use serde::de::DeserializeOwned;
use uuid::Uuid;

#[derive(sqlx::FromRow)]
struct Asked {
    id: Uuid,
    number: String,
    object_type: String,
    quantity: i64,
    weight_g: Option<f64>,
    licence: String,
}

/// A find of an assignment.
#[derive(Debug, Clone, PartialEq)]
pub struct OnList {
    pub find: FindAsked,
    /// What it is called.
    pub name: String,
    /// What a licence asks for where it is handled.
    pub licence: String,
}

/// The finds of an assignment that its specialist sees, by number.
pub async fn list_finds(tx: &mut Tx, assignment: AssignmentId) -> Result<Vec<OnList>> {
    let rows: Vec<Asked> = tx
        .sql(sql!(
            "SELECT f.id, f.number, f.object_type, f.quantity, f.weight_g, m.licence
             FROM shared_find s JOIN find f ON f.id = s.find_id
             JOIN material m ON m.project_id = f.project_id AND m.code = f.material
             WHERE s.assignment_id = $1 AND f.void_at IS NULL ORDER BY f.sort_key, f.id"
        ))
        .bind(assignment.0)
        .all()
        .await?;
    let find = |row: Asked| {
        let asked =
            FindAsked { id: FindId(row.id), number: row.number, pieces: row.quantity, mass_g: row.weight_g };
        OnList { find: asked, name: row.object_type, licence: row.licence }
    };
    Ok(rows.into_iter().map(find).collect())
}

/// JSON of a kept value.
fn written<T: Serialize>(value: &T, column: &str) -> Result<String> {
    serde_json::to_string(value)
        .map_err(|cause| StoreError::Corrupt { column: column.into(), cause: cause.to_string() })
}

/// A kept value out of its JSON.
fn read<T: DeserializeOwned>(text: &str, column: &str) -> Result<T> {
    serde_json::from_str(text)
        .map_err(|cause| StoreError::Corrupt { column: column.into(), cause: cause.to_string() })
}
