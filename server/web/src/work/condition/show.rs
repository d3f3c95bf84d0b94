//! The assessments of a find: two of them side by side, and all versions.
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::{show_day, show_measure};
use crate::form::Asked;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::condition::{Alteration, Assessment, Term};
use domain::ids::{FindId, RecordId};
use domain::permission::Action;
use domain::review::share::Share;
use store::Tx;
use store::finds::Find;
use store::work::assessments::{self, Assessed};

/// Which two are laid side by side; the latest and the one before it where nothing is asked.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Beside {
    this: String,
    with: String,
}

#[derive(Template)]
#[template(path = "work/condition.html")]
struct ConditionPage {
    chrome: Chrome,
    trail: (String, &'static str),
    find: Find,
    /// Headings of the one or two columns.
    heads: Vec<String>,
    lines: Vec<Line>,
    versions: Vec<Version>,
    corrected: Vec<Version>,
    record: Option<String>,
}

/// A field of one or two assessments.
struct Line {
    name: &'static str,
    cells: Vec<String>,
    changed: bool,
}

/// An assessment in the list.
struct Version {
    head: String,
    summary: String,
    open: bool,
    /// The address that lays it beside the latest.
    beside: Option<String>,
    correct: Option<String>,
}

/// The latest assessment as the find page shows it.
pub(crate) struct AssessmentView {
    pub head: String,
    pub open: bool,
    pub condition: Term,
    pub stability: Term,
    pub lines: Vec<(&'static str, String)>,
    /// How many stand.
    pub count: usize,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<FindId>, Asked(beside): Asked<Beside>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find_sharing(&mut tx, id, Share::Conservation).await?;
    let all = assessments::list_of_find(&mut tx, id).await?;
    let (standing, corrected): (Vec<Assessed>, Vec<Assessed>) =
        all.into_iter().partition(|one| one.superseded_at.is_none());
    let everything = || standing.iter().chain(&corrected);
    let asked =
        |id: &str| id.parse::<RecordId>().ok().and_then(|id| everything().find(|one| one.record == id));
    let this = asked(&beside.this).or(standing.first());
    let with = asked(&beside.with).or(standing.get(1)).filter(|with| this != Some(*with));
    let shown: Vec<&Assessed> = this.into_iter().chain(with).collect();
    let may_record = ctx.actor.may(Action::RecordWork, find.project_id);
    let version = |one: &Assessed| version(&find, one, standing.first(), may_record);
    let page = ConditionPage {
        chrome: ctx.chrome_in(find.project_id),
        trail: ctx.trail_of_finds(find.project_id, &find.project_code),
        heads: shown.iter().map(|one| head(one)).collect(),
        lines: side_by_side(&shown),
        versions: standing.iter().map(version).collect(),
        corrected: corrected.iter().map(version).collect(),
        record: may_record.then(|| format!("{}?find={id}", links::condition_new(&find.project_code))),
        find,
    };
    Ok(ok(page).into_response())
}

/// The latest standing assessment of a find.
pub(crate) async fn latest(tx: &mut Tx, find: FindId) -> Answer<Option<AssessmentView>> {
    let all = assessments::list_of_find(tx, find).await?;
    let standing = all.iter().filter(|one| one.superseded_at.is_none());
    let count = standing.clone().count();
    Ok(standing.clone().next().map(|one| AssessmentView {
        head: head(one),
        open: !one.finished,
        condition: one.assessment.condition.clone(),
        stability: one.assessment.stability.clone(),
        lines: [
            ("Seen", alterations(&one.assessment)),
            ("Risk", one.assessment.risk.clone()),
            ("Recommended", one.assessment.recommendation.clone()),
            ("Next look", one.assessment.review_on.map(show_day).unwrap_or_default()),
        ]
        .into_iter()
        .filter(|(_, words)| !words.is_empty())
        .collect(),
        count,
    }))
}

fn head(one: &Assessed) -> String {
    format!("{}, {}", show_day(one.done_on), one.done_by)
}

fn version(find: &Find, one: &Assessed, latest: Option<&Assessed>, may_record: bool) -> Version {
    let latest = latest.filter(|latest| latest.record != one.record);
    let correct =
        || format!("{}?find={}&supersedes={}", links::condition_new(&find.project_code), find.id, one.record);
    Version {
        head: head(one),
        summary: one.assessment.summary(),
        open: !one.finished,
        beside: latest.map(|latest| links::condition_beside(find.id, latest.record, one.record)),
        correct: (may_record && one.superseded_at.is_none()).then(correct),
    }
}

/// The name of a field and how it is told.
type Field = (&'static str, fn(&Assessed) -> String);

fn side_by_side(shown: &[&Assessed]) -> Vec<Line> {
    let fields: [Field; 14] = [
        ("Reason", |one| one.assessment.reason.clone()),
        ("How examined", |one| one.method.clone()),
        ("Light", |one| one.assessment.light.clone()),
        ("Extent examined", |one| one.assessment.extent.clone()),
        ("Seen", |one| alterations(&one.assessment)),
        ("Presumed causes", |one| causes(&one.assessment)),
        ("Condition", |one| defined(&one.assessment.condition)),
        ("Stability", |one| defined(&one.assessment.stability)),
        ("Past treatment", |one| one.assessment.past_treatment.clone()),
        ("Risk", |one| one.assessment.risk.clone()),
        ("Recommended", |one| one.assessment.recommendation.clone()),
        ("Next look", |one| one.assessment.review_on.map(show_day).unwrap_or_default()),
        ("Note", |one| one.note.clone()),
        ("Recorded by", |one| one.recorded_by.clone()),
    ];
    let line = |(name, cell): Field| {
        let cells: Vec<String> = shown.iter().map(|one| cell(one)).collect();
        let changed = cells.first() != cells.last() && name != "Recorded by";
        Line { name, cells, changed }
    };
    let lines = fields.into_iter().map(line);
    lines.filter(|line| line.cells.iter().any(|cell| !cell.is_empty())).collect()
}

fn defined(term: &Term) -> String {
    let Term { word, meaning } = term;
    if meaning.is_empty() { word.clone() } else { format!("{word}: {meaning}") }
}

/// What is seen, one alteration a line, without its cause.
fn alterations(seen: &Assessment) -> String {
    let line = |a: &Alteration| {
        let share = a.extent_pct.map(|pct| format!("{} %", show_measure(pct))).unwrap_or_default();
        let parts = [a.place.clone(), share];
        let about: Vec<&String> = parts.iter().filter(|part| !part.is_empty()).collect();
        match about.as_slice() {
            [] => a.word.clone(),
            [one] => format!("{}, {one}", a.word),
            [one, two, ..] => format!("{}, {one}, {two}", a.word),
        }
    };
    if seen.unaltered && seen.alterations.is_empty() {
        return "looked for, nothing seen".into();
    }
    seen.alterations.iter().map(line).collect::<Vec<_>>().join("; ")
}

fn causes(seen: &Assessment) -> String {
    let of = seen.alterations.iter().filter(|a| !a.cause.is_empty());
    of.map(|a| format!("{}: {}", a.word, a.cause)).collect::<Vec<_>>().join("; ")
}
