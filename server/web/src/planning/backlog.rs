//! The backlog: what waits where, how old it is, how long the rest will take.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_count;
use crate::form::Asked;
use crate::links;
use crate::page::{Chrome, ok};
use askama::Template;
use axum::response::IntoResponse;
use chrono::{Duration, NaiveDate};
use domain::permission::{Action, Membership};
use domain::planning::weeks_left;
use domain::stages::Headline;
use store::Tx;
use store::planning::{Cell, WeekCount};

/// Whole weeks looked back on.
const WEEKS: i64 = 6;

#[derive(Template)]
#[template(path = "planning/backlog.html")]
struct BacklogPage {
    chrome: Chrome,
    projects: Vec<ProjectBacklog>,
    choices: Vec<(String, String, bool)>,
    all: bool,
}

/// The backlog of one project.
struct ProjectBacklog {
    code: String,
    name: String,
    /// Finds at whatever stage.
    waiting: i64,
    headlines: Vec<&'static str>,
    rows: Vec<Row>,
    totals: Vec<CellView>,
    weeks: Vec<String>,
    pace: Vec<Pace>,
}

struct Row {
    material: String,
    cells: Vec<CellView>,
}

/// One cell: a number that is a list.
struct CellView {
    finds: String,
    age: String,
    href: String,
}

/// How fast one headline goes.
struct Pace {
    headline: &'static str,
    per_week: Vec<String>,
    waiting: String,
    sentence: String,
}

/// The headlines that can hold a backlog.
const COLUMNS: [Headline; 6] = [
    Headline::Recovery,
    Headline::DryClean,
    Headline::WetClean,
    Headline::Packing,
    Headline::Review,
    Headline::Report,
];

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Which {
    project: String,
}

pub(super) async fn show(ctx: Ctx, Asked(which): Asked<Which>) -> Answer {
    if !which.project.is_empty() && ctx.actor.projects(Action::ViewBacklog).all(|m| m.code != which.project) {
        return Err(AppError::NotFound);
    }
    let mut tx = ctx.read().await?;
    let mut projects = Vec::new();
    for member in ctx.actor.projects(Action::ViewBacklog) {
        if which.project.is_empty() || which.project == member.code {
            projects.push(backlog(&ctx, &mut tx, member).await?);
        }
    }
    projects.sort_by_key(|project: &ProjectBacklog| std::cmp::Reverse(project.waiting));
    let choice = |m: &Membership| {
        (format!("{}?project={}", links::BACKLOG, m.code), m.name.clone(), which.project == m.code)
    };
    let choices: Vec<_> = ctx.actor.projects(Action::ViewBacklog).map(choice).collect();
    let choices = if choices.len() > 1 { choices } else { Vec::new() };
    Ok(ok(BacklogPage { chrome: ctx.chrome(), projects, choices, all: which.project.is_empty() })
        .into_response())
}

async fn backlog(ctx: &Ctx, tx: &mut Tx, member: &Membership) -> Answer<ProjectBacklog> {
    let cells =
        store::planning::list_backlog(tx, member.project, ctx.actor.sees_restricted(member.project)).await?;
    let this_week = store::finds::progress::week_of(ctx.now);
    let first = this_week - Duration::weeks(WEEKS);
    let done = store::planning::list_done(tx, member.project, first, this_week).await?;
    let mut materials: Vec<(&str, &str)> = Vec::new();
    for cell in &cells {
        if materials.last().is_none_or(|(code, _)| *code != cell.material) {
            materials.push((&cell.material, &cell.material_name));
        }
    }
    let row = |(code, name): &(&str, &str)| Row {
        material: (*name).to_owned(),
        cells: COLUMNS
            .iter()
            .map(|headline| view(ctx, &member.code, &cells, *headline, Some(code)))
            .collect(),
    };
    Ok(ProjectBacklog {
        code: member.code.clone(),
        name: member.name.clone(),
        waiting: cells.iter().map(|cell| cell.finds).sum(),
        headlines: COLUMNS.iter().map(|h| h.label()).collect(),
        rows: materials.iter().map(row).collect(),
        totals: COLUMNS.iter().map(|headline| view(ctx, &member.code, &cells, *headline, None)).collect(),
        weeks: weeks(first).map(|week| week.format("%-d %b").to_string()).collect(),
        pace: COLUMNS.iter().map(|headline| pace(&cells, &done, *headline, first)).collect(),
    })
}

fn view(ctx: &Ctx, code: &str, cells: &[Cell], headline: Headline, material: Option<&str>) -> CellView {
    let these = cells.iter().filter(|c| c.headline == headline && material.is_none_or(|m| c.material == m));
    let finds: i64 = these.clone().map(|c| c.finds).sum();
    let oldest = these.filter_map(|c| c.oldest).min();
    let material = material.map(|m| format!("&material={m}")).unwrap_or_default();
    CellView {
        finds: if finds == 0 { String::new() } else { show_count(finds) },
        age: oldest.map(|at| age((ctx.now - at).num_days())).unwrap_or_default(),
        href: format!("{}?headline={}{material}&sort=waiting", links::finds(code), headline.code()),
    }
}

fn age(days: i64) -> String {
    match days {
        ..=0 => "today".into(),
        1 => "1 day".into(),
        2..=60 => format!("{days} days"),
        _ => format!("{} weeks", days / 7),
    }
}

fn weeks(first: NaiveDate) -> impl Iterator<Item = NaiveDate> {
    (0..WEEKS).map(move |n| first + Duration::weeks(n))
}

fn pace(cells: &[Cell], done: &[WeekCount], headline: Headline, first: NaiveDate) -> Pace {
    let waiting: i64 = cells.iter().filter(|c| c.headline == headline).map(|c| c.finds).sum();
    let count = |week| done.iter().find(|w| w.headline == headline && w.week == week).map_or(0, |w| w.finds);
    let per_week: Vec<i64> = weeks(first).map(count).collect();
    let sentence = match weeks_left(waiting, &per_week) {
        _ if waiting == 0 => "Nothing waits.".to_owned(),
        None => "Nothing was finished in these weeks, so nothing can be said.".to_owned(),
        Some(left) => {
            let worst = left
                .at_worst
                .map_or("no end at the worst week’s pace".to_owned(), |w| format!("{w:.1} at the worst"));
            format!(
                "{:.1} a week on average; the rest takes {:.1} weeks at that pace, {:.1} at the best week’s, {worst}.",
                left.mean_per_week, left.at_mean, left.at_best
            )
        }
    };
    Pace {
        headline: headline.label(),
        per_week: per_week.into_iter().map(show_count).collect(),
        waiting: show_count(waiting),
        sentence,
    }
}
