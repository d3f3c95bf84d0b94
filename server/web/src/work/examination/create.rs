//! An examination is written, of one find or of all that lie on a plate.
use super::super::enter::{self, Entered};
use super::super::record::{StoppedLine, stopped_line};
use super::form::ExaminationForm;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::finds::{Chosen, cautions, load_chosen};
use crate::form::{Asked, Errors, Posted};
use crate::images::Picture;
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::{IntoResponse, Response};
use domain::examination::{Method, Verdict};
use domain::ids::{ImageId, ProjectId, RecordId};
use domain::stages::Stage;
use domain::work::Detail;
use store::Tx;
use store::finds::Find;
use store::work::examinations::{self, Examined};
use store::work::records::{self, NewRecord};

/// Finds that one plate may show.
pub(super) const MOST_FINDS: usize = 200;

#[derive(Template)]
#[template(path = "work/examination_new.html")]
struct ExaminationPage {
    chrome: Chrome,
    method: Method,
    action: String,
    back: String,
    form: ExaminationForm,
    errors: Errors,
    stopped: Vec<StoppedLine>,
    finds: Vec<Line>,
    pictures: Vec<Choice>,
    cautions: Vec<String>,
    verdicts: &'static [Verdict],
}

/// A find on the form, with its place on the plate.
struct Line {
    find: Chosen,
    /// left, top, width, height
    sides: [String; 4],
    seen: String,
}

/// A photograph to choose.
struct Choice {
    picture: Picture,
    label: String,
    ticked: bool,
}

pub(super) async fn new(
    ctx: Ctx,
    Path((code, method)): Path<(String, String)>,
    Asked(mut form): Asked<ExaminationForm>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let method: Method = method.parse().map_err(|_| AppError::NotFound)?;
    let mut tx = ctx.read().await?;
    if let Some(old) = corrected(&ctx, &mut tx, project, method, &form).await? {
        let finds = records::list_finds(&mut tx, old.record).await?;
        form = ExaminationForm::of(&old, &finds);
        form.image = images_of(&mut tx, &old, &finds).await?;
    }
    let finds = load_chosen(&ctx, &mut tx, project, &form.find, MOST_FINDS).await?;
    let last = records::find_last_words(&mut tx, project, stage(method), ctx.actor.person).await?;
    let last = last.unwrap_or_default();
    let offer = |field: &mut String, words: String| {
        if field.is_empty() {
            *field = words;
        }
    };
    offer(&mut form.done_by, last.done_by);
    offer(&mut form.done_by, ctx.actor.name.clone());
    if method == Method::Xray {
        offer(&mut form.instrument, last.method);
    }
    offer(&mut form.done_on, ctx.now.date_naive().to_string());
    offer(&mut form.finished, "yes".into());
    Ok(ok(page(&ctx, &mut tx, (&code, method), form, finds).await?).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Path((code, method)): Path<(String, String)>,
    posted: Posted<ExaminationForm>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let method: Method = method.parse().map_err(|_| AppError::NotFound)?;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let finds = load_chosen(&ctx, &mut tx, project, &posted.form.find, MOST_FINDS).await?;
    corrected(&ctx, &mut tx, project, method, &posted.form).await?;
    if !posted.form.add.is_empty() {
        return more_finds(&ctx, &mut tx, (&code, method), posted.form, finds).await;
    }
    let mut page = page(&ctx, &mut tx, (&code, method), posted.form.clone(), finds.clone()).await?;
    let images: Vec<ImageId> = page.pictures.iter().map(|choice| choice.picture.id).collect();
    let new = match posted.form.parse(project, method, &finds, &images, ctx.now.date_naive()) {
        Ok(new) => new,
        Err(errors) => {
            page.errors = errors;
            return Ok(again(page).into_response());
        }
    };
    match enter::record(&ctx, &mut tx, &finds, &new, None).await? {
        Entered::In(record) => {
            let ticked = page.pictures.iter().filter(|choice| choice.ticked).map(|choice| choice.picture.id);
            attach(&mut tx, record, &new, ticked.collect()).await?;
            ctx.finish(tx, &posted, &links::examination(record), "The examination is recorded.").await
        }
        Entered::Stopped(stopped) => {
            page.stopped = stopped.iter().map(|s| stopped_line(&ctx, &code, project, s)).collect();
            Ok(again(page).into_response())
        }
    }
}

fn stage(method: Method) -> Stage {
    if method == Method::Xray { Stage::Xray } else { Stage::Examination }
}

/// The photographs belong to the record, and the picture of a plate shows every find on it.
async fn attach(tx: &mut Tx, record: RecordId, new: &NewRecord, mut images: Vec<ImageId>) -> Answer<()> {
    if let Detail::Examination(seen) = &new.detail {
        images.extend([seen.plate_image, seen.setup_image].into_iter().flatten());
        for image in [seen.plate_image, seen.setup_image].into_iter().flatten() {
            for (find, _) in &new.finds {
                store::images::insert_find(tx, image, *find).await?;
            }
        }
    }
    Ok(store::images::insert_of_record(tx, record, &images).await?)
}

/// The standing examination a form corrects; whoever corrects it must see every find on it.
async fn corrected(
    ctx: &Ctx,
    tx: &mut Tx,
    project: ProjectId,
    method: Method,
    form: &ExaminationForm,
) -> Answer<Option<Examined>> {
    let Some(id) = form.corrected() else { return Ok(None) };
    let old = examinations::find(tx, id).await?;
    let old = old.filter(|old| {
        old.project == project && old.superseded_at.is_none() && old.examination.method == method
    });
    let old = old.ok_or(AppError::NotFound)?;
    for (find, _) in records::list_finds(tx, id).await? {
        ctx.find(tx, find).await?;
    }
    Ok(Some(old))
}

/// The form again with further finds on it, nothing being saved.
async fn more_finds(
    ctx: &Ctx,
    tx: &mut Tx,
    of: (&str, Method),
    mut form: ExaminationForm,
    mut finds: Vec<Find>,
) -> Answer<Response> {
    let project = ctx.project(of.0)?.project;
    let mut errors = Errors::default();
    let mut found = Vec::new();
    for number in form.also.split([',', ';', '\n']).filter_map(domain::finds::number::normal) {
        let visible = match store::finds::find_by_number(tx, project, &number).await? {
            Some(id) => store::finds::find_visible(tx, &ctx.actor, id).await?,
            None => None,
        };
        match visible {
            None => {
                errors.add("also", format!("There is no find {number} here. Part the numbers by commas."))
            }
            Some(find) if finds.iter().chain(&found).any(|known: &Find| known.id == find.id) => {}
            Some(find) => found.push(find),
        }
    }
    if finds.len() + found.len() > MOST_FINDS {
        errors.add("also", format!("A plate shows {MOST_FINDS} finds at most."));
    }
    form.add.clear();
    if !errors.is_empty() {
        let page = page(ctx, tx, of, form, finds).await?;
        return Ok(again(ExaminationPage { errors, ..page }).into_response());
    }
    form.also.clear();
    form.find.extend(found.iter().map(|find| find.id.to_string()));
    finds.extend(found);
    Ok(ok(page(ctx, tx, of, form, finds).await?).into_response())
}

/// The photographs that belong to a record, besides plate and set-up.
async fn images_of(
    tx: &mut Tx,
    old: &Examined,
    finds: &[(domain::ids::FindId, Option<i64>)],
) -> Answer<Vec<String>> {
    let mut images = Vec::new();
    for (find, _) in finds {
        let of_find = store::images::list_of_records(tx, *find).await?;
        images.extend(
            of_find.iter().filter(|line| line.record == old.record).map(|line| line.image.to_string()),
        );
    }
    images.sort();
    images.dedup();
    Ok(images)
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    (code, method): (&str, Method),
    form: ExaminationForm,
    finds: Vec<Find>,
) -> Answer<ExaminationPage> {
    let mut cautions = cautions(&finds);
    if !method.caution().is_empty() {
        cautions.push(method.caution().to_owned());
    }
    Ok(ExaminationPage {
        chrome: ctx.chrome_in(ctx.project(code)?.project),
        method,
        action: links::examination_new(code, method),
        back: match finds.as_slice() {
            [one] => links::find(one.id),
            _ => links::finds(code),
        },
        errors: Errors::default(),
        stopped: Vec::new(),
        pictures: pictures(tx, &finds, &form).await?,
        finds: Chosen::lines(&finds, &form.find, &form.quantity)
            .into_iter()
            .map(|find| line(find, &form))
            .collect(),
        form,
        cautions,
        verdicts: Verdict::ALL,
    })
}

fn line(find: Chosen, form: &ExaminationForm) -> Line {
    let at = form.find.iter().position(|id| *id == find.id.to_string());
    let cell = |column: &[String]| at.and_then(|at| column.get(at)).cloned().unwrap_or_default();
    Line {
        sides: [&form.left_pct, &form.top_pct, &form.width_pct, &form.height_pct].map(|column| cell(column)),
        seen: cell(&form.region_seen),
        find,
    }
}

async fn pictures(tx: &mut Tx, finds: &[Find], form: &ExaminationForm) -> Answer<Vec<Choice>> {
    let mut choices: Vec<Choice> = Vec::new();
    for find in finds {
        for image in store::images::list_seen(tx, find).await? {
            if choices.iter().all(|choice| choice.picture.id != image.id) {
                let picture = Picture::of(&image, &find.number);
                let words = if picture.caption.is_empty() { &image.file_name } else { &picture.caption };
                choices.push(Choice {
                    label: format!("{}: {words}", find.number),
                    ticked: form.image.contains(&image.id.to_string()),
                    picture,
                });
            }
        }
    }
    Ok(choices)
}
