//! The form of a context, with the numbers of its neighbours.
use super::show::load;
use super::site::Ground;
use super::words::circle;
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
use domain::ids::{ContextId, ProjectId};
use domain::refusal::Refusal;
use store::Tx;
use store::contexts::{self, Context, NewContext};
use store::journal::{self, Entry};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct ContextForm {
    revision: String,
    take: String,
    number: String,
    kind: String,
    area: String,
    phase: String,
    interpretation: String,
    description: String,
    soil: String,
    spot_date: String,
    above: String,
    cuts: String,
    same_as: String,
}

#[derive(Template)]
#[template(path = "contexts/form.html")]
struct FormPage {
    chrome: Chrome,
    title: String,
    action: String,
    back: String,
    fixed_number: bool,
    form: ContextForm,
    errors: Errors,
    conflict: Option<Conflict>,
}

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let project = ctx.project(&code)?.project;
    Ok(ok(new_page(&ctx, project, &code, ContextForm::default())).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<ContextForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut errors = Errors::default();
    let new = posted.form.parse(&mut errors);
    if !new.number.is_empty() && contexts::find_by_number(&mut tx, project, &new.number).await?.is_some() {
        errors.add("number", Refusal::NumberTaken { number: new.number.clone() }.to_string());
    }
    let relations = posted.form.relations(&mut tx, project, &new.number, &mut errors).await?;
    if !errors.is_empty() {
        let page = FormPage { errors, ..new_page(&ctx, project, &code, posted.form) };
        return Ok(again(page).into_response());
    }
    let id = contexts::insert(&mut tx, project, &new, ctx.now).await?;
    relate(&mut tx, project, id, &relations).await?;
    journal::append(&mut tx, &entry(&ctx, project, id, format!("entered context {}", new.number)), ctx.now)
        .await?;
    let told = with_circles(&mut tx, project, id, format!("Context {} is entered.", new.number)).await?;
    ctx.finish(tx, &posted, &links::context(id), &told).await
}

pub(super) async fn edit(ctx: Ctx, Path(id): Path<ContextId>) -> Answer {
    let mut tx = ctx.read().await?;
    let context = load(&ctx, &mut tx, id).await?;
    let form = kept(&mut tx, &context).await?;
    Ok(ok(edit_page(&ctx, &context, form)).into_response())
}

pub(super) async fn update(ctx: Ctx, Path(id): Path<ContextId>, posted: Posted<ContextForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let context = load(&ctx, &mut tx, id).await?;
    let mut form = ContextForm { number: context.number.clone(), ..posted.form.clone() };
    if !form.take.is_empty() || form.revision != context.revision.to_string() {
        let kept = kept(&mut tx, &context).await?;
        form.take_over(&kept);
        form.revision.clone_from(&kept.revision);
        let conflict = Some(Conflict::between(&form.fields(), &kept.fields()));
        let page = FormPage { conflict, ..edit_page(&ctx, &context, form) };
        return Ok((StatusCode::CONFLICT, ok(page)).into_response());
    }
    let mut errors = Errors::default();
    let new = form.parse(&mut errors);
    let relations = form.relations(&mut tx, context.project_id, &context.number, &mut errors).await?;
    if !errors.is_empty() {
        let page = FormPage { errors, ..edit_page(&ctx, &context, form) };
        return Ok(again(page).into_response());
    }
    contexts::update(&mut tx, id, &new, context.revision).await?;
    for old in contexts::list_earlier(&mut tx, id).await? {
        contexts::delete_relation(&mut tx, id, old.id).await?;
    }
    relate(&mut tx, context.project_id, id, &relations).await?;
    let differs = contexts::changes(&context.as_new(), &new);
    let differs =
        differs.iter().map(|(label, before, after)| format!("{label} from “{before}” to “{after}”"));
    let words = [format!("changed context {}", context.number)].into_iter().chain(differs);
    let words = words.collect::<Vec<_>>().join("; ");
    journal::append(&mut tx, &entry(&ctx, context.project_id, id, words), ctx.now).await?;
    let told = with_circles(&mut tx, context.project_id, id, "The context is saved.".into()).await?;
    ctx.finish(tx, &posted, &links::context(id), &told).await
}

/// What is told once a context is saved, and whether it is now later than itself.
async fn with_circles(tx: &mut Tx, project: ProjectId, id: ContextId, told: String) -> Answer<String> {
    let ground = Ground::load(tx, project, None).await?;
    let own = ground.place(id);
    let circles =
        ground.graph.contradictions().into_iter().filter(|set| own.is_some_and(|own| set.contains(&own)));
    let said = circles
        .map(|set| circle(&set.into_iter().map(|n| ground.contexts[n].number.as_str()).collect::<Vec<_>>()));
    Ok([told].into_iter().chain(said).collect::<Vec<_>>().join(" "))
}

/// What parts the numbers of several neighbours.
const PARTED_BY: [char; 2] = [',', ';'];

type Relation = (ContextId, &'static str);

async fn relate(tx: &mut Tx, project: ProjectId, id: ContextId, relations: &[Relation]) -> Answer<()> {
    for (earlier, kind) in relations {
        contexts::insert_relation(tx, project, id, *earlier, kind).await?;
    }
    Ok(())
}

fn entry(ctx: &Ctx, project: ProjectId, id: ContextId, words: String) -> Entry {
    Entry {
        project: Some(project),
        context: Some(id),
        verb: "changed",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    }
}

/// The form of a context as it is kept.
async fn kept(tx: &mut Tx, context: &Context) -> Answer<ContextForm> {
    let earlier = contexts::list_earlier(tx, context.id).await?;
    let numbers = |kind: &str| {
        earlier.iter().filter(|n| n.kind == kind).map(|n| n.number.as_str()).collect::<Vec<_>>().join(", ")
    };
    Ok(ContextForm {
        revision: context.revision.to_string(),
        take: String::new(),
        number: context.number.clone(),
        kind: context.kind.clone(),
        area: context.area.clone(),
        phase: context.phase.clone(),
        interpretation: context.interpretation.clone(),
        description: context.description.clone(),
        soil: context.soil.clone(),
        spot_date: context.spot_date.clone(),
        above: numbers("above"),
        cuts: numbers("cuts"),
        same_as: numbers("same_as"),
    })
}

impl ContextForm {
    fn parse(&self, errors: &mut Errors) -> NewContext {
        let number = domain::finds::number::normal(&self.number).unwrap_or_else(|| {
            errors.add("number", "Give the context a number of up to 40 characters.");
            String::new()
        });
        if number.contains(PARTED_BY) {
            errors.add("number", "Commas and semicolons part numbers. Leave them out of this one.");
        }
        NewContext {
            number,
            kind: errors.line("kind", &self.kind),
            area: errors.line("area", &self.area),
            phase: errors.line("phase", &self.phase),
            interpretation: errors.line("interpretation", &self.interpretation),
            description: errors.text("description", &self.description),
            soil: errors.line("soil", &self.soil),
            spot_date: errors.line("spot_date", &self.spot_date),
        }
    }

    /// The neighbours named in the form, each a context of the project.
    async fn relations(
        &self,
        tx: &mut Tx,
        project: ProjectId,
        own: &str,
        errors: &mut Errors,
    ) -> Answer<Vec<Relation>> {
        let mut relations: Vec<Relation> = Vec::new();
        for (field, typed, kind) in [
            ("above", &self.above, "above"),
            ("cuts", &self.cuts, "cuts"),
            ("same_as", &self.same_as, "same_as"),
        ] {
            for typed in typed.split(PARTED_BY).filter(|typed| !typed.trim().is_empty()) {
                let Some(number) = domain::finds::number::normal(typed) else {
                    errors.add(field, "One of these is too long for a number. Part numbers by commas.");
                    continue;
                };
                match contexts::find_by_number(tx, project, &number).await? {
                    Some(context) if context.number == own => {
                        errors.add(field, "A context is no neighbour of itself.")
                    }
                    Some(context) if relations.iter().any(|(id, _)| *id == context.id) => {
                        errors.add(
                            field,
                            format!("Context {number} is named twice. Say once how it lies to this one."),
                        );
                    }
                    Some(context) => relations.push((context.id, kind)),
                    None => errors.add(
                        field,
                        format!(
                            "There is no context {number} yet. Enter it first; several are separated by commas."
                        ),
                    ),
                }
            }
        }
        Ok(relations)
    }

    fn fields(&self) -> Vec<(&'static str, &'static str, String)> {
        vec![
            ("kind", "Kind", self.kind.clone()),
            ("area", "Area", self.area.clone()),
            ("phase", "Phase", self.phase.clone()),
            ("interpretation", "Interpretation", self.interpretation.clone()),
            ("description", "Description", self.description.clone()),
            ("soil", "Soil", self.soil.clone()),
            ("spot_date", "Spot date", self.spot_date.clone()),
            ("above", "Above", self.above.clone()),
            ("cuts", "Cuts", self.cuts.clone()),
            ("same_as", "Same as", self.same_as.clone()),
        ]
    }

    /// Takes one field over from the kept version, the one that was asked for.
    fn take_over(&mut self, kept: &ContextForm) {
        match std::mem::take(&mut self.take).as_str() {
            "kind" => self.kind.clone_from(&kept.kind),
            "area" => self.area.clone_from(&kept.area),
            "phase" => self.phase.clone_from(&kept.phase),
            "interpretation" => self.interpretation.clone_from(&kept.interpretation),
            "description" => self.description.clone_from(&kept.description),
            "soil" => self.soil.clone_from(&kept.soil),
            "spot_date" => self.spot_date.clone_from(&kept.spot_date),
            "above" => self.above.clone_from(&kept.above),
            "cuts" => self.cuts.clone_from(&kept.cuts),
            "same_as" => self.same_as.clone_from(&kept.same_as),
            _ => {}
        }
    }
}

fn new_page(ctx: &Ctx, project: ProjectId, code: &str, form: ContextForm) -> FormPage {
    FormPage {
        chrome: ctx.chrome_in(project),
        title: "Enter a context".into(),
        action: links::context_new(code),
        back: links::contexts(code),
        fixed_number: false,
        form,
        errors: Errors::default(),
        conflict: None,
    }
}

fn edit_page(ctx: &Ctx, context: &Context, form: ContextForm) -> FormPage {
    FormPage {
        chrome: ctx.chrome_in(context.project_id),
        title: format!("Edit context {}", context.number),
        action: links::context_edit(context.id),
        back: links::context(context.id),
        fixed_number: true,
        form,
        errors: Errors::default(),
        conflict: None,
    }
}
