//! The disciplines in which a specialist may enter rows for an assignment.
use super::sums::rows_words;
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_day;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use crate::review::assignment::own;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::AssignmentId;
use store::review::assignments::Assignment;
use store::rows::{disciplines, drafts, lists};

#[derive(Template)]
#[template(path = "rows/choice.html")]
struct ChoicePage {
    chrome: Chrome,
    assignment: Assignment,
    lines: Vec<Line>,
}

struct Line {
    name: String,
    /// The names of its columns.
    columns: String,
    state: String,
    href: String,
    button: &'static str,
    /// The rows as submitted last.
    submitted: Option<String>,
}

pub(super) async fn index(ctx: Ctx, Path(id): Path<AssignmentId>) -> Answer {
    let mut tx = ctx.read().await?;
    let assignment = own(&ctx, &mut tx, id).await?;
    let submitted = lists::list_of_assignment(&mut tx, id).await?;
    let begun = drafts::list_disciplines(&mut tx, id).await?;
    let mut lines = Vec::new();
    for one in disciplines::list(&mut tx, assignment.project_id).await? {
        let last = submitted.iter().find(|list| list.discipline == one.code);
        let has_draft = begun.contains(&one.code);
        if one.withdrawn && last.is_none() && !has_draft {
            continue;
        }
        let (button, begun) = match (last, has_draft) {
            (None, false) => ("Enter rows", "not begun"),
            (Some(_), false) => ("Revise", ""),
            (None, true) => ("Go on with the draft", "draft kept"),
            (Some(_), true) => ("Go on with the revision", "a revision begun"),
        };
        let version = last.map(|list| {
            let day = show_day(list.submitted_at.date_naive());
            format!("version {} submitted {day}, {}", list.version, rows_words(list.rows()))
        });
        let state = [version.as_deref().unwrap_or_default(), begun];
        lines.push(Line {
            columns: one.columns.iter().map(|column| column.name.as_str()).collect::<Vec<_>>().join(", "),
            state: state.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", "),
            href: links::rows_of(id, &one.code),
            button,
            submitted: last.map(|list| links::row_list(list.id)),
            name: one.name,
        });
    }
    Ok(ok(ChoicePage { chrome: ctx.chrome_in(assignment.project_id), assignment, lines }).into_response())
}
