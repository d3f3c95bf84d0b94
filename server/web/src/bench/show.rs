//! The page of the bench.
use super::lines::{self, Group};
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Asked;
use crate::links;
use crate::page::{Chrome, ok};
use askama::Template;
use axum::http::{HeaderName, HeaderValue};
use axum::response::{IntoResponse, Response};
use domain::permission::Action;
use domain::stages::{Stage, StageState};
use store::Tx;
use store::tray::Laid;

#[derive(Template)]
#[template(path = "bench/show.html")]
pub(super) struct BenchPage {
    chrome: Chrome,
    /// What a scan does: `open` or `tray`.
    pub mode: String,
    pub code: String,
    pub error: Option<String>,
    /// A number that stands for several finds: id, and in which project.
    pub several: Vec<(String, String)>,
    trays: Vec<Tray>,
    groups: Vec<Group>,
    /// Whether this person may share a tablet, and this browser is none yet.
    may_share: bool,
}

/// What lies on the tray of one project.
struct Tray {
    code: String,
    finds: Vec<TrayFind>,
    stages: Vec<StageButton>,
    /// The stage this person recorded last there, with its address.
    again: Option<(String, String)>,
}

struct TrayFind {
    id: String,
    number: String,
    href: String,
    what: String,
    stands: String,
}

struct StageButton {
    label: String,
    action: String,
    /// Most of the finds are there.
    here: bool,
}

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Mode {
    mode: String,
    /// What was scanned on another page.
    code: String,
}

pub(super) async fn show(ctx: Ctx, Asked(asked): Asked<Mode>) -> Answer {
    if !asked.code.is_empty() {
        return super::scan::show(&ctx, &asked.code).await;
    }
    let mut tx = ctx.read().await?;
    let page = page(&ctx, &mut tx, &asked.mode).await?;
    Ok(with_camera(ok(page).into_response()))
}

/// This one page may use the camera: it scans codes.
pub(super) fn with_camera(mut response: Response) -> Response {
    let policy = HeaderValue::from_static("camera=(self), geolocation=(), microphone=()");
    response.headers_mut().insert(HeaderName::from_static("permissions-policy"), policy);
    response
}

pub(super) async fn page(ctx: &Ctx, tx: &mut Tx, mode: &str) -> Answer<BenchPage> {
    Ok(BenchPage {
        chrome: ctx.chrome(),
        mode: if mode == "tray" { "tray".into() } else { "open".into() },
        code: String::new(),
        error: None,
        several: Vec::new(),
        trays: trays(ctx, tx).await?,
        groups: lines::groups(ctx, tx).await?,
        may_share: !ctx.tablet && ctx.actor.may_somewhere(Action::ShareTablet),
    })
}

/// What lies on the tray of this person and may still be worked on by them, by project.
pub(super) async fn laid(ctx: &Ctx, tx: &mut Tx) -> Answer<Vec<Laid>> {
    let mut laid = store::tray::list(tx, ctx.actor.person).await?;
    laid.retain(|find| {
        ctx.actor.may(Action::RecordWork, find.project_id)
            && (!find.restricted || ctx.actor.sees_restricted(find.project_id))
    });
    Ok(laid)
}

async fn trays(ctx: &Ctx, tx: &mut Tx) -> Answer<Vec<Tray>> {
    let laid = laid(ctx, tx).await?;
    let mut trays: Vec<Tray> = Vec::new();
    for of_project in laid.chunk_by(|a, b| a.project_id == b.project_id) {
        let code = of_project[0].project_code.clone();
        let commonest = commonest(of_project);
        let last = last_stage(ctx, tx, of_project, commonest).await?;
        let button = |stage: Stage| StageButton {
            label: capital(stage.label()),
            action: links::record_new(&code, stage),
            here: Some(stage) == commonest,
        };
        trays.push(Tray {
            finds: of_project.iter().map(tray_find).collect(),
            stages: Stage::ALL.iter().copied().filter(|stage| stage.takes_record()).map(button).collect(),
            again: last.map(|stage| (capital(stage.label()), links::record_new(&code, stage))),
            code,
        });
    }
    Ok(trays)
}

/// A label at the beginning of a button.
fn capital(label: &str) -> String {
    let mut letters = label.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The stage most of the finds are at, if work on it is recorded.
fn commonest(finds: &[Laid]) -> Option<Stage> {
    let at = |stage: Stage| finds.iter().filter(|find| find.stage == stage).count();
    let stages = Stage::ALL.iter().copied().filter(|stage| stage.takes_record() && at(*stage) > 0);
    stages.max_by_key(|stage| at(*stage))
}

/// The stage the finds are at, when this person has recorded it before and its words can be offered again.
async fn last_stage(
    ctx: &Ctx,
    tx: &mut Tx,
    finds: &[Laid],
    commonest: Option<Stage>,
) -> Answer<Option<Stage>> {
    let Some(stage) = commonest.filter(|stage| crate::work::repeats(*stage)) else { return Ok(None) };
    let project = finds[0].project_id;
    let last = store::work::records::find_last(tx, project, stage, ctx.actor.person).await?;
    Ok(last.map(|_| stage))
}

fn tray_find(find: &Laid) -> TrayFind {
    let words = [find.object_type.as_str(), find.material_name.as_str()];
    let stands = match find.stage_state {
        StageState::Held => "on hold".to_owned(),
        state => format!("{}, {}", find.stage.label(), state.label()),
    };
    TrayFind {
        id: find.id.to_string(),
        number: find.number.clone(),
        href: links::find(find.id),
        what: words.iter().filter(|w| !w.is_empty()).copied().collect::<Vec<_>>().join(", "),
        stands,
    }
}
