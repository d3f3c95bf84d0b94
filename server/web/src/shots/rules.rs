//! The shots a project expects, edited by a lead.
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::http::StatusCode;
use axum::response::IntoResponse;
use domain::ids::ProjectId;
use domain::shots::{Light, Moment, Rule};
use domain::stages::{Route, Stage};
use store::Tx;
use store::journal::{self, Entry};
use store::shots::{self, ShotList};

/// Rules a project may keep.
const MOST: usize = 100;
/// Empty rows after the last.
const SPARE: usize = 3;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct RulesForm {
    material: Vec<String>,
    stage: Vec<String>,
    moment: Vec<String>,
    view: Vec<String>,
    light: Vec<String>,
    revision: String,
    take: String,
}

#[derive(Template)]
#[template(path = "shots/rules.html")]
struct RulesPage {
    chrome: Chrome,
    code: String,
    rows: Vec<Row>,
    revision: String,
    /// Code and name of each material group.
    materials: Vec<(String, String)>,
    stages: Vec<Stage>,
    moments: &'static [Moment],
    lights: &'static [Light],
    errors: Errors,
    conflict: Option<Conflict>,
}

struct Row {
    at: usize,
    material: String,
    stage: String,
    moment: String,
    view: String,
    light: String,
}

pub(super) async fn edit(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.read().await?;
    let kept = shots::find_list(&mut tx, project).await?;
    Ok(ok(page(&ctx, &mut tx, code, RulesForm::of(&kept)).await?).into_response())
}

pub(super) async fn update(ctx: Ctx, Path(code): Path<String>, posted: Posted<RulesForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let kept = shots::find_list(&mut tx, project).await?;
    let theirs = RulesForm::of(&kept);
    let form = posted.form.clone();
    if !form.take.is_empty() || form.revision != theirs.revision {
        let mine = if form.take.is_empty() {
            RulesForm { revision: theirs.revision.clone(), ..form }
        } else {
            theirs.clone()
        };
        let conflict = Some(Conflict::between(&mine.fields(), &theirs.fields()));
        let page = page(&ctx, &mut tx, code, mine).await?;
        return Ok((StatusCode::CONFLICT, ok(RulesPage { conflict, ..page })).into_response());
    }
    let mut errors = Errors::default();
    let materials = materials(&mut tx, project).await?;
    let rules = form.parse(&materials, &mut errors);
    if !errors.is_empty() {
        let page = page(&ctx, &mut tx, code, form).await?;
        return Ok(again(RulesPage { errors, ..page }).into_response());
    }
    shots::update_list(&mut tx, project, &rules, kept.revision).await?;
    let words = format!("changed the shot list: {} shots are expected", rules.len());
    let by = Some(ctx.actor.person);
    let entry = Entry { project: Some(project), find: None, context: None, verb: "shots", words, by };
    journal::append(&mut tx, &entry, ctx.now).await?;
    ctx.finish(tx, &posted, &links::shot_rules(&code), "The shot list is saved.").await
}

impl RulesForm {
    fn of(kept: &ShotList) -> Self {
        let column = |cell: fn(&Rule) -> String| kept.rules.iter().map(cell).collect();
        Self {
            material: column(|rule| rule.material.clone()),
            stage: column(|rule| rule.stage.code().into()),
            moment: column(|rule| rule.moment.code().into()),
            view: column(|rule| rule.view.clone()),
            light: column(|rule| rule.light.code().into()),
            revision: kept.revision.to_string(),
            take: String::new(),
        }
    }

    /// A row counts once it names a stage or a view.
    fn rows(&self) -> Vec<Row> {
        let cell = |column: &[String], at: usize| column.get(at).cloned().unwrap_or_default();
        let row = |at: usize| Row {
            at: at + 1,
            material: cell(&self.material, at),
            stage: cell(&self.stage, at),
            moment: cell(&self.moment, at),
            view: cell(&self.view, at),
            light: cell(&self.light, at),
        };
        (0..self.stage.len()).map(row).filter(|row| !row.is_empty()).collect()
    }

    fn fields(&self) -> Vec<(&'static str, &'static str, String)> {
        let row =
            |r: &Row| [&r.material, &r.stage, &r.moment, &r.view, &r.light].map(String::as_str).join(" ");
        vec![("rules", "Shots", self.rows().iter().map(row).collect::<Vec<_>>().join("; "))]
    }

    fn parse(&self, materials: &[(String, String)], errors: &mut Errors) -> Vec<Rule> {
        let rows = self.rows();
        if rows.len() > MOST {
            errors.add("rules", format!("{MOST} shots at most; keep those you take."));
        }
        rows.iter().filter_map(|row| row.parse(materials, errors)).collect()
    }
}

impl Row {
    fn is_empty(&self) -> bool {
        self.stage.is_empty() && self.view.trim().is_empty()
    }

    fn parse(&self, materials: &[(String, String)], errors: &mut Errors) -> Option<Rule> {
        let mut own = Errors::default();
        if !self.material.is_empty() && materials.iter().all(|(code, _)| *code != self.material) {
            own.add("material", "choose a material of the list.");
        }
        let stage: Option<Stage> =
            self.stage.parse().ok().filter(|stage| Route::choosable().any(|s| s == *stage));
        if stage.is_none() {
            own.add("stage", "choose the stage.");
        }
        let moment: Option<Moment> = self.moment.parse().ok();
        if moment.is_none() {
            own.add("moment", "choose before, during or after.");
        }
        let light: Option<Light> = self.light.parse().ok();
        if light.is_none() {
            own.add("light", "choose the light.");
        }
        let view = own.line("view", &self.view);
        if let Some((_, sentence)) = own.list().first() {
            errors.add("rules", format!("Row {}: {sentence}", self.at));
            return None;
        }
        Some(Rule { material: self.material.clone(), stage: stage?, moment: moment?, view, light: light? })
    }
}

async fn materials(tx: &mut Tx, project: ProjectId) -> Answer<Vec<(String, String)>> {
    let groups = store::materials::list(tx, project).await?;
    Ok(groups.into_iter().map(|group| (group.code, group.name)).collect())
}

async fn page(ctx: &Ctx, tx: &mut Tx, code: String, form: RulesForm) -> Answer<RulesPage> {
    let project = ctx.project(&code)?.project;
    let mut rows = form.rows();
    let last = rows.last().map_or(0, |row| row.at);
    let empty = String::new;
    rows.extend((1..=SPARE).map(|n| Row {
        at: last + n,
        material: empty(),
        stage: empty(),
        moment: empty(),
        view: empty(),
        light: empty(),
    }));
    Ok(RulesPage {
        chrome: ctx.chrome_in(project),
        rows,
        revision: form.revision,
        materials: materials(tx, project).await?,
        stages: Route::choosable().collect(),
        moments: Moment::ALL,
        lights: Light::ALL,
        errors: Errors::default(),
        conflict: None,
        code,
    })
}
