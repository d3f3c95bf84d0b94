//! Sending finds to a specialist with a question and a due date.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::finds::load_chosen;
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use chrono::Duration;
use domain::ids::AssignmentId;
use domain::letters::LetterKind;
use domain::stages::{Stage, StageMark, StageState};
use store::Tx;
use store::finds::{Find, progress};
use store::journal;
use store::letters::{self, NewLetter};
use store::people::Colleague;
use store::review::assignments::{self, NewAssignment};

/// Finds that one assignment may carry.
const MOST_FINDS: usize = 500;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AssignmentForm {
    find: Vec<String>,
    specialist: String,
    question: String,
    due_on: String,
    /// `yes`: colleagues’ opinions show only once the own one is in.
    blind: String,
}

#[derive(Template)]
#[template(path = "review/assignment_new.html")]
struct AssignmentPage {
    chrome: Chrome,
    code: String,
    finds: Vec<Find>,
    specialists: Vec<Colleague>,
    form: AssignmentForm,
    errors: Errors,
}

pub(super) async fn new(
    ctx: Ctx,
    Path(code): Path<String>,
    Asked(mut form): Asked<AssignmentForm>,
) -> Answer {
    if form.due_on.is_empty() {
        form.due_on = (ctx.now.date_naive() + Duration::weeks(4)).to_string();
        form.blind = "yes".into();
    }
    let page = page(&ctx, &mut ctx.read().await?, code, form).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<AssignmentForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut page = page(&ctx, &mut tx, code.clone(), posted.form.clone()).await?;
    let mut errors = Errors::default();
    let specialist = page.specialists.iter().find(|s| s.id.to_string() == posted.form.specialist).cloned();
    if specialist.is_none() {
        errors.add("specialist", "Choose the specialist.");
    }
    let question = errors.text("question", &posted.form.question);
    if question.is_empty() {
        errors.add("question", "Ask something: what it is, its date, its material.");
    }
    let due_on = errors.day("due_on", &posted.form.due_on);
    match due_on {
        None => errors.add("due_on", "Say until when."),
        Some(day) if day < ctx.now.date_naive() => errors.add("due_on", "This day is past."),
        Some(_) => {}
    }
    let (Some(specialist), Some(due_on), true) = (specialist, due_on, errors.is_empty()) else {
        page.errors = errors;
        return Ok(again(page).into_response());
    };
    let finds = page.finds.iter().map(|find| find.id).collect();
    let new = NewAssignment { project, specialist: specialist.id, question, due_on, finds };
    let made = assignments::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    store::review::companions::update_blind(&mut tx, made, posted.form.blind == "yes").await?;
    for find in &page.finds {
        begin_review(&ctx, &mut tx, find, &specialist.name).await?;
    }
    write_letter(&ctx, &mut tx, &new, page.finds.len()).await?;
    let told = match page.finds.as_slice() {
        [one] => format!("{} is with {}; the letter is on its way.", one.number, specialist.name),
        many => format!("{} finds are with {}; the letter is on its way.", many.len(), specialist.name),
    };
    let answer = ctx.finish(tx, &posted, &links::specialists(&code), &told).await;
    ctx.app.letterbox.ring();
    answer
}

#[derive(Debug, Default, serde::Deserialize)]
pub(super) struct Nothing {}

/// Closes an assignment: nothing more is waited for.
pub(super) async fn close(ctx: Ctx, Path(id): Path<AssignmentId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let assignment = assignments::find(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    ctx.allow(assignment.project_id)?;
    assignments::update_closed(&mut tx, id, ctx.now).await?;
    let words = format!("closed the assignment to {}", assignment.specialist_name);
    let entry = journal::Entry {
        project: Some(assignment.project_id),
        verb: "closed",
        words,
        by: Some(ctx.actor.person),
        ..journal::Entry::default()
    };
    journal::append(&mut tx, &entry, ctx.now).await?;
    ctx.finish(tx, &posted, &links::specialists(&assignment.project_code), "The assignment is closed.").await
}

async fn begin_review(ctx: &Ctx, tx: &mut Tx, find: &Find, specialist: &str) -> Answer<()> {
    let progress = progress::find_progress(tx, find.id).await?;
    if progress.route.has(Stage::Review) && progress.state(Stage::Review) == StageState::Waiting {
        let mark = StageMark {
            stage: Stage::Review,
            state: StageState::InHand,
            quantity_done: 0,
            reason: String::new(),
        };
        progress::mark(tx, find.id, &mark, ctx.now).await?;
    }
    let entry = find_entry(ctx, find, "assigned", format!("sent to {specialist} for an opinion"));
    Ok(journal::append(tx, &entry, ctx.now).await?)
}

async fn write_letter(ctx: &Ctx, tx: &mut Tx, new: &NewAssignment, finds: usize) -> Answer<()> {
    let person = store::people::find(tx, new.specialist).await?.ok_or(AppError::NotFound)?;
    let project = store::projects::find(tx, new.project).await?.ok_or(AppError::NotFound)?;
    let link = crate::people::entry_link(ctx, tx, &person, links::MY_FINDS).await?;
    let finds = if finds == 1 { "one find".to_owned() } else { format!("{finds} finds") };
    let body = format!(
        "Dear {},\n\n{} asks your opinion on {finds} of {} ({}), by {}:\n\n{}\n\nRecords and photographs are here:\n{link}\n\n{}\n",
        person.name,
        ctx.actor.name,
        project.name,
        project.code,
        show_day(new.due_on),
        new.question,
        ctx.actor.name,
    );
    let letter = NewLetter {
        kind: LetterKind::Assignment,
        to_address: person.email,
        to_name: person.name,
        subject: format!("{finds} of {} for your opinion, by {}", project.name, show_day(new.due_on)),
        body,
    };
    letters::insert(tx, &letter, ctx.now).await?;
    Ok(())
}

async fn page(ctx: &Ctx, tx: &mut Tx, code: String, form: AssignmentForm) -> Answer<AssignmentPage> {
    let project = ctx.project(&code)?.project;
    Ok(AssignmentPage {
        chrome: ctx.chrome_in(project),
        finds: load_chosen(ctx, tx, project, &form.find, MOST_FINDS).await?,
        specialists: assignments::list_specialists(tx, project).await?,
        form,
        errors: Errors::default(),
        code,
    })
}
