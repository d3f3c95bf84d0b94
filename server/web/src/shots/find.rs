//! The shots of one find: expected, taken, missing, and what is wrong with those that are there.
use super::shot_of;
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{FindId, ProjectId};
use domain::permission::Action;
use domain::review::share::Share;
use domain::shots::{Expected, Light, Rule, Shot, Standing, expected, unpaired_uv};
use store::Tx;
use store::finds::{Find, progress};
use store::images::Image;

#[derive(Template)]
#[template(path = "shots/find.html")]
struct ShotsPage {
    chrome: Chrome,
    trail: (String, &'static str),
    find: Find,
    lines: Vec<Line>,
    remarks: Vec<Remark>,
    may_upload: bool,
    rules: Option<String>,
}

/// A shot of the list.
struct Line {
    words: String,
    asked_by: String,
    standing: &'static str,
    late: bool,
    /// The form that takes it in, with what it shows filled in.
    add: Option<String>,
}

/// A photograph of which something is left to say.
pub(super) struct Remark {
    pub href: String,
    pub name: String,
    pub sentence: &'static str,
}

/// The shot list of a find as the pages need it.
pub(super) struct Judged {
    pub expected: Vec<Expected>,
    pub remarks: Vec<Remark>,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find_sharing(&mut tx, id, Share::Images).await?;
    let rules = store::shots::find_list(&mut tx, find.project_id).await?.rules;
    let judged = judge(&mut tx, id, &find.material, &rules).await?;
    let may_upload = ctx.actor.may(Action::UploadImages, find.project_id);
    let page = ShotsPage {
        chrome: ctx.chrome_in(find.project_id),
        trail: ctx.trail_of_finds(find.project_id, &find.project_code),
        lines: judged.expected.iter().map(|one| line(id, one, may_upload)).collect(),
        remarks: judged.remarks,
        may_upload,
        rules: rules_link(&ctx, find.project_id, &find.project_code),
        find,
    };
    Ok(ok(page).into_response())
}

pub(super) fn rules_link(ctx: &Ctx, project: ProjectId, code: &str) -> Option<String> {
    ctx.actor.may(Action::EditRoutes, project).then(|| links::shot_rules(code))
}

/// What is expected of a find and what is there.
pub(super) async fn judge(tx: &mut Tx, find: FindId, material: &str, rules: &[Rule]) -> Answer<Judged> {
    let images = store::images::list_of_find(tx, find).await?;
    let shots: Vec<Shot> = images.iter().map(shot_of).collect();
    let progress = progress::find_progress(tx, find).await?;
    let mut remarks: Vec<Remark> = unpaired_uv(&shots)
        .into_iter()
        .filter_map(|at| images.get(at))
        .map(|image| remark(image, "ultraviolet without the same view in visible light"))
        .collect();
    for (image, shot) in images.iter().zip(&shots) {
        // a plate and a view through the microscope show no scale bar of the studio
        let of_the_studio = !matches!(Light::of_words(&shot.light), Light::Xray | Light::Microscope);
        if of_the_studio && !shot.has_scale {
            remarks.push(remark(image, "no scale noted"));
        }
        if of_the_studio && shot.moment.is_empty() {
            remarks.push(remark(image, "not said whether before, during or after"));
        }
    }
    Ok(Judged { expected: expected(rules, material, &progress, &shots), remarks })
}

/// What of the photographs of a find can still be put right, in words.
pub(crate) async fn lacking(
    tx: &mut Tx,
    find: FindId,
    material: &str,
    rules: &[Rule],
) -> Answer<Vec<String>> {
    let judged = judge(tx, find, material, rules).await?;
    let missing = judged.expected.iter().filter(|one| one.standing == Standing::Missing).map(words);
    let mut lacks: Vec<String> =
        missing.chain(judged.remarks.iter().map(|r| r.sentence.to_owned())).collect();
    let mut seen = std::collections::HashSet::new();
    lacks.retain(|sentence| seen.insert(sentence.clone()));
    Ok(lacks)
}

fn remark(image: &Image, sentence: &'static str) -> Remark {
    let name = if image.caption.is_empty() { &image.file_name } else { &image.caption };
    Remark { href: links::image_page(image.id), name: name.clone(), sentence }
}

/// A shot in words: “before: front, visible light”.
pub(super) fn words(one: &Expected) -> String {
    let view = if one.view.is_empty() { "any view" } else { &one.view };
    format!("{}: {view}, {}", one.moment.label(), one.light.label())
}

fn line(find: FindId, one: &Expected, may_upload: bool) -> Line {
    let stages: Vec<&str> = one.stages.iter().map(|stage| stage.label()).collect();
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.append_pair("view", &one.view).append_pair("light", one.light.label());
    query.append_pair("moment", one.moment.code());
    let add = format!("{}?{}#add", links::images_of_find(find), query.finish());
    Line {
        words: words(one),
        asked_by: stages.join(", "),
        standing: standing(one.standing),
        late: one.standing != Standing::Taken,
        add: (may_upload && one.standing != Standing::Taken).then_some(add),
    }
}

pub(super) fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Taken => "taken",
        Standing::Missing => "missing",
        Standing::Missed => "missed: the stage is done",
    }
}
