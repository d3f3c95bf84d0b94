//! One find as a person may see it, and its changes.
use super::register::NewFind;
use super::seen::Seen;
use crate::{Result, StoreError, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::finds::RecoveredState;
use domain::ids::{ContextId, FindId, PersonId, PlaceId, ProjectId};
use domain::permission::Actor;
use domain::review::share::Share;
use domain::stages::{Headline, Route, Stage, StageState};
use uuid::Uuid;

/// A find as kept, with the words of what it refers to.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Find {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub project_code: String,
    pub number: String,
    pub bulk: bool,
    pub context_id: Option<Uuid>,
    pub context_number: Option<String>,
    pub material: String,
    pub material_name: String,
    pub caution: String,
    /// What a licence asks for wherever it is handled; empty where there is none.
    pub licence: String,
    pub material_words: String,
    pub object_type: String,
    pub description: String,
    pub quantity: i64,
    pub weight_g: Option<f64>,
    pub fragments: Option<i64>,
    pub recovered_on: Option<NaiveDate>,
    pub recovered_by: String,
    pub recovery_method: String,
    #[sqlx(try_from = "String")]
    pub recovered_state: RecoveredState,
    pub sample_number: String,
    pub easting_m: Option<f64>,
    pub northing_m: Option<f64>,
    pub height_m: Option<f64>,
    pub length_mm: Option<f64>,
    pub width_mm: Option<f64>,
    pub thickness_mm: Option<f64>,
    pub diameter_mm: Option<f64>,
    pub period: String,
    pub completeness_pct: Option<f64>,
    pub condition_note: String,
    pub accession_number: String,
    pub note: String,
    pub restricted: bool,
    pub place_id: Option<Uuid>,
    pub place_path: Option<String>,
    pub assignee_id: Option<Uuid>,
    pub assignee_name: Option<String>,
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    #[sqlx(try_from = "String")]
    pub stage_state: StageState,
    pub stage_since: Instant,
    #[sqlx(try_from = "String")]
    pub headline: Headline,
    pub held: bool,
    pub due_at: Option<Instant>,
    pub own_route: Option<String>,
    pub own_route_reason: Option<String>,
    pub void_at: Option<Instant>,
    pub void_reason: Option<String>,
    pub registered_at: Instant,
    pub revision: i64,
    /// How much of its records the person sees who asked for it.
    #[sqlx(skip)]
    pub seen: Seen,
}

impl Find {
    /// Empties what its specialist is not shown.
    fn keep_back(&mut self) {
        if !self.seen.has(Share::Contexts) {
            (self.context_id, self.context_number) = (None, None);
        }
        if !self.seen.has(Share::Measurements) {
            (self.length_mm, self.width_mm, self.thickness_mm) = (None, None, None);
            (self.diameter_mm, self.completeness_pct) = (None, None);
        }
        if !self.seen.has(Share::Conservation) {
            self.condition_note.clear();
        }
        if !self.seen.is_of_the_team() {
            (self.place_id, self.place_path) = (None, None);
            (self.assignee_id, self.assignee_name) = (None, None);
        }
    }
}

/// The find, if this person may see it. What may not be seen is not there.
///
/// Seen by everybody of the project but readers, restricted finds only with the clearance; a specialist sees what is
/// assigned, as far as the assignment shares it: what is kept back stands empty here.
pub async fn find_visible(tx: &mut Tx, actor: &Actor, id: FindId) -> Result<Option<Find>> {
    let found: Option<Find> = tx.sql(sql!(
        "SELECT f.id, f.project_id, pr.code AS project_code, f.number, f.bulk, f.context_id, c.number AS context_number,
            f.material, m.name AS material_name, m.caution, m.licence, f.material_words, f.object_type, f.description, f.quantity,
            f.weight_g, f.fragments, f.recovered_on, f.recovered_by, f.recovery_method, f.recovered_state,
            f.sample_number, f.easting_m, f.northing_m, f.height_m, f.length_mm, f.width_mm, f.thickness_mm,
            f.diameter_mm, f.period, f.completeness_pct, f.condition_note, f.accession_number, f.note, f.restricted,
            f.place_id, pl.path AS place_path, f.assignee_id, a.name AS assignee_name, f.stage, f.stage_state,
            f.stage_since, f.headline, f.held, f.due_at, f.own_route, f.own_route_reason, f.void_at, f.void_reason,
            f.registered_at, f.revision
         FROM find f JOIN project pr ON pr.id = f.project_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         LEFT JOIN context c ON c.id = f.context_id
         LEFT JOIN place pl ON pl.id = f.place_id
         LEFT JOIN person a ON a.id = f.assignee_id
         WHERE f.id = $1 AND (
            (EXISTS (SELECT 1 FROM membership s WHERE s.project_id = f.project_id AND s.person_id = $2
                     AND s.role NOT IN ('specialist', 'reader'))
             AND (NOT f.restricted OR EXISTS (SELECT 1 FROM clearance r WHERE r.project_id = f.project_id
                     AND r.person_id = $2 AND r.kind = 'restricted')))
            OR EXISTS (SELECT 1 FROM shared_find s WHERE s.find_id = f.id AND s.specialist_id = $2))"
    ))
    .bind(id.0)
    .bind(actor.person.0)
    .opt()
    .await?;
    let Some(mut find) = found else { return Ok(None) };
    find.seen = Seen::of(tx, actor, &find).await?;
    find.keep_back();
    Ok(Some(find))
}

/// The find, whoever asks: for imports, after the project has been asked for.
pub async fn find_unguarded(tx: &mut Tx, id: FindId) -> Result<Option<Find>> {
    tx.sql(sql!(
        "SELECT f.id, f.project_id, pr.code AS project_code, f.number, f.bulk, f.context_id, c.number AS context_number,
            f.material, m.name AS material_name, m.caution, m.licence, f.material_words, f.object_type, f.description, f.quantity,
            f.weight_g, f.fragments, f.recovered_on, f.recovered_by, f.recovery_method, f.recovered_state,
            f.sample_number, f.easting_m, f.northing_m, f.height_m, f.length_mm, f.width_mm, f.thickness_mm,
            f.diameter_mm, f.period, f.completeness_pct, f.condition_note, f.accession_number, f.note, f.restricted,
            f.place_id, pl.path AS place_path, f.assignee_id, a.name AS assignee_name, f.stage, f.stage_state,
            f.stage_since, f.headline, f.held, f.due_at, f.own_route, f.own_route_reason, f.void_at, f.void_reason,
            f.registered_at, f.revision
         FROM find f JOIN project pr ON pr.id = f.project_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         LEFT JOIN context c ON c.id = f.context_id
         LEFT JOIN place pl ON pl.id = f.place_id
         LEFT JOIN person a ON a.id = f.assignee_id
         WHERE f.id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// Notes where a find is, without a movement: for imports.
pub async fn update_place(tx: &mut Tx, id: FindId, place: Option<PlaceId>) -> Result<()> {
    let place = place.map(Uuid::from);
    tx.sql(sql!("UPDATE find SET place_id = $2 WHERE id = $1")).bind(id.0).bind(place).run().await?;
    Ok(())
}

/// The id of a number in a project, whoever asks: for imports and scans, before [`find_visible`].
pub async fn find_by_number(tx: &mut Tx, project: ProjectId, number: &str) -> Result<Option<FindId>> {
    let id: Option<Uuid> = tx
        .sql(sql!("SELECT id FROM find WHERE project_id = $1 AND number = $2"))
        .bind(project.0)
        .bind(number.to_owned())
        .cell()
        .await?;
    Ok(id.map(FindId))
}

/// Gives a find new words, all but its number and place; `Changed` when somebody else saved since `revision`.
///
/// A change of material moves the find between cells of the backlog: call [`super::progress::refresh`] afterwards.
pub async fn update(tx: &mut Tx, find: &Find, new: &NewFind, revision: i64) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE find SET bulk = $3, context_id = $4, material_words = $5, object_type = $6,
                description = $7, quantity = $8, weight_g = $9, fragments = $10, recovered_on = $11, recovered_by = $12,
                recovery_method = $13, recovered_state = $14, sample_number = $15, easting_m = $16, northing_m = $17,
                height_m = $18, length_mm = $19, width_mm = $20, thickness_mm = $21, diameter_mm = $22, period = $23,
                completeness_pct = $24, condition_note = $25, accession_number = $26, note = $27, restricted = $28,
                revision = revision + 1
             WHERE id = $1 AND revision = $2"
        ))
        .bind(find.id.0)
        .bind(revision)
        .bind(new.bulk)
        .bind(new.context.map(Uuid::from))
        .bind(new.material_words.clone())
        .bind(new.object_type.clone())
        .bind(new.description.clone())
        .bind(new.quantity)
        .bind(new.weight_g)
        .bind(new.fragments)
        .bind(new.recovered_on)
        .bind(new.recovered_by.clone())
        .bind(new.recovery_method.clone())
        .bind(new.recovered_state.code())
        .bind(new.sample_number.clone())
        .bind(new.easting_m)
        .bind(new.northing_m)
        .bind(new.height_m)
        .bind(new.length_mm)
        .bind(new.width_mm)
        .bind(new.thickness_mm)
        .bind(new.diameter_mm)
        .bind(new.period.clone())
        .bind(new.completeness_pct)
        .bind(new.condition_note.clone())
        .bind(new.accession_number.clone())
        .bind(new.note.clone())
        .bind(new.restricted)
        .run()
        .await?;
    if touched != 1 {
        return Err(StoreError::Changed);
    }
    if new.material != find.material {
        super::progress::update_material(tx, find.id, &new.material).await?;
    }
    refresh_search(tx, find.id).await
}

#[derive(sqlx::FromRow)]
struct SearchRow {
    #[sqlx(try_from = "Uuid")]
    project_id: ProjectId,
    number: String,
    words: String,
}

#[derive(sqlx::FromRow)]
struct OpinionWords {
    words: String,
}

/// Gives a find's search document the words of its register line and, apart, of its standing opinions.
pub async fn refresh_search(tx: &mut Tx, id: FindId) -> Result<()> {
    let row: SearchRow = tx
        .sql(sql!(
            "SELECT project_id, number, object_type || ' ' || description || ' ' || material_words || ' ' || period
                || ' ' || note AS words FROM find WHERE id = $1"
        ))
        .bind(id.0)
        .one()
        .await?;
    let opinions: Vec<OpinionWords> = tx
        .sql(sql!(
            "SELECT identification || ' ' || material_words || ' ' || origin || ' ' || date_words || ' ' || basis || ' '
                || negative_findings || ' ' || significance AS words
             FROM opinion WHERE find_id = $1 AND superseded_at IS NULL
             UNION ALL
             SELECT p.citation AS words FROM opinion o JOIN opinion_parallel p ON p.opinion_id = o.id
             WHERE o.find_id = $1 AND o.superseded_at IS NULL"
        ))
        .bind(id.0)
        .all()
        .await?;
    let words = format!("{} {}", domain::finds::number::spellings(&row.number), row.words);
    let opinions: Vec<String> = opinions.into_iter().map(|opinion| opinion.words).collect();
    crate::search::update(tx, row.project_id, id, (&words, &opinions.join(" "))).await
}

/// Gives a find to a person at the bench, or to nobody.
pub async fn update_assignee(tx: &mut Tx, id: FindId, person: Option<PersonId>) -> Result<()> {
    tx.sql(sql!("UPDATE find SET assignee_id = $2 WHERE id = $1"))
        .bind(id.0)
        .bind(person.map(Uuid::from))
        .run()
        .await?;
    Ok(())
}

/// Gives a find a route of its own with the reason, or takes it away; [`super::progress::refresh`] it afterwards.
pub async fn update_own_route(tx: &mut Tx, id: FindId, own: Option<(&Route, &str)>) -> Result<()> {
    let stages = |route: &Route| route.0.iter().map(|s| s.stage.code()).collect::<Vec<_>>().join(" ");
    tx.sql(sql!("UPDATE find SET own_route = $2, own_route_reason = $3 WHERE id = $1"))
        .bind(id.0)
        .bind(own.map(|(route, _)| stages(route)))
        .bind(own.map(|(_, reason)| reason.to_owned()))
        .run()
        .await?;
    Ok(())
}

impl Find {
    /// The words of the find as a form shows them.
    pub fn as_new(&self) -> NewFind {
        NewFind {
            number: self.number.clone(),
            bulk: self.bulk,
            context: self.context_id.map(ContextId),
            material: self.material.clone(),
            material_words: self.material_words.clone(),
            object_type: self.object_type.clone(),
            description: self.description.clone(),
            quantity: self.quantity,
            weight_g: self.weight_g,
            fragments: self.fragments,
            recovered_on: self.recovered_on,
            recovered_by: self.recovered_by.clone(),
            recovery_method: self.recovery_method.clone(),
            recovered_state: self.recovered_state,
            sample_number: self.sample_number.clone(),
            easting_m: self.easting_m,
            northing_m: self.northing_m,
            height_m: self.height_m,
            length_mm: self.length_mm,
            width_mm: self.width_mm,
            thickness_mm: self.thickness_mm,
            diameter_mm: self.diameter_mm,
            period: self.period.clone(),
            completeness_pct: self.completeness_pct,
            condition_note: self.condition_note.clone(),
            accession_number: self.accession_number.clone(),
            note: self.note.clone(),
            restricted: self.restricted,
            place: self.place_id.map(PlaceId),
        }
    }

    /// Whose bench it is on, if anybody's.
    pub fn assignee(&self) -> Option<PersonId> {
        self.assignee_id.map(PersonId)
    }
}
