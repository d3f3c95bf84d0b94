//! A scan: the address of a code, or a number looked up across all projects of a person.
use super::show::{page, with_camera};
use super::tray::lay;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Posted;
use crate::links;
use crate::page::again;
use axum::response::{IntoResponse, Redirect};
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
enum Code {
    Find(FindId),
    Sheet(SheetId),
}

pub(super) async fn create(ctx: Ctx, posted: Posted<ScanForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let form = &posted.form;
    if let Some(Code::Sheet(id)) = code_in(&form.code) {
        return Ok(Redirect::to(&links::round_sheet(id)).into_response());
    }
    let found = look_up(&ctx, &mut tx, &form.code).await?;
    let error = match found.as_slice() {
        [one] if form.mode != "tray" => return Ok(Redirect::to(&links::find(one.id)).into_response()),
        [one] => match lay(&ctx, &mut tx, one).await? {
            Ok(words) => return ctx.finish(tx, &posted, &links::bench("tray"), &words).await,
            Err(sentence) => Some(sentence),
        },
        [] if form.code.trim().is_empty() => Some("Scan a code, or type a number.".to_owned()),
        [] => Some(format!("No find of your projects has “{}” on its label.", shown(&form.code))),
        _ => None,
    };
    let mut page = page(&ctx, &mut tx, &form.mode).await?;
    page.code = form.code.clone();
    page.error = error;
    if page.error.is_none() {
        page.several = found.iter().map(choice).collect();
    }
    Ok(with_camera(again(page).into_response()))
}

fn choice(find: &Find) -> (String, String) {
    (find.id.to_string(), format!("{} {}, {}", find.project_code, find.number, find.object_type))
}

/// What was typed, short enough to be shown again.
fn shown(code: &str) -> String {
    code.trim().chars().take(80).collect()
}

/// The finds a code or a number stands for, those this person may record work on.
async fn look_up(ctx: &Ctx, tx: &mut Tx, typed: &str) -> Answer<Vec<Find>> {
    let mut ids = Vec::new();
    match code_in(typed) {
        Some(Code::Find(id)) => ids.push(id),
        Some(Code::Sheet(_)) => {}
        None => {
            for member in ctx.actor.projects(Action::RecordWork) {
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
        finds.extend(find.filter(|find| ctx.actor.may(Action::RecordWork, find.project_id)));
    }
    Ok(finds)
}

/// The find or sheet an address names, wherever the address was printed; or a bare id.
fn code_in(typed: &str) -> Option<Code> {
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
fn numbers(typed: &str, code: &str) -> Vec<String> {
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

#[cfg(test)]
mod tests {
    use super::*;

    const ID: &str = "019a3b2c-0000-7000-8000-000000000000";

    #[test]
    fn an_address_is_read_wherever_it_was_printed() {
        let id = FindId(ID.parse().unwrap());
        for typed in [
            format!("https://finds.example/finds/{ID}"),
            format!(" HTTP://127.0.0.1:8080/FINDS/{}\r", ID.to_uppercase()),
            format!("https://finds.example/finds/{ID}?x=1"),
            ID.to_owned(),
        ] {
            assert_eq!(code_in(&typed), Some(Code::Find(id)), "{typed}");
        }
        assert_eq!(code_in(&format!("https://x/rounds/sheets/{ID}")), Some(Code::Sheet(SheetId(id.0))));
        for typed in ["61", "/finds/61", "https://finds.example/finds/é", ""] {
            assert_eq!(code_in(typed), None, "{typed}");
        }
    }

    #[test]
    fn a_number_may_bear_the_code_of_its_project() {
        assert_eq!(numbers("vsq31-61", "VSQ31"), ["vsq31-61", "VSQ31-61", "61"]);
        assert_eq!(numbers("VSQ31 SF 2", "VSQ31"), ["VSQ31 SF 2", "SF 2"]);
        assert_eq!(numbers("VSQ3161", "VSQ31"), ["VSQ3161"]);
        assert_eq!(numbers("é", "VSQ31"), ["é", "É"]);
    }
}
