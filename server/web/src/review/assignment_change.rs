//! Changing what a specialist is asked while the assignment is open; they are told by letter.
use super::assignment_form::{Asked, AssignmentForm};
use super::terms_words;
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::http::StatusCode;
use axum::response::IntoResponse;
use domain::ids::AssignmentId;
use domain::letters::LetterKind;
use domain::review::share::{FeeFor, Share};
use store::Tx;
use store::journal::{self, Entry};
use store::letters::{self, NewLetter};
use store::review::assignments::{self, Assignment};

#[derive(Template)]
#[template(path = "review/assignment_change.html")]
struct ChangePage {
    chrome: Chrome,
    code: String,
    specialist: String,
    action: String,
    form: AssignmentForm,
    revision: String,
    parts: &'static [Share],
    bases: &'static [FeeFor],
    errors: Errors,
    conflict: Option<Conflict>,
}

/// The version the form started from, and the field whose saved words are taken over.
#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
struct Version {
    revision: String,
    take: String,
}

pub(super) async fn edit(ctx: Ctx, Path(id): Path<AssignmentId>) -> Answer {
    let assignment = open(&ctx, &mut ctx.read().await?, id).await?;
    let form = AssignmentForm::of(&assignment);
    Ok(ok(page(&ctx, &assignment, form)).into_response())
}

pub(super) async fn update(ctx: Ctx, Path(id): Path<AssignmentId>, posted: Posted<AssignmentForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let assignment = open(&ctx, &mut tx, id).await?;
    let version: Version = posted.part()?;
    let kept = AssignmentForm::of(&assignment);
    let mut form = posted.form.clone();
    if !version.take.is_empty() || version.revision != assignment.revision.to_string() {
        form.take_over(&version.take, &kept);
        let conflict = Some(Conflict::between(&form.fields(), &kept.fields()));
        let page = ChangePage { conflict, ..page(&ctx, &assignment, form) };
        return Ok((StatusCode::CONFLICT, ok(page)).into_response());
    }
    let mut errors = Errors::default();
    // a day that is past may stay, none may be set
    let least = ctx.now.date_naive().min(assignment.due_on);
    let Some(asked) = form.parse_asked(least, &mut errors) else {
        let page = ChangePage { errors, ..page(&ctx, &assignment, form) };
        return Ok(again(page).into_response());
    };
    let changes = changes(&assignment, &asked);
    if changes.is_empty() {
        return ctx
            .finish(tx, &posted, &links::specialists(&assignment.project_code), "Nothing was changed.")
            .await;
    }
    assignments::update(&mut tx, id, (&asked.question, asked.due_on, &asked.terms), assignment.revision)
        .await?;
    // every reader of the project reads its journal: what was agreed and asked is told in the letter alone
    let which: Vec<&str> = changes.iter().map(|(what, _)| *what).collect();
    let entry = Entry {
        project: Some(assignment.project_id),
        verb: "changed",
        words: format!("changed what {} is asked: {}", assignment.specialist_name, which.join(", ")),
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    journal::append(&mut tx, &entry, ctx.now).await?;
    write_letter(&ctx, &mut tx, &assignment, &changes).await?;
    let told = format!("It is saved; a letter to {} is on its way.", assignment.specialist_name);
    ctx.finish(tx, &posted, &links::specialists(&assignment.project_code), &told).await
}

/// What is different, with a sentence each.
fn changes(before: &Assignment, now: &Asked) -> Vec<(&'static str, String)> {
    let terms = &now.terms;
    let agreed =
        terms_words::agreed(terms.days, terms.fee.map(|fee| (fee, terms.fee_for, terms.currency.as_str())));
    let said = |words: String| if words.is_empty() { "nothing".to_owned() } else { words };
    let blind = |blind: bool| if blind { "yes".to_owned() } else { "no".to_owned() };
    let pairs = [
        ("question", before.question.clone(), now.question.clone()),
        ("aims", before.aims.clone(), terms.aims.clone()),
        ("until", show_day(before.due_on), show_day(now.due_on)),
        ("shared", terms_words::shared(before.shares()), terms_words::shared(terms.shares)),
        ("blind", blind(before.blind), blind(terms.blind)),
        ("agreed", terms_words::agreed_for(before), agreed),
    ];
    let differ = pairs.into_iter().filter(|(_, before, now)| before != now);
    differ
        .map(|(what, before, now)| (what, format!("{what}: {}, before {}", said(now), said(before))))
        .collect()
}

async fn write_letter(
    ctx: &Ctx,
    tx: &mut Tx,
    assignment: &Assignment,
    changes: &[(&str, String)],
) -> Answer<()> {
    let person = store::people::find(tx, assignment.specialist_id).await?.ok_or(AppError::NotFound)?;
    let link = crate::people::entry_link(ctx, tx, &person, links::MY_FINDS).await?;
    let sentences: Vec<&str> = changes.iter().map(|(_, words)| words.as_str()).collect();
    let body = format!(
        "Dear {},\n\n{} has changed what you are asked about finds of {} ({}):\n\n{}\n\nEverything is here:\n{link}\n\n{}\n",
        person.name,
        ctx.actor.name,
        assignment.project_name,
        assignment.project_code,
        sentences.join("\n"),
        ctx.actor.name,
    );
    let letter = NewLetter {
        kind: LetterKind::Assignment,
        to_address: person.email,
        to_name: person.name,
        subject: format!("Changed: what you are asked about finds of {}", assignment.project_name),
        body,
    };
    letters::insert(tx, &letter, ctx.now).await?;
    Ok(())
}

/// The assignment, if this person may change it and it is not closed.
async fn open(ctx: &Ctx, tx: &mut Tx, id: AssignmentId) -> Answer<Assignment> {
    let assignment = assignments::find(tx, id).await?.ok_or(AppError::NotFound)?;
    ctx.allow(assignment.project_id)?;
    if assignment.closed_at.is_some() {
        let words = "This assignment is closed. Send the finds anew if something is still to be asked.";
        return Err(ctx.lead_back(links::specialists(&assignment.project_code), words));
    }
    Ok(assignment)
}

fn page(ctx: &Ctx, assignment: &Assignment, form: AssignmentForm) -> ChangePage {
    ChangePage {
        chrome: ctx.chrome_in(assignment.project_id),
        code: assignment.project_code.clone(),
        specialist: assignment.specialist_name.clone(),
        action: links::assignment_edit(assignment.id),
        form,
        revision: assignment.revision.to_string(),
        parts: Share::ALL,
        bases: FeeFor::ALL,
        errors: Errors::default(),
        conflict: None,
    }
}
