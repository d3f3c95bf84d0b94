//! Projects, with the material groups and routes each keeps for itself.
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::finds::material::{self, MaterialGroup};
use domain::ids::ProjectId;
use domain::stages::{Gate, Route, RouteStage, Stage};
use std::collections::BTreeMap;
use uuid::Uuid;

/// A project as kept.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Project {
    #[sqlx(try_from = "Uuid")]
    pub id: ProjectId,
    pub code: String,
    pub name: String,
    pub site: String,
    pub client: String,
    pub summary: String,
    pub number_pattern: String,
    pub date_convention: String,
    pub revision: i64,
}

/// A project to be made or the new wording of one.
#[derive(Debug, Clone)]
pub struct NewProject {
    pub code: String,
    pub name: String,
    pub site: String,
    pub client: String,
    pub summary: String,
    /// How new numbers look, `#` standing for the running number.
    pub number_pattern: String,
    /// How date phrases are read: `thirds` or `quarters`.
    pub date_convention: String,
}

/// A material group of a project.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Material {
    pub code: String,
    pub name: String,
    /// Folded words by which registers call it, separated by commas.
    pub words: String,
    pub caution: String,
    pub position: i64,
}

/// Makes a project with the default materials and routes; `Taken` when the code is in use.
pub async fn insert(tx: &mut Tx, project: &NewProject, now: Instant) -> Result<ProjectId> {
    let id = ProjectId::new(now);
    tx.sql(sql!(
        "INSERT INTO project (id, code, name, site, client, summary, number_pattern, date_convention, created_at, revision)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, 1)"
    ))
    .bind(id.0)
    .bind(project.code.clone())
    .bind(project.name.clone())
    .bind(project.site.clone())
    .bind(project.client.clone())
    .bind(project.summary.clone())
    .bind(project.number_pattern.clone())
    .bind(project.date_convention.clone())
    .bind(domain::cut(now))
    .run()
    .await?;
    for (position, group) in material::GROUPS.iter().enumerate() {
        insert_group(tx, id, group, position as i64).await?;
    }
    Ok(id)
}

async fn insert_group(tx: &mut Tx, project: ProjectId, group: &MaterialGroup, position: i64) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO material (project_id, code, name, words, caution, position) VALUES ($1, $2, $3, $4, $5, $6)"
    ))
    .bind(project.0)
    .bind(group.code)
    .bind(group.name)
    .bind(group.words)
    .bind(group.caution)
    .bind(position)
    .run()
    .await?;
    let route = group
        .route
        .iter()
        .map(|&stage| RouteStage { stage, gates: material::default_gates(group.code, stage) });
    replace_route(tx, project, group.code, &Route(route.collect())).await
}

/// Gives a material group another route.
pub async fn replace_route(tx: &mut Tx, project: ProjectId, material: &str, route: &Route) -> Result<()> {
    tx.sql(sql!("DELETE FROM route_stage WHERE project_id = $1 AND material = $2"))
        .bind(project.0)
        .bind(material.to_owned())
        .run()
        .await?;
    for (position, stage) in route.0.iter().enumerate() {
        let gates: Vec<&str> = stage.gates.iter().map(|gate| gate.code()).collect();
        tx.sql(sql!(
            "INSERT INTO route_stage (project_id, material, stage, position, gates) VALUES ($1, $2, $3, $4, $5)"
        ))
        .bind(project.0)
        .bind(material.to_owned())
        .bind(stage.stage.code())
        .bind(position as i64)
        .bind(gates.join(" "))
        .run()
        .await?;
    }
    Ok(())
}

/// The project of a code, letters in either case.
pub async fn find_by_code(tx: &mut Tx, code: &str) -> Result<Option<Project>> {
    tx.sql(sql!(
        "SELECT id, code, name, site, client, summary, number_pattern, date_convention, revision
         FROM project WHERE code = $1"
    ))
    .bind(code.to_uppercase())
    .opt()
    .await
}

/// The project of an id.
pub async fn find(tx: &mut Tx, id: ProjectId) -> Result<Option<Project>> {
    tx.sql(sql!(
        "SELECT id, code, name, site, client, summary, number_pattern, date_convention, revision
         FROM project WHERE id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// Every project, by code.
pub async fn list(tx: &mut Tx) -> Result<Vec<Project>> {
    tx.sql(sql!(
        "SELECT id, code, name, site, client, summary, number_pattern, date_convention, revision
         FROM project ORDER BY code"
    ))
    .all()
    .await
}

/// Gives a project new words; `Changed` when somebody else did since `revision`.
pub async fn update(tx: &mut Tx, id: ProjectId, project: &NewProject, revision: i64) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE project SET name = $3, site = $4, client = $5, summary = $6, number_pattern = $7,
                date_convention = $8, revision = revision + 1 WHERE id = $1 AND revision = $2"
        ))
        .bind(id.0)
        .bind(revision)
        .bind(project.name.clone())
        .bind(project.site.clone())
        .bind(project.client.clone())
        .bind(project.summary.clone())
        .bind(project.number_pattern.clone())
        .bind(project.date_convention.clone())
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// The material groups of a project, in shelf order.
pub async fn list_materials(tx: &mut Tx, project: ProjectId) -> Result<Vec<Material>> {
    tx.sql(sql!("SELECT code, name, words, caution, position FROM material WHERE project_id = $1 ORDER BY position, code"))
        .bind(project.0)
        .all()
        .await
}

/// The route of one material group of a project; empty when it has none.
pub async fn find_route(tx: &mut Tx, project: ProjectId, material: &str) -> Result<Route> {
    let rows: Vec<RouteRow> = tx
        .sql(sql!(
            "SELECT material, stage, gates FROM route_stage WHERE project_id = $1 AND material = $2 ORDER BY position"
        ))
        .bind(project.0)
        .bind(material.to_owned())
        .all()
        .await?;
    let stages =
        rows.into_iter().map(|row| Ok(RouteStage { stage: row.stage, gates: read_gates(&row.gates)? }));
    Ok(Route(stages.collect::<Result<_>>()?))
}

/// Every material's route in a project, by material code.
pub async fn list_routes(tx: &mut Tx, project: ProjectId) -> Result<BTreeMap<String, Route>> {
    let rows: Vec<RouteRow> = tx
        .sql(sql!(
            "SELECT material, stage, gates FROM route_stage WHERE project_id = $1 ORDER BY material, position"
        ))
        .bind(project.0)
        .all()
        .await?;
    let mut routes: BTreeMap<String, Route> = BTreeMap::new();
    for row in rows {
        let stage = RouteStage { stage: row.stage, gates: read_gates(&row.gates)? };
        routes.entry(row.material).or_default().0.push(stage);
    }
    Ok(routes)
}

#[derive(sqlx::FromRow)]
struct RouteRow {
    material: String,
    #[sqlx(try_from = "String")]
    stage: Stage,
    gates: String,
}

fn read_gates(words: &str) -> Result<Vec<Gate>> {
    let gate = |word: &str| {
        word.parse().map_err(|cause: domain::text_enum::UnknownWord| StoreError::Corrupt {
            column: "route_stage.gates".into(),
            cause: cause.to_string(),
        })
    };
    words.split_whitespace().map(gate).collect()
}
