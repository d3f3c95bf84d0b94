//! The stratigraphic diagram of a project, drawn on the server, and the same as a table.
use super::drawing::{self, Drawing};
use super::site::{Ground, SiteDating};
use super::words;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Asked;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use calc::stratigraphy::{Reduction, diagram};
use domain::permission::Action;
use std::collections::BTreeSet;

/// Contexts drawn on one sheet; more are asked for by area.
const MOST: usize = 600;
/// Sizes in percent; the first fits the sheet to the page.
const SIZES: &[(&str, &str)] =
    &[("fit", "Whole"), ("50", "50 %"), ("75", "75 %"), ("", "100 %"), ("150", "150 %"), ("200", "200 %")];

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct View {
    area: String,
    size: String,
}

/// A choice among links: words, address, size in percent, whether it is the one shown.
pub(super) struct Choice {
    pub label: String,
    pub href: String,
    pub size: &'static str,
    pub current: bool,
}

/// A context with its nearest neighbours.
pub(super) struct Row {
    pub number: String,
    pub href: String,
    pub interpretation: String,
    pub phase: String,
    pub date: String,
    pub same: Vec<Link>,
    pub above: Vec<Link>,
    pub below: Vec<Link>,
}

/// A context by its number.
pub(super) struct Link {
    pub number: String,
    pub href: String,
}

#[derive(Template)]
#[template(path = "contexts/diagram.html")]
struct DiagramPage {
    chrome: Chrome,
    code: String,
    areas: Vec<Choice>,
    sizes: Vec<Choice>,
    drawing: Option<Drawing>,
    /// Why nothing is drawn.
    refusal: String,
    summary: String,
    /// Contradictions in words, under what they are.
    conflicts: Vec<(&'static str, Vec<String>)>,
    redundant: Vec<String>,
    /// How many conflicts there are, in words; empty without any.
    warning: String,
    rows: Vec<Row>,
    is_partial: bool,
    is_dated: bool,
}

pub(super) async fn show(ctx: Ctx, Path(code): Path<String>, Asked(view): Asked<View>) -> Answer {
    let member = ctx.project(&code)?;
    let (project, code) = (member.project, member.code.clone());
    let mut tx = ctx.read().await?;
    let area = Some(view.area.as_str()).filter(|area| !area.is_empty());
    // dates come from everything, also where one area is drawn
    let whole = Ground::load(&mut tx, project, None).await?;
    let site = if member.grants(Action::ViewOpinions) {
        Some(SiteDating::load(&mut tx, project, &whole, member.restricted).await?)
    } else {
        None
    };
    let areas: BTreeSet<&str> =
        whole.contexts.iter().map(|context| context.area.as_str()).filter(|area| !area.is_empty()).collect();
    let areas = areas_of(&code, &view, areas);
    let shown = Ground::load(&mut tx, project, area).await?;
    drop(tx);
    let reduction = shown.graph.reduction();
    let dates = dates(&whole, &shown, site.as_ref());
    let (drawing, refusal) = draw(&shown, &dates, &view);
    let conflicts = conflicts(&whole, &shown, (site.as_ref(), drawing.as_ref()));
    let page = DiagramPage {
        chrome: ctx.chrome_in(project),
        areas,
        sizes: sizes(&code, &view),
        summary: summary(&shown, &reduction),
        warning: match conflicts.iter().map(|(_, list)| list.len()).sum() {
            0_usize => String::new(),
            1 => "One conflict is told below".into(),
            count => format!("{count} conflicts are told below"),
        },
        conflicts,
        redundant: reduction.redundant.iter().map(|pair| over(&shown, *pair)).collect(),
        rows: rows(&shown, &reduction, &dates),
        is_partial: !member.restricted,
        is_dated: site.is_some(),
        drawing,
        refusal,
        code,
    };
    Ok(ok(page).into_response())
}

fn draw(shown: &Ground, dates: &[Option<String>], view: &View) -> (Option<Drawing>, String) {
    if shown.contexts.len() > MOST {
        let count = shown.contexts.len();
        return (
            None,
            format!(
                "{count} contexts are too many for one sheet. Choose an area above; the table below holds all of them."
            ),
        );
    }
    let entries = drawing::entries(shown, dates);
    match diagram::draw(&shown.graph, &entries) {
        Ok(diagram) => (Some(Drawing::of(diagram, shown, (dates, &view.size))), String::new()),
        Err(refused) => (None, refused.to_string()),
    }
}

/// For each context shown the first year it can be of.
fn dates(whole: &Ground, shown: &Ground, site: Option<&SiteDating>) -> Vec<Option<String>> {
    let date = |id| {
        let post = site?.of(whole.place(id)?).post_quem?;
        Some(crate::review::dating::year(post.year.number()))
    };
    shown.contexts.iter().map(|context| date(context.id)).collect()
}

fn areas_of(code: &str, view: &View, areas: BTreeSet<&str>) -> Vec<Choice> {
    if areas.len() < 2 {
        return Vec::new();
    }
    let choice = |area: &str| Choice {
        label: if area.is_empty() { "All areas".into() } else { area.into() },
        href: links::diagram_at(code, &view.size, area),
        size: "",
        current: view.area == area,
    };
    std::iter::once("").chain(areas).map(choice).collect()
}

fn sizes(code: &str, view: &View) -> Vec<Choice> {
    let choice = |&(size, label): &(&'static str, &'static str)| Choice {
        label: label.into(),
        href: links::diagram_at(code, size, &view.area),
        size: if size.is_empty() { "100" } else { size },
        current: view.size == size,
    };
    SIZES.iter().map(choice).collect()
}

fn summary(shown: &Ground, reduction: &Reduction) -> String {
    let plural = |n: usize, one: &str, more: &str| format!("{n} {}", if n == 1 { one } else { more });
    format!(
        "{}, {} drawn; {} left out because others say the same.",
        plural(shown.contexts.len(), "context", "contexts"),
        plural(reduction.kept.len(), "relation", "relations"),
        plural(reduction.redundant.len(), "relation is", "relations are"),
    )
}

fn over(shown: &Ground, (later, earlier): (usize, usize)) -> String {
    format!("{} above {}", shown.contexts[later].number, shown.contexts[earlier].number)
}

/// Circles, phases and dates that contradict each other, as far as they touch what is shown.
fn conflicts(
    whole: &Ground,
    shown: &Ground,
    (site, drawing): (Option<&SiteDating>, Option<&Drawing>),
) -> Vec<(&'static str, Vec<String>)> {
    let circle = |set: Vec<usize>| {
        let numbers: Vec<&str> = set.iter().map(|&n| shown.contexts[n].number.as_str()).collect();
        words::circle(&numbers)
    };
    let circles: Vec<String> = shown.graph.contradictions().into_iter().map(circle).collect();
    let phases: Vec<String> = drawing.map_or(Vec::new(), |drawing| drawing.phase_conflicts.clone());
    let dates = site.map_or(Vec::new(), |site| date_conflicts(whole, shown, site));
    let all = [("Relations in a circle", circles), ("Phases against relations", phases), ("Dates", dates)];
    all.into_iter().filter(|(_, list)| !list.is_empty()).collect()
}

/// What contradicts among the dates; contexts of which the same is said together.
fn date_conflicts(whole: &Ground, shown: &Ground, site: &SiteDating) -> Vec<String> {
    let mut said: Vec<(String, Vec<&str>)> = Vec::new();
    for n in shown.contexts.iter().filter_map(|context| whole.place(context.id)) {
        let number = whole.contexts[n].number.as_str();
        for sentence in words::conflicts(whole, site, n) {
            match said.iter_mut().find(|(known, _)| *known == sentence) {
                Some((_, numbers)) => numbers.push(number),
                None => said.push((sentence, vec![number])),
            }
        }
    }
    said.into_iter().map(|(sentence, numbers)| format!("{}: {sentence}", words::joined(&numbers))).collect()
}

fn rows(shown: &Ground, reduction: &Reduction, dates: &[Option<String>]) -> Vec<Row> {
    let count = shown.contexts.len();
    let (mut above, mut below) = (vec![Vec::new(); count], vec![Vec::new(); count]);
    for &(later, earlier) in reduction.kept.iter().chain(&reduction.contradictory) {
        above[later].push(earlier);
        below[earlier].push(later);
    }
    let link = |&n: &usize| Link {
        number: shown.contexts[n].number.clone(),
        href: links::context(shown.contexts[n].id),
    };
    let row = |n: usize| {
        let context = &shown.contexts[n];
        let first = shown.graph.first(n);
        Row {
            number: context.number.clone(),
            href: links::context(context.id),
            interpretation: context.interpretation.clone(),
            phase: context.phase.clone(),
            date: dates[n].clone().unwrap_or_default(),
            same: shown.graph.same(n).iter().filter(|&&other| other != n).map(link).collect(),
            above: above[first].iter().map(link).collect(),
            below: below[first].iter().map(link).collect(),
        }
    };
    (0..count).map(row).collect()
}
