//! Sending finds to a specialist with a question, what is shared and what was agreed.
use super::assignment_form::{Asked, AssignmentForm, MOST_FINDS, Parsed};
use super::terms_words;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::finds::{FilterForm, load_chosen};
use crate::form::{self, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{AssignmentId, ProjectId};
use domain::letters::LetterKind;
use domain::review::share::{FeeFor, Share};
use domain::stages::{Stage, StageMark, StageState};
use store::Tx;
use store::finds::{Find, progress};
use store::journal;
use store::letters::{self, NewLetter};
use store::people::Colleague;
use store::review::assignments::{self, Assignment, NewAssignment};

#[derive(Template)]
#[template(path = "review/assignment_new.html")]
struct AssignmentPage {
    chrome: Chrome,
    code: String,
    finds: Vec<Find>,
    specialists: Vec<Colleague>,
    form: AssignmentForm,
    parts: &'static [Share],
    bases: &'static [FeeFor],
    errors: Errors,
}

pub(super) async fn new(
    ctx: Ctx,
    Path(code): Path<String>,
    form::Asked(mut form): form::Asked<AssignmentForm>,
    form::Asked(filter): form::Asked<FilterForm>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.read().await?;
    form.begin(ctx.now.date_naive());
    if form.all == "filter" {
        form.find = of_filter(&ctx, &mut tx, project, &filter).await?;
    }
    let page = page(&ctx, &mut tx, code, form).await?;
    Ok(ok(page).into_response())
}

/// Every find of a filter, one more than may go where there are more.
async fn of_filter(ctx: &Ctx, tx: &mut Tx, project: ProjectId, filter: &FilterForm) -> Answer<Vec<String>> {
    let Some(asked) = filter.read(ctx, tx, project).await? else { return Ok(Vec::new()) };
    let most = i64::try_from(MOST_FINDS + 1).unwrap_or(i64::MAX);
    let lines = store::filter::list(tx, project, &asked, filter.order(), None, most).await?;
    if lines.len() > MOST_FINDS {
        let back = format!(
            "{}?{}",
            links::finds(&ctx.actor.membership(project).ok_or(AppError::NotFound)?.code),
            filter.query()
        );
        let words = format!("More than {MOST_FINDS} finds fit the filter. Narrow it, then send them.");
        return Err(ctx.lead_back(back, &words));
    }
    Ok(lines.into_iter().filter(|line| line.void_at.is_none()).map(|line| line.id.to_string()).collect())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<AssignmentForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut page = page(&ctx, &mut tx, code.clone(), posted.form.clone()).await?;
    let parsed = posted.form.parse((&page.specialists, &page.finds), ctx.now.date_naive());
    let Parsed { specialist, asked } = match parsed {
        Ok(parsed) => parsed,
        Err(errors) => {
            page.errors = errors;
            return Ok(again(page).into_response());
        }
    };
    let finds = page.finds.iter().map(|find| find.id).collect();
    let Asked { question, due_on, terms } = asked;
    let new = NewAssignment { project, specialist: specialist.id, question, due_on, finds, terms };
    assignments::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    for find in &page.finds {
        begin_review(&ctx, &mut tx, find, &specialist.name).await?;
    }
    write_letter(&ctx, &mut tx, &new, page.finds.len()).await?;
    let told = match page.finds.as_slice() {
        [one] => format!("{} is with {}; the letter is on its way.", one.number, specialist.name),
        many => format!("{} finds are with {}; the letter is on its way.", many.len(), specialist.name),
    };
    ctx.finish(tx, &posted, &links::specialists(&code), &told).await
}

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Ending {
    /// `hide`: its finds go out of the specialist's sight.
    sharing: String,
}

/// Closes an assignment: nothing more is waited for; where asked, what it shared goes out of sight too.
pub(super) async fn close(ctx: Ctx, Path(id): Path<AssignmentId>, posted: Posted<Ending>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let assignment = assignments::find(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    ctx.allow(assignment.project_id)?;
    let hides = posted.form.sharing == "hide";
    assignments::update_closed(&mut tx, id, ctx.now).await?;
    if hides {
        assignments::update_sharing_ended(&mut tx, id, ctx.now).await?;
    }
    let also = if hides { " and ended what it shared" } else { "" };
    let entry = journal::Entry {
        project: Some(assignment.project_id),
        verb: "closed",
        words: format!("closed the assignment to {}{also}", assignment.specialist_name),
        by: Some(ctx.actor.person),
        ..journal::Entry::default()
    };
    journal::append(&mut tx, &entry, ctx.now).await?;
    let told = if hides {
        format!("The assignment is closed. {} sees its finds no longer.", assignment.specialist_name)
    } else {
        "The assignment is closed.".to_owned()
    };
    ctx.finish(tx, &posted, &links::specialists(&assignment.project_code), &told).await
}

/// The assignment, if it is this person’s own.
pub(crate) async fn own(ctx: &Ctx, tx: &mut Tx, id: AssignmentId) -> Answer<Assignment> {
    let assignment = assignments::find(tx, id).await?.ok_or(AppError::NotFound)?;
    if assignment.specialist_id != ctx.actor.person {
        return Err(AppError::NotFound);
    }
    ctx.allow(assignment.project_id)?;
    Ok(assignment)
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
    let terms = &new.terms;
    let mut body = format!(
        "Dear {},\n\n{} asks your opinion on {finds} of {} ({}), by {}:\n\n{}\n",
        person.name,
        ctx.actor.name,
        project.name,
        project.code,
        show_day(new.due_on),
        new.question,
    );
    if !terms.aims.is_empty() {
        body += &format!("\nWhat it should help to answer:\n{}\n", terms.aims);
    }
    let agreed =
        terms_words::agreed(terms.days, terms.fee.map(|fee| (fee, terms.fee_for, terms.currency.as_str())));
    if !agreed.is_empty() {
        body += &format!("\nAgreed: {agreed}.\n");
    }
    body += &format!(
        "\nShared with you: {}.\n\nEverything is here:\n{link}\n\n{}\n",
        terms_words::shared(terms.shares),
        ctx.actor.name
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
        parts: Share::ALL,
        bases: FeeFor::ALL,
        errors: Errors::default(),
        code,
    })
}
