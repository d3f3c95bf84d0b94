//! What is with specialists, and what is overdue.
use super::terms_words;
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_day;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use crate::rows::sums::rows_words;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::AssignmentId;
use domain::permission::Action;
use store::review::assignments::{self, AssignedFind, Assignment};
use store::rows::lists::RowList;

#[derive(Template)]
#[template(path = "review/specialists.html")]
struct SpecialistsPage {
    chrome: Chrome,
    code: String,
    /// Still open, in the order of their due days.
    assignments: Vec<AssignmentView>,
    closed: Vec<AssignmentView>,
    may_assign: bool,
    may_invite: bool,
}

/// An assignment with its finds.
struct AssignmentView {
    id: AssignmentId,
    closing: String,
    specialist: String,
    question: String,
    due: String,
    overdue: bool,
    closed: bool,
    aims: String,
    shared: String,
    /// Since when its specialist sees its finds no longer.
    hidden: Option<String>,
    agreed: String,
    /// What was worked of it; empty where nothing was.
    worked: String,
    progress: String,
    finds: Vec<FindView>,
    /// Rows that came in: address and words.
    rows: Vec<(String, String)>,
}

struct FindView {
    href: String,
    number: String,
    what: String,
    state: String,
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let member = ctx.project(&code)?;
    let mut tx = ctx.read().await?;
    let mut views: Vec<AssignmentView> = Vec::new();
    let sums = store::review::days::list_sums_of_project(&mut tx, member.project).await?;
    let lists = store::rows::lists::list_of_project(&mut tx, member.project).await?;
    for assignment in assignments::list_of_project(&mut tx, member.project).await? {
        let finds = assignments::list_finds(&mut tx, &assignment).await?;
        let shown = finds.iter().filter(|find| member.restricted || !find.restricted).map(find_view);
        let worked = sums.iter().find(|sum| sum.assignment_id == assignment.id).map(|sum| sum.days);
        let mut one = view(&ctx, &assignment, (shown.collect(), worked));
        one.rows = lists.iter().filter(|list| list.assignment_id == assignment.id).map(rows_view).collect();
        views.push(one);
    }
    let (closed, open) = views.into_iter().partition(|view| view.closed);
    let page = SpecialistsPage {
        chrome: ctx.chrome_in(member.project),
        assignments: open,
        closed,
        may_assign: member.grants(Action::AssignSpecialists),
        may_invite: member.grants(Action::EditProject),
        code,
    };
    Ok(ok(page).into_response())
}

fn view(ctx: &Ctx, assignment: &Assignment, (finds, worked): (Vec<FindView>, Option<f64>)) -> AssignmentView {
    let closed = assignment.closed_at.is_some();
    AssignmentView {
        id: assignment.id,
        closing: links::assignment_closing(assignment.id),
        specialist: assignment.specialist_name.clone(),
        question: assignment.question.clone(),
        due: show_day(assignment.due_on),
        overdue: !closed
            && assignment.due_on < ctx.now.date_naive()
            && assignment.answered < assignment.finds,
        closed,
        aims: assignment.aims.clone(),
        shared: terms_words::shared(assignment.shares()),
        hidden: assignment.sharing_ended_at.map(|at| show_day(at.date_naive())),
        agreed: terms_words::agreed_for(assignment),
        worked: worked.map(terms_words::days).unwrap_or_default(),
        progress: format!("{} of {} answered", assignment.answered, assignment.finds),
        finds,
        rows: Vec::new(),
    }
}

/// “Pottery, 24 rows, version 2, 12 Sep 2031”.
fn rows_view(list: &RowList) -> (String, String) {
    let day = show_day(list.submitted_at.date_naive());
    let rows = rows_words(list.rows());
    (links::row_list(list.id), format!("{}, {rows}, version {}, {day}", list.discipline_name, list.version))
}

fn find_view(find: &AssignedFind) -> FindView {
    let state = match (find.version, find.finality.as_deref()) {
        (Some(version), Some(finality)) => format!("{finality}, version {version}"),
        _ => "not answered yet".into(),
    };
    FindView {
        href: links::opinions(find.id),
        number: find.number.clone(),
        what: [find.object_type.as_str(), find.material_name.as_str()].join(", "),
        state,
    }
}
