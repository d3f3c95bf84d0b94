//! A specialist's finds, in every project that sent some, the soonest due first.
use crate::context::Ctx;
use crate::dispatches::waiting::{Parcel, parcels};
use crate::error::Answer;
use crate::filters::show_day;
use crate::links;
use crate::page::{Chrome, ok};
use askama::Template;
use axum::response::IntoResponse;
use store::review::assignments::{self, AssignedFind, Assignment};

#[derive(Template)]
#[template(path = "review/my_finds.html")]
struct MyFindsPage {
    chrome: Chrome,
    assignments: Vec<Mine>,
    /// Objects on their way or here, and what is asked about them.
    parcels: Vec<Parcel>,
}

/// What was asked, with the finds it is about.
struct Mine {
    project: String,
    question: String,
    due: String,
    overdue: bool,
    closed: bool,
    progress: String,
    finds: Vec<Row>,
}

struct Row {
    opinion: String,
    href: String,
    number: String,
    what: String,
    context: String,
    state: String,
    button: &'static str,
}

pub(super) async fn index(ctx: Ctx) -> Answer {
    let mut tx = ctx.read().await?;
    let mut mine = Vec::new();
    for assignment in assignments::list_of_specialist(&mut tx, ctx.actor.person).await? {
        let finds = assignments::list_finds(&mut tx, &assignment).await?;
        mine.push(view(&ctx, &assignment, finds));
    }
    let parcels = parcels(&ctx, &mut tx).await?;
    Ok(ok(MyFindsPage { chrome: ctx.chrome(), assignments: mine, parcels }).into_response())
}

fn view(ctx: &Ctx, assignment: &Assignment, finds: Vec<AssignedFind>) -> Mine {
    let closed = assignment.closed_at.is_some();
    Mine {
        project: format!("{} ({})", assignment.project_name, assignment.project_code),
        question: assignment.question.clone(),
        due: show_day(assignment.due_on),
        overdue: !closed
            && assignment.due_on < ctx.now.date_naive()
            && assignment.answered < assignment.finds,
        closed,
        progress: format!("{} of {} answered", assignment.answered, assignment.finds),
        finds: finds.into_iter().map(row).collect(),
    }
}

fn row(find: AssignedFind) -> Row {
    let (state, button) = match (find.version, find.has_draft) {
        (None, false) => ("not begun".to_owned(), "Write an opinion"),
        (None, true) => ("draft kept".to_owned(), "Go on with the draft"),
        (Some(version), true) => {
            (format!("version {version} submitted, a revision begun"), "Go on with the revision")
        }
        (Some(version), false) => {
            (format!("version {version} submitted, {}", find.finality.unwrap_or_default()), "Revise")
        }
    };
    Row {
        opinion: links::opinion(find.id),
        href: links::find(find.id),
        number: find.number,
        what: [find.object_type, find.material_name]
            .into_iter()
            .filter(|w| !w.is_empty())
            .collect::<Vec<_>>()
            .join(", "),
        context: find.context_number.unwrap_or_default(),
        state,
        button,
    }
}
