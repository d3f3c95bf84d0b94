//! A specialist's desk: what every project sent, the soonest due first.
use super::terms_words;
use crate::context::Ctx;
use crate::dispatches::waiting::{Parcel, parcels};
use crate::error::Answer;
use crate::filters::{show_day, show_measure};
use crate::form::Asked;
use crate::links;
use crate::page::{Chrome, ok};
use askama::Template;
use axum::response::IntoResponse;
use store::review::assignments::{self, Assignment};
use store::review::days::{self, Sum};
use store::review::desk::{self, DeskFind};

/// Which project’s alone; empty for all.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Narrow {
    project: String,
}

#[derive(Template)]
#[template(path = "review/my_finds.html")]
struct MyFindsPage {
    chrome: Chrome,
    assignments: Vec<Mine>,
    closed: Vec<Mine>,
    /// Code, and whether the desk shows it alone; empty where all is from one project.
    projects: Vec<(String, bool)>,
    /// How many finds are on it, and how many wait for an opinion.
    counts: String,
    /// Objects on their way or here, and what is asked about them.
    parcels: Vec<Parcel>,
}

/// What was asked, with the finds it is about.
struct Mine {
    project: String,
    from: String,
    question: String,
    aims: String,
    due: String,
    overdue: bool,
    progress: String,
    /// Days worked and agreed; empty where nothing was agreed or worked.
    days: String,
    days_href: String,
    rows_href: String,
    hidden: bool,
    finds: Vec<Row>,
}

struct Row {
    opinion: String,
    href: String,
    number: String,
    what: String,
    context: String,
    state: String,
    /// What became of the questions; empty where there are none.
    thread: &'static str,
    button: &'static str,
}

pub(super) async fn index(ctx: Ctx, Asked(narrow): Asked<Narrow>) -> Answer {
    let mut tx = ctx.read().await?;
    let all = assignments::list_of_specialist(&mut tx, ctx.actor.person).await?;
    let finds = desk::list(&mut tx, ctx.actor.person).await?;
    let sums = days::list_sums_of_specialist(&mut tx, ctx.actor.person).await?;
    let mut codes: Vec<&str> = all.iter().map(|one| one.project_code.as_str()).collect();
    codes.sort_unstable();
    codes.dedup();
    let projects = if codes.len() > 1 { codes } else { Vec::new() };
    let projects = projects.into_iter().map(|code| (code.to_owned(), code == narrow.project)).collect();
    let asked = all.iter().filter(|one| narrow.project.is_empty() || one.project_code == narrow.project);
    let (closed, open): (Vec<&Assignment>, Vec<&Assignment>) = asked.partition(|one| one.closed_at.is_some());
    let view = |one: &&Assignment| view(&ctx, one, (&finds, &sums));
    let assignments: Vec<Mine> = open.iter().map(view).collect();
    let page = MyFindsPage {
        counts: counts(&open, &finds),
        assignments,
        closed: closed.iter().map(view).collect(),
        projects,
        parcels: parcels(&ctx, &mut tx).await?,
        chrome: ctx.chrome(),
    };
    Ok(ok(page).into_response())
}

/// “12 finds, 3 wait for your opinion”.
fn counts(open: &[&Assignment], finds: &[DeskFind]) -> String {
    let mine: Vec<&DeskFind> =
        finds.iter().filter(|find| open.iter().any(|one| one.id == find.assignment_id)).collect();
    let waiting = mine.iter().filter(|find| find.version.is_none()).count();
    let all = if mine.len() == 1 { "1 find".to_owned() } else { format!("{} finds", mine.len()) };
    match waiting {
        0 => format!("{all}, none waits for your opinion"),
        1 => format!("{all}, 1 waits for your opinion"),
        n => format!("{all}, {n} wait for your opinion"),
    }
}

fn view(ctx: &Ctx, assignment: &Assignment, (finds, sums): (&[DeskFind], &[Sum])) -> Mine {
    let closed = assignment.closed_at.is_some();
    let finds = finds.iter().filter(|find| find.assignment_id == assignment.id);
    let worked = sums.iter().find(|sum| sum.assignment_id == assignment.id).map_or(0.0, |sum| sum.days);
    let days = match assignment.agreed_days {
        Some(agreed) => format!("{} of {}", show_measure(worked), terms_words::days(agreed)),
        None if worked > 0.0 => terms_words::days(worked),
        None => String::new(),
    };
    Mine {
        project: format!("{} ({})", assignment.project_name, assignment.project_code),
        from: assignment.made_by_name.clone(),
        question: assignment.question.clone(),
        aims: assignment.aims.clone(),
        due: show_day(assignment.due_on),
        overdue: !closed
            && assignment.due_on < ctx.now.date_naive()
            && assignment.answered < assignment.finds,
        progress: format!("{} of {} answered", assignment.answered, assignment.finds),
        days,
        days_href: links::worked_days(assignment.id),
        rows_href: links::rows(assignment.id),
        hidden: assignment.sharing_ended_at.is_some(),
        finds: finds.map(row).collect(),
    }
}

fn row(find: &DeskFind) -> Row {
    let (state, button) = match (find.version, find.has_draft) {
        (None, false) => ("not begun".to_owned(), "Write an opinion"),
        (None, true) => ("draft kept".to_owned(), "Go on with the draft"),
        (Some(version), true) => {
            (format!("version {version} submitted, a revision begun"), "Go on with the revision")
        }
        (Some(version), false) => (
            format!("version {version} submitted, {}", find.finality.as_deref().unwrap_or_default()),
            "Revise",
        ),
    };
    let what = [find.object_type.as_str(), find.material_name.as_str()];
    Row {
        opinion: links::opinion(find.id),
        href: links::find(find.id),
        number: find.number.clone(),
        what: what.into_iter().filter(|w| !w.is_empty()).collect::<Vec<_>>().join(", "),
        context: find.context_number.clone().unwrap_or_default(),
        state,
        thread: match (find.asked, find.is_answered) {
            (_, true) => "answer received",
            (0, false) => "",
            (_, false) => "question out",
        },
        button,
    }
}
