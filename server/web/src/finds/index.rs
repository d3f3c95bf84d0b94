//! The list of finds: filter, search, pages, and what is done to many at once.
use super::elsewhere::Elsewhere;
use super::filter_form::FilterForm;
use super::filter_words::{Names, said};
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters;
use crate::form::Asked;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::{IntoResponse, Redirect};
use domain::permission::{Action, Membership};
use domain::stages::{Headline, Stage};
use store::filter::FindLine;
use store::people::Colleague;
use store::places::Place;
use store::projects::Material;
use store::saved_filters::SavedFilter;

/// Finds on one page.
const PAGE: i64 = 50;

#[derive(Template)]
#[template(path = "finds/index.html")]
struct ListPage {
    chrome: Chrome,
    code: String,
    form: FilterForm,
    /// What the list is narrowed to, in words.
    said: String,
    lines: Vec<Line>,
    elsewhere: Elsewhere,
    first: bool,
    next: Option<String>,
    materials: Vec<Material>,
    places: Vec<Place>,
    colleagues: Vec<Colleague>,
    headlines: &'static [Headline],
    stages: Vec<Stage>,
    record_stages: Vec<Stage>,
    saved: Vec<SavedFilter>,
    may: May,
}

/// What this person may do from the list.
struct May {
    opinions: bool,
    register: bool,
    import: bool,
    record: bool,
    relocate: bool,
    assign: bool,
    label: bool,
    specialists: bool,
    take: bool,
    dispatch: bool,
}

/// A find, ready to be shown.
struct Line {
    id: String,
    href: String,
    number: String,
    what: String,
    material: String,
    context: String,
    place: String,
    quantity: String,
    stage: &'static str,
    state: &'static str,
    days: i64,
    person: String,
    flags: Vec<&'static str>,
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>, Asked(form): Asked<FilterForm>) -> Answer {
    let member = ctx.project(&code)?;
    let project = member.project;
    let mut tx = ctx.read().await?;
    let mut lines = match form.read(&ctx, &mut tx, project).await? {
        Some(filter) => {
            store::filter::list(&mut tx, project, &filter, form.order(), form.after(), PAGE + 1).await?
        }
        None => Vec::new(),
    };
    let more = lines.len() > PAGE as usize;
    lines.truncate(PAGE as usize);
    let next =
        lines.last().filter(|_| more).map(|last| format!("{}?{}", links::finds(&code), form.older(last)));
    let mut chrome = ctx.chrome_in(project);
    chrome.search_query = form.q.clone();
    let materials = store::projects::list_materials(&mut tx, project).await?;
    let places = store::places::list(&mut tx, project).await?;
    let colleagues = store::people::list_colleagues(&mut tx, project).await?;
    let names =
        Names { materials: &materials, places: &places, colleagues: &colleagues, me: &chrome.person_name };
    let page = ListPage {
        said: said(&form, &names),
        chrome,
        lines: lines.iter().map(|line| show(&ctx, line)).collect(),
        elsewhere: Elsewhere::of(&ctx, &mut tx, &code, &form.q).await?,
        first: form.after.is_empty(),
        next,
        materials,
        places,
        colleagues,
        headlines: Headline::ALL,
        stages: Stage::ALL.iter().copied().filter(|s| s.is_a_stand()).collect(),
        record_stages: Stage::ALL.iter().copied().filter(|s| s.takes_record()).collect(),
        saved: store::saved_filters::list(&mut tx, project, ctx.actor.person).await?,
        may: may(member),
        code,
        form,
    };
    Ok(ok(page).into_response())
}

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Chosen {
    find: Vec<String>,
    work: String,
}

/// From the list to the form of the chosen stage's record, the ticked finds with it.
pub(super) async fn choose_work(ctx: Ctx, Path(code): Path<String>, Asked(chosen): Asked<Chosen>) -> Answer {
    ctx.project(&code)?;
    let stage: Option<Stage> = chosen.work.parse().ok();
    let stage = stage.filter(|stage| stage.takes_record());
    let Some(stage) = stage.filter(|_| !chosen.find.is_empty()) else {
        return Ok(ctx.lead_on(&links::finds(&code), "Tick the finds first, and choose what to record."));
    };
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.extend_pairs(chosen.find.iter().map(|id| ("find", id)));
    Ok(Redirect::to(&format!("{}?{}", links::record_new(&code, stage), query.finish())).into_response())
}

fn may(member: &Membership) -> May {
    May {
        opinions: member.grants(Action::ViewOpinions),
        register: member.grants(Action::RegisterFinds),
        import: member.grants(Action::ImportRegister),
        record: member.grants(Action::RecordWork),
        relocate: member.grants(Action::MoveFinds),
        assign: member.grants(Action::AssignBench),
        label: member.grants(Action::PrintLabels),
        specialists: member.grants(Action::AssignSpecialists),
        take: member.grants(Action::TakeLists),
        dispatch: member.grants(Action::DispatchFinds),
    }
}

fn show(ctx: &Ctx, line: &FindLine) -> Line {
    let mut flags = Vec::new();
    let mut flag = |set: bool, word: &'static str| {
        if set {
            flags.push(word);
        }
    };
    flag(line.due_at.is_some_and(|due| due < ctx.now), "overdue");
    flag(line.held, "on hold");
    flag(line.restricted, "restricted");
    flag(line.void_at.is_some(), "void");
    flag(line.is_out, "out");
    let quantity = filters::show_count(line.quantity);
    let mass = line.weight_g.map(|g| format!(", {} g", filters::show_measure(g))).unwrap_or_default();
    Line {
        id: line.id.to_string(),
        href: links::find(line.id),
        number: line.number.clone(),
        what: if line.object_type.is_empty() { line.description.clone() } else { line.object_type.clone() },
        material: line.material_name.clone(),
        context: line.context_number.clone().unwrap_or_default(),
        place: line.place_path.clone().unwrap_or_default(),
        quantity: if line.bulk { format!("{quantity} pieces{mass}") } else { format!("{quantity}{mass}") },
        stage: line.stage.label(),
        state: line.stage_state.label(),
        days: (ctx.now - line.stage_since).num_days(),
        person: line.assignee_name.clone().unwrap_or_default(),
        flags,
    }
}
