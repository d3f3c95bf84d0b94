//! The rules of clocks: the usual ones, and what a lead of the project set apart from them.
use crate::{Result, StoreError, Tx, sql};
use domain::clocks::{ClockKind, Rule};
use domain::ids::{FindId, ProjectId};
use uuid::Uuid;

/// A rule of a project's own.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct OwnRule {
    #[sqlx(try_from = "String")]
    pub kind: ClockKind,
    pub material: String,
    pub limit_days: Option<i64>,
    pub warn_days: i64,
    pub look_days: i64,
    pub revision: i64,
}

impl OwnRule {
    /// The days it names.
    pub fn rule(&self) -> Rule {
        Rule { limit_days: self.limit_days, warn_days: self.warn_days, look_days: self.look_days }
    }
}

/// The rules a project set apart from the usual ones.
pub async fn list(tx: &mut Tx, project: ProjectId) -> Result<Vec<OwnRule>> {
    tx.sql(sql!(
        "SELECT kind, material, limit_days, warn_days, look_days, revision FROM clock_rule WHERE project_id = $1
         ORDER BY kind, material"
    ))
    .bind(project.0)
    .all()
    .await
}

/// The rule that holds for a kind and a material group.
pub fn choose(own: &[OwnRule], kind: ClockKind, material: &str) -> Rule {
    Rule::of(kind, material, |material| {
        own.iter().find(|rule| rule.kind == kind && rule.material == material).map(OwnRule::rule)
    })
}

#[derive(sqlx::FromRow)]
struct Belonging {
    project_id: Uuid,
    material: String,
}

/// The rule that holds for a kind of clock on a find.
pub async fn find_of(tx: &mut Tx, find: FindId, kind: ClockKind) -> Result<Rule> {
    let of: Belonging =
        tx.sql(sql!("SELECT project_id, material FROM find WHERE id = $1")).bind(find.0).one().await?;
    Ok(choose(&list(tx, of.project_id.into()).await?, kind, &of.material))
}

/// Sets a rule; `Changed` when somebody else did since `revision` (0: there was none).
pub async fn replace(
    tx: &mut Tx,
    project: ProjectId,
    (kind, material): (ClockKind, &str),
    rule: Rule,
    revision: i64,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "INSERT INTO clock_rule (project_id, kind, material, limit_days, warn_days, look_days, revision)
             VALUES ($1, $2, $3, $4, $5, $6, 1)
             ON CONFLICT (project_id, kind, material) DO UPDATE SET limit_days = excluded.limit_days,
                warn_days = excluded.warn_days, look_days = excluded.look_days, revision = clock_rule.revision + 1
             WHERE clock_rule.revision = $7"
        ))
        .bind(project.0)
        .bind(kind.code())
        .bind(material.to_owned())
        .bind(rule.limit_days)
        .bind(rule.warn_days)
        .bind(rule.look_days)
        .bind(revision)
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}
