//! A scan: the address of a code, or a number looked up across all projects of a person.
use super::show::{page, with_camera};
use super::tray::lay;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Posted;
use crate::links;
use crate::page::again;
use axum::response::{IntoResponse, Redirect, Response};
use domain::finds::number::normal;
use domain::ids::{FindId, SheetId};
use domain::permission::Action;
use store::Tx;
use store::finds::Find;
use uuid::Uuid;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct ScanForm {
    /// What the scanner or a person typed.
    code: String,
    /// `open` or `tray`.
    mode: String,
}

/// What a code stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Code {
    Find(FindId),
    Sheet(SheetId),
}

pub(super) async fn create(ctx: Ctx, posted: Posted<ScanForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let form = &posted.form;
    let error = match found(&ctx, &mut tx, form).await? {
        Found::Led(to, warning) => return Ok(lead(&ctx, &to, warning)),
        Found::Several(finds) => return told(&ctx, &mut tx, form, None, &finds).await,
        Found::None(sentence) => sentence,
        Found::ForTheTray(find) => match lay(&ctx, &mut tx, &find).await? {
            Ok(words) => return ctx.finish(tx, &posted, &links::bench("tray"), &words).await,
            Err(sentence) => sentence,
        },
    };
    told(&ctx, &mut tx, form, Some(error), &[]).await
}

/// What was scanned on another page, to be opened.
pub(super) async fn show(ctx: &Ctx, code: &str) -> Answer {
    let mut tx = ctx.read().await?;
    let form = ScanForm { code: code.to_owned(), mode: "open".into() };
    match found(ctx, &mut tx, &form).await? {
        Found::Led(to, warning) => Ok(lead(ctx, &to, warning)),
        Found::Several(finds) => told(ctx, &mut tx, &form, None, &finds).await,
        Found::None(sentence) => told(ctx, &mut tx, &form, Some(sentence), &[]).await,
        Found::ForTheTray(_) => Err(AppError::NotFound),
    }
}

/// What came of a code.
enum Found {
    /// One find or one sheet: its address, and a warning when it is of another project than the one worked on.
    Led(String, Option<String>),
    ForTheTray(Box<Find>),
    Several(Vec<Find>),
    /// Nothing, and the sentence that says so.
    None(String),
}

async fn found(ctx: &Ctx, tx: &mut Tx, form: &ScanForm) -> Answer<Found> {
    if let Some(Code::Sheet(id)) = code_in(&form.code) {
        return Ok(Found::Led(links::round_sheet(id), None));
    }
    let mut finds = look_up(ctx, tx, &form.code, Action::RecordWork).await?;
    Ok(match finds.len() {
        0 if form.code.trim().is_empty() => Found::None("Scan a code, or type a number.".to_owned()),
        0 => Found::None(not_found(ctx, tx, &form.code).await?),
        1 if form.mode == "tray" => Found::ForTheTray(Box::new(finds.remove(0))),
        1 => Found::Led(links::find(finds[0].id), of_another_project(ctx, &finds[0])),
        _ => Found::Several(finds),
    })
}

fn lead(ctx: &Ctx, to: &str, warning: Option<String>) -> Response {
    match warning {
        Some(words) => ctx.lead_on(to, &words),
        None => Redirect::to(to).into_response(),
    }
}

/// Said when a find is of another project than the one this browser looked at last.
fn of_another_project(ctx: &Ctx, find: &Find) -> Option<String> {
    let last = ctx.last_project().filter(|last| last.project != find.project_id)?;
    let (number, code) = (&find.number, &find.project_code);
    Some(format!("Mind the project: {number} belongs to {code}, and you were in {}.", last.code))
}

/// Nothing to work on: a find that may be read but not worked on is told apart from none.
async fn not_found(ctx: &Ctx, tx: &mut Tx, typed: &str) -> Answer<String> {
    let shown = shown(typed);
    let elsewhere = look_up(ctx, tx, typed, Action::ViewFind).await?;
    Ok(match elsewhere.first() {
        Some(find) => format!("“{shown}” belongs to {}, where you record no work.", find.project_code),
        None => format!("No find of your projects has “{shown}” on its label."),
    })
}

/// The bench again, with what became of the scan.
async fn told(ctx: &Ctx, tx: &mut Tx, form: &ScanForm, error: Option<String>, several: &[Find]) -> Answer {
    let mut page = page(ctx, tx, &form.mode).await?;
    page.code = form.code.clone();
    page.error = error;
    page.several = several.iter().map(choice).collect();
    Ok(with_camera(again(page).into_response()))
}

fn choice(find: &Find) -> (String, String) {
    (find.id.to_string(), format!("{} {}, {}", find.project_code, find.number, find.object_type))
}

/// What was typed, short enough to be shown again.
fn shown(code: &str) -> String {
    code.trim().chars().take(80).collect()
}

/// The finds a code or a number stands for, in the projects where this person may do that.
async fn look_up(ctx: &Ctx, tx: &mut Tx, typed: &str, action: Action) -> Answer<Vec<Find>> {
    let mut ids = Vec::new();
    match code_in(typed) {
        Some(Code::Find(id)) => ids.push(id),
        Some(Code::Sheet(_)) => {}
        None => {
            for member in ctx.actor.projects(action) {
                for number in numbers(typed, &member.code) {
                    if let Some(id) = store::finds::find_by_number(tx, member.project, &number).await? {
                        ids.push(id);
                        break;
                    }
                }
            }
        }
    }
    let mut finds = Vec::new();
    for id in ids {
        let find = store::finds::find_visible(tx, &ctx.actor, id).await?;
        finds.extend(find.filter(|find| ctx.actor.may(action, find.project_id)));
    }
    Ok(finds)
}

/// The find or sheet an address names, wherever the address was printed; or a bare id.
pub fn code_in(typed: &str) -> Option<Code> {
    let typed = typed.trim().to_lowercase();
    let after = |mark: &str| {
        let rest = typed.split_once(mark)?.1;
        rest.get(..36).and_then(|id| id.parse::<Uuid>().ok())
    };
    after("/finds/")
        .map(|id| Code::Find(FindId(id)))
        .or_else(|| after("/rounds/sheets/").map(|id| Code::Sheet(SheetId(id))))
        .or_else(|| typed.parse::<FindId>().ok().filter(|_| typed.len() == 36).map(Code::Find))
}

/// The numbers a text may mean in a project: as typed, in capitals, without the code of the project before it.
pub fn numbers(typed: &str, code: &str) -> Vec<String> {
    let Some(whole) = normal(typed) else { return Vec::new() };
    let bare = whole.get(..code.len()).filter(|head| head.eq_ignore_ascii_case(code)).and_then(|head| {
        let rest = whole[head.len()..].trim_start_matches([' ', '-', '/', '.', ':']);
        (!rest.is_empty() && rest.len() < whole.len() - head.len()).then(|| rest.to_owned())
    });
    let mut numbers = vec![whole.clone(), whole.to_uppercase()];
    numbers.extend(bare);
    numbers.dedup();
    numbers
}
