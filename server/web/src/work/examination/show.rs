//! An examination: what was asked and answered, and for a plate the region of each find upon the picture.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::{show_day, show_measure, show_moment};
use crate::images::Picture;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::examination::{Examination, Method, Region};
use domain::ids::{FindId, ImageId, RecordId};
use domain::permission::Action;
use domain::review::share::Share;
use store::Tx;
use store::finds::Find;
use store::work::examinations::{self, Examined};
use store::work::records;

#[derive(Template)]
#[template(path = "work/examination.html")]
struct ExaminationPage {
    chrome: Chrome,
    trail: (String, &'static str),
    title: String,
    caution: &'static str,
    facts: Vec<(&'static str, String)>,
    finds: Vec<FindLine>,
    plate: Option<Plate>,
    setup: Option<Picture>,
    open: bool,
    superseded: Option<String>,
    correct: Option<String>,
}

/// A find of the examination with what its region shows.
struct FindLine {
    href: String,
    number: String,
    words: String,
    /// Left, top, width, height in words; empty without a region.
    place: String,
    seen: String,
}

/// The picture of a plate with rectangles upon it, in pixels of the print.
struct Plate {
    picture: Picture,
    regions: Vec<Mark>,
}

struct Mark {
    number: String,
    x: String,
    y: String,
    width: String,
    height: String,
    text_y: String,
}

/// An examination as the find page shows it.
pub(crate) struct ExaminationView {
    pub href: String,
    pub title: String,
    pub head: String,
    pub question: String,
    pub verdict: &'static str,
    pub seen: String,
    pub open: bool,
    pub superseded: bool,
}

impl ExaminationView {
    /// The examinations of a find that the person sees who asked for it.
    pub(crate) async fn all_of(tx: &mut Tx, find: &Find) -> Answer<Vec<Self>> {
        let all = examinations::list_of_find(tx, find.id).await?;
        Ok(all.iter().filter(|one| find.seen.has(part(one.examination.method))).map(Self::of).collect())
    }

    fn of(one: &Examined) -> Self {
        Self {
            href: links::examination(one.record),
            title: title(&one.examination),
            head: format!("{}, {}", show_day(one.done_on), one.done_by),
            question: one.examination.question.clone(),
            verdict: one.examination.verdict.label(),
            seen: one.examination.seen.clone(),
            open: !one.finished,
            superseded: one.superseded_at.is_some(),
        }
    }
}

/// What an assignment shares of examinations by that method.
fn part(method: Method) -> Share {
    if method == Method::Xray { Share::Xrays } else { Share::Conservation }
}

fn title(seen: &Examination) -> String {
    let method = seen.method.label();
    let mut letters = method.chars();
    let method: String =
        letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect());
    if seen.plate_number.is_empty() { method } else { format!("{method}, plate {}", seen.plate_number) }
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<RecordId>) -> Answer {
    let mut tx = ctx.read().await?;
    let one = examinations::find(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    let covered = records::list_finds(&mut tx, id).await?;
    let mut finds = Vec::new();
    for (find, _) in &covered {
        let find = store::finds::find_visible(&mut tx, &ctx.actor, *find).await?;
        finds.extend(find.filter(|find| find.seen.has(part(one.examination.method))));
    }
    let first = finds.first().ok_or(AppError::NotFound)?;
    ctx.allow(one.project)?;
    let code = first.project_code.clone();
    let sees_all = finds.len() == covered.len();
    let may_correct =
        sees_all && one.superseded_at.is_none() && ctx.actor.may(Action::RecordWork, one.project);
    let correct = format!(
        "{}?find={}&supersedes={id}",
        links::examination_new(&code, one.examination.method),
        first.id
    );
    let page = ExaminationPage {
        chrome: ctx.chrome_in(one.project),
        trail: ctx.trail_of_finds(one.project, &code),
        title: title(&one.examination),
        caution: one.examination.method.caution(),
        facts: facts(&one),
        plate: plate(&ctx, &mut tx, &one.examination, &finds).await?,
        setup: picture(&ctx, &mut tx, one.examination.setup_image).await?,
        open: !one.finished,
        superseded: one.superseded_at.map(show_moment),
        correct: may_correct.then_some(correct),
        finds: finds.iter().map(|find| find_line(find, &one.examination)).collect(),
    };
    Ok(ok(page).into_response())
}

fn find_line(find: &Find, seen: &Examination) -> FindLine {
    let region = seen.regions.iter().find(|region| region.find == find.id);
    let pct = |n: f64| format!("{} %", show_measure(n));
    FindLine {
        href: links::find(find.id),
        number: find.number.clone(),
        words: find.object_type.clone(),
        place: region.map_or_else(String::new, |r| {
            let (left, top, width, height) =
                (pct(r.left_pct), pct(r.top_pct), pct(r.width_pct), pct(r.height_pct));
            format!("{left} from the left, {top} from the top, {width} wide, {height} high")
        }),
        seen: region.map(|r| r.seen.clone()).unwrap_or_default(),
    }
}

async fn picture(ctx: &Ctx, tx: &mut Tx, id: Option<ImageId>) -> Answer<Option<Picture>> {
    let Some(id) = id else { return Ok(None) };
    let image = store::images::find_visible(tx, &ctx.actor, id).await?;
    Ok(image.filter(|image| image.withdrawn_at.is_none()).map(|image| Picture::of(&image, &image.file_name)))
}

async fn plate(ctx: &Ctx, tx: &mut Tx, seen: &Examination, finds: &[Find]) -> Answer<Option<Plate>> {
    let Some(picture) = picture(ctx, tx, seen.plate_image).await? else { return Ok(None) };
    let sides = picture.screen_px;
    let number = |id: FindId| finds.iter().find(|find| find.id == id).map(|find| find.number.clone());
    let regions = seen.regions.iter().filter_map(|region| Some(mark(region, number(region.find)?, sides)));
    Ok(Some(Plate { regions: regions.collect(), picture }))
}

#[allow(clippy::cast_precision_loss, reason = "sides of a print in pixels")]
fn mark(region: &Region, number: String, (width, height): (i64, i64)) -> Mark {
    let x = |pct: f64| pct / 100.0 * width as f64;
    let y = |pct: f64| pct / 100.0 * height as f64;
    let px = |n: f64| format!("{n:.1}");
    Mark {
        number,
        x: px(x(region.left_pct)),
        y: px(y(region.top_pct)),
        width: px(x(region.width_pct)),
        height: px(y(region.height_pct)),
        text_y: px(y(region.top_pct) + 0.035 * width as f64),
    }
}

fn facts(one: &Examined) -> Vec<(&'static str, String)> {
    let seen = &one.examination;
    let unit =
        |n: Option<f64>, unit: &str| n.map(|n| format!("{} {unit}", show_measure(n))).unwrap_or_default();
    let times = seen.magnification.map(|n| format!("×{}", show_measure(n))).unwrap_or_default();
    let mut lines = vec![
        ("Question", seen.question.clone()),
        ("Area", seen.area.clone()),
        ("Result", seen.verdict.label().to_owned()),
        ("Seen", seen.seen.clone()),
        ("Azimuth", unit(seen.azimuth_deg, "°")),
        ("Elevation", unit(seen.elevation_deg, "°")),
        ("Wavelength", unit(seen.wavelength_nm, "nm")),
        ("Filter", seen.filter.clone()),
        ("Colour", seen.colour.clone()),
        ("Intensity", seen.intensity.clone()),
        ("Magnification", times),
        ("Scale bar", unit(seen.scale_um, "µm")),
        ("Tube voltage", unit(seen.tube_kv, "kV")),
        ("Tube current", unit(seen.tube_ma, "mA")),
        ("Exposure time", unit(seen.exposure_s, "s")),
        ("Exposure", exposure(seen)),
        ("Distance", unit(seen.distance_mm, "mm")),
        ("View", seen.view_angle.clone()),
        ("Instrument", one.instrument.clone()),
        ("Done", format!("{}, {}", show_day(one.done_on), one.done_by)),
        ("Note", one.note.clone()),
        ("Recorded", format!("{}, by {}", show_moment(one.recorded_at), one.recorded_by)),
    ];
    lines.retain(|(_, words)| !words.is_empty());
    lines
}

/// As given, or worked out from current and time: mAs = mA × s.
fn exposure(seen: &Examination) -> String {
    let worked_out = seen.tube_ma.zip(seen.exposure_s).map(|(ma, s)| ma * s);
    match (seen.method, seen.exposure_mas, worked_out) {
        (Method::Xray, Some(mas), _) => format!("{} mAs", show_measure(mas)),
        (Method::Xray, None, Some(mas)) => format!("{} mAs, from current and time", show_measure(mas)),
        _ => String::new(),
    }
}
