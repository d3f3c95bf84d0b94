//! What dates the contexts of a project: dates given to finds, judgements of them, years fixed for contexts.
//!
//! - [`judgements`]: residual or intrusive, by whom and why
//! - [`fixed_years`]: a context was there by a year
pub mod fixed_years;
pub mod judgements;

use crate::{Result, Tx, sql};
use domain::ids::{ContextId, FindId, ProjectId};
use uuid::Uuid;

/// A context as the diagram needs it.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Brief {
    #[sqlx(try_from = "Uuid")]
    pub id: ContextId,
    pub number: String,
    pub area: String,
    pub phase: String,
    pub interpretation: String,
}

/// The contexts of a project in their order.
pub async fn list_contexts(tx: &mut Tx, project: ProjectId) -> Result<Vec<Brief>> {
    tx.sql(sql!(
        "SELECT id, number, area, phase, interpretation FROM context WHERE project_id = $1 ORDER BY sort_key, id"
    ))
    .bind(project.0)
    .all()
    .await
}

/// A date somebody gave to a find.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct GivenDate {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub number: String,
    pub object_type: String,
    #[sqlx(try_from = "Uuid")]
    pub context_id: ContextId,
    /// `settled`, or the finality of an opinion.
    pub standing: String,
    pub date_words: String,
    /// Astronomical years, 0 being 1 BC.
    pub date_lo: Option<i64>,
    pub date_hi: Option<i64>,
    /// Who settled it or holds the opinion.
    pub by_name: String,
}

/// Every standing date of the finds of a project that lie in a context, by find; void finds left out, restricted ones
/// unless asked for. A settlement that left the matter unresolved gives none.
pub async fn list_dates(tx: &mut Tx, project: ProjectId, restricted_too: bool) -> Result<Vec<GivenDate>> {
    tx.sql(sql!(
        "SELECT f.sort_key, f.id AS find_id, f.number, f.object_type, f.context_id, 'settled' AS standing,
            s.date_words, s.date_lo, s.date_hi, p.name AS by_name
         FROM find f JOIN settlement s ON s.find_id = f.id JOIN person p ON p.id = s.settled_by
         WHERE f.project_id = $1 AND f.context_id IS NOT NULL AND f.void_at IS NULL AND ($2 OR NOT f.restricted)
            AND s.superseded_at IS NULL AND s.outcome <> 'unresolved'
            AND (s.date_lo IS NOT NULL OR s.date_hi IS NOT NULL)
         UNION ALL
         SELECT f.sort_key, f.id AS find_id, f.number, f.object_type, f.context_id, o.finality AS standing,
            o.date_words, o.date_lo, o.date_hi, p.name AS by_name
         FROM find f JOIN opinion o ON o.find_id = f.id JOIN person p ON p.id = o.author_id
         WHERE f.project_id = $1 AND f.context_id IS NOT NULL AND f.void_at IS NULL AND ($2 OR NOT f.restricted)
            AND o.superseded_at IS NULL AND (o.date_lo IS NOT NULL OR o.date_hi IS NOT NULL)
         ORDER BY 1, 2, 10"
    ))
    .bind(project.0)
    .bind(restricted_too)
    .all()
    .await
}
