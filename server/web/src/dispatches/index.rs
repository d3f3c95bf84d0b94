//! The dispatches of a project.
use super::{Known, view};
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_day;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::permission::Action;

/// Dispatches on the page.
const MOST: i64 = 200;

#[derive(Template)]
#[template(path = "dispatches/index.html")]
struct ListPage {
    chrome: Chrome,
    code: String,
    rows: Vec<Row>,
    may_dispatch: bool,
}

struct Row {
    href: String,
    name: String,
    recipient: String,
    contents: String,
    sent: String,
    stands: String,
    overdue: bool,
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let member = ctx.project(&code)?;
    let mut tx = ctx.read().await?;
    let mut rows = Vec::new();
    for dispatch in store::dispatches::list_of_project(&mut tx, member.project, MOST).await? {
        if let Some(known) = Known::visible(&mut tx, &ctx.actor, dispatch).await? {
            rows.push(row(&ctx, &known));
        }
    }
    let page = ListPage {
        chrome: ctx.chrome_in(member.project),
        may_dispatch: member.grants(Action::DispatchFinds),
        rows,
        code,
    };
    Ok(ok(page).into_response())
}

fn row(ctx: &Ctx, known: &Known) -> Row {
    let today = ctx.now.date_naive();
    let (stands, overdue) = standing(known, today);
    Row {
        href: links::dispatch(known.dispatch.id),
        name: format!("D{}", known.dispatch.serial),
        recipient: known.dispatch.recipient.clone(),
        contents: view::contents(known),
        sent: show_day(known.dispatch.sent_on),
        stands,
        overdue,
    }
}

/// How a dispatch stands, briefly, and whether that is late.
pub(super) fn standing(known: &Known, today: chrono::NaiveDate) -> (String, bool) {
    let gaps = known.items.iter().filter(|item| {
        let account = known.account(item);
        account.gap().is_some() || account.gap_there().is_some()
    });
    let differs = match gaps.count() {
        0 => None,
        1 => Some("a difference to be explained".to_owned()),
        n => Some(format!("{n} differences to be explained")),
    };
    if !known.is_out() {
        return (differs.map_or_else(|| "back".into(), |words| format!("back, {words}")), false);
    }
    let mut parts = vec![view::due(known.dispatch.due_on, today)];
    if !known.has_arrived() {
        parts.push("arrival not acknowledged".into());
    }
    parts.extend(differs);
    (parts.join(", "), known.dispatch.due_on < today)
}
