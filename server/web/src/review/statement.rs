//! The statement of work to invoice from, on a page and as PDF.
use super::assignment::own;
use super::terms_words::{agreed_for, days as in_days, money};
use super::worked_days::total;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::{show_day, show_measure};
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use crate::report::show::paper;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::AssignmentId;
use domain::review::share::FeeFor;
use report::statement::{self, Statement, WorkLine};
use store::Tx;
use store::review::assignments::Assignment;
use store::review::days::{self, WorkedDay};

#[derive(Template)]
#[template(path = "review/statement.html")]
struct StatementPage {
    chrome: Chrome,
    assignment: Assignment,
    today: String,
    statement: Statement,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<AssignmentId>) -> Answer {
    let mut tx = ctx.read().await?;
    let assignment = own(&ctx, &mut tx, id).await?;
    let page = StatementPage {
        chrome: ctx.chrome_in(assignment.project_id),
        today: show_day(ctx.now.date_naive()),
        statement: of(&ctx, &mut tx, &assignment).await?,
        assignment,
    };
    Ok(ok(page).into_response())
}

pub(super) async fn pdf(ctx: Ctx, Path(id): Path<AssignmentId>) -> Answer {
    let mut tx = ctx.read().await?;
    let assignment = own(&ctx, &mut tx, id).await?;
    let (statement, today) = (of(&ctx, &mut tx, &assignment).await?, ctx.now.date_naive());
    drop(tx);
    let bytes = ctx.app.press.print(move || statement::pdf(&statement, today)).await?;
    Ok(paper(&format!("{}-statement-{today}.pdf", assignment.project_code), bytes))
}

async fn of(ctx: &Ctx, tx: &mut Tx, assignment: &Assignment) -> Answer<Statement> {
    let person = store::people::find(tx, assignment.specialist_id).await?.ok_or(AppError::NotFound)?;
    let all = days::list(tx, assignment.id).await?;
    let worked = total(&all);
    let line = |one: &WorkedDay| WorkLine {
        day: show_day(one.worked_on),
        words: one.words.clone(),
        days: show_measure(one.days),
    };
    Ok(Statement {
        specialist: person.name,
        qualification: person.qualification,
        project: format!("{} ({})", assignment.project_name, assignment.project_code),
        asked: format!(
            "as asked by {} on {}",
            assignment.made_by_name,
            show_day(assignment.made_at.date_naive())
        ),
        question: assignment.question.clone(),
        answered: format!("{} of {} finds", assignment.answered, assignment.finds),
        agreed: agreed_for(assignment),
        lines: all.iter().filter(|one| one.withdrawn_at.is_none()).map(line).collect(),
        total: in_days(worked),
        due: due(assignment, worked),
        url: format!("{}{}", ctx.app.config.base_url, links::statement(assignment.id)),
    })
}

/// The sum to invoice, with how it comes about.
fn due(assignment: &Assignment, worked: f64) -> Option<(String, String)> {
    let fee = assignment.fee?;
    let currency = assignment.currency.as_str();
    Some(match assignment.fee_for {
        FeeFor::Day => {
            let how = format!("{} at {}", in_days(worked), money(fee, currency));
            (money(worked * fee, currency), how)
        }
        FeeFor::Whole => (money(fee, currency), "agreed for the whole".into()),
    })
}
