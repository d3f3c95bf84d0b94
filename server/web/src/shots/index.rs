//! What a project lacks: finds in the order of their numbers, those without anything missing left out.
use super::find::{judge, rules_link, words};
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Asked;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::shots::Standing;

/// Finds looked at on one page.
const OF_A_PAGE: i64 = 40;

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Place {
    after: String,
    after_id: String,
}

#[derive(Template)]
#[template(path = "shots/index.html")]
struct ShotListPage {
    chrome: Chrome,
    code: String,
    lines: Vec<Line>,
    /// How many finds were looked at here.
    looked: usize,
    span: String,
    next: Option<String>,
    first: Option<String>,
    rules: Option<String>,
}

/// A find that lacks something.
struct Line {
    href: String,
    number: String,
    what: String,
    missing: Vec<String>,
    remarks: Vec<(String, String)>,
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>, Asked(place): Asked<Place>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.read().await?;
    let rules = store::shots::find_list(&mut tx, project).await?.rules;
    let after_id = place.after_id.parse().unwrap_or_default();
    let restricted_too = ctx.actor.sees_restricted(project);
    let finds =
        store::shots::list_finds(&mut tx, project, restricted_too, (&place.after, after_id), OF_A_PAGE)
            .await?;
    let mut lines = Vec::new();
    for find in &finds {
        let judged = judge(&mut tx, find.id, &find.material, &rules).await?;
        let open = judged.expected.iter().filter(|one| one.standing != Standing::Taken);
        let say = |one: &domain::shots::Expected| match one.standing {
            Standing::Missed => format!("{} (missed)", words(one)),
            _ => words(one),
        };
        let line = Line {
            href: links::shots_of_find(find.id),
            number: find.number.clone(),
            what: find.object_type.clone(),
            missing: open.map(say).collect(),
            remarks: judged
                .remarks
                .into_iter()
                .map(|r| (r.href, format!("{}: {}", r.name, r.sentence)))
                .collect(),
        };
        if !line.missing.is_empty() || !line.remarks.is_empty() {
            lines.push(line);
        }
    }
    let full = i64::try_from(finds.len()).is_ok_and(|n| n >= OF_A_PAGE);
    let next = finds.last().filter(|_| full).map(|last| {
        let mut query = form_urlencoded::Serializer::new(String::new());
        query.append_pair("after", &last.sort_key).append_pair("after_id", &last.id.to_string());
        format!("{}?{}", links::shots(&code), query.finish())
    });
    let span = match (finds.first(), finds.last()) {
        (Some(first), Some(last)) => format!("finds {} to {}", first.number, last.number),
        _ => "no finds".into(),
    };
    let page = ShotListPage {
        chrome: ctx.chrome_in(project),
        lines,
        looked: finds.len(),
        span,
        next,
        first: (!place.after.is_empty()).then(|| links::shots(&code)),
        rules: rules_link(&ctx, project, &code),
        code,
    };
    Ok(ok(page).into_response())
}
