//! The project’s people answer what a specialist asked of a find, or write first.
use super::thread_view::{ThreadView, in_letter, threads as views};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::images::Picture;
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{FindId, ImageId, PersonId};
use domain::review::asking::LineKind;
use store::Tx;
use store::finds::Find;
use store::letters::{self, NewLetter};
use store::review::threads::{self, NewLine};

/// Exactly what was typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AnswerForm {
    specialist: String,
    /// Id of the line that it answers; empty for a word of its own.
    answers: String,
    words: String,
    image: String,
}

#[derive(Template)]
#[template(path = "review/questions.html")]
struct QuestionsPage {
    chrome: Chrome,
    trail: (String, &'static str),
    find: Find,
    threads: Vec<ThreadView>,
    /// Photographs of the find that an answer can bring.
    pictures: Vec<Picture>,
    form: AnswerForm,
    errors: Errors,
}

pub(super) async fn index(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let page = page(&ctx, &mut tx, find, (AnswerForm::default(), Errors::default())).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<AnswerForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let form = &posted.form;
    let mut errors = Errors::default();
    let specialists = threads::list_specialists(&mut tx, id).await?;
    let to = specialists.iter().find(|one| one.id.to_string() == form.specialist);
    if to.is_none() {
        errors.add("words", "This specialist no longer sees the find.");
    }
    let words = errors.text("words", &form.words);
    if words.is_empty() {
        errors.add("words", "Write the answer: the value with its unit, or what the image shows.");
    }
    let image = chosen(&mut tx, &find, form, &mut errors).await?;
    let asked = threads::list_of_find(&mut tx, id).await?;
    let asked = asked.iter().find(|line| line.id.to_string() == form.answers);
    if !form.answers.is_empty() && !asked.is_some_and(store::review::threads::Line::is_open) {
        errors.add(
            "words",
            "Somebody has answered this meanwhile. Read it below; your words can go as a word of their own.",
        );
    }
    let (Some(to), true) = (to, errors.is_empty()) else {
        let page = page(&ctx, &mut tx, find, (posted.form.clone(), errors)).await?;
        return Ok(again(page).into_response());
    };
    let answers = asked.map(|line| line.id);
    let line = NewLine { find: id, specialist: to.id, kind: LineKind::Word, words, image, answers };
    threads::insert(&mut tx, &line, ctx.actor.person, ctx.now).await?;
    let verb = if answers.is_some() { "answered" } else { "wrote to" };
    let told = format!("{verb} {}: {}", to.name, line.words);
    store::journal::append(&mut tx, &find_entry(&ctx, &find, "answered", told), ctx.now).await?;
    write_letter(&ctx, &mut tx, &find, &line).await?;
    let notice = format!("{} has it; a letter is on its way.", to.name);
    ctx.finish(tx, &posted, &links::questions(id), &notice).await
}

/// The photograph of the find that the answer brings.
async fn chosen(tx: &mut Tx, find: &Find, form: &AnswerForm, errors: &mut Errors) -> Answer<Option<ImageId>> {
    if form.image.is_empty() {
        return Ok(None);
    }
    let images = store::images::list_seen(tx, find).await?;
    let image = images.iter().find(|image| image.id.to_string() == form.image);
    if image.is_none() {
        errors.add("image", "Choose a photograph of this find.");
    }
    Ok(image.map(|image| image.id))
}

async fn write_letter(ctx: &Ctx, tx: &mut Tx, find: &Find, line: &NewLine) -> Answer<()> {
    let person: PersonId = line.specialist;
    let person = store::people::find(tx, person).await?.ok_or(AppError::NotFound)?;
    let page = format!("{}#thread", links::opinion(find.id));
    let link = crate::people::entry_link(ctx, tx, &person, &page).await?;
    let letter = NewLetter {
        kind: domain::letters::LetterKind::Answer,
        subject: format!("{} on {} of {}", ctx.actor.name, find.number, find.project_code),
        body: format!(
            "Dear {},\n\n{} writes about find {} of {}:\n\n{}\n\nThe find with your opinion is here:\n{link}\n",
            person.name,
            ctx.actor.name,
            find.number,
            find.project_code,
            in_letter(find, &line.words),
        ),
        to_address: person.email,
        to_name: person.name,
    };
    letters::insert(tx, &letter, ctx.now).await?;
    Ok(())
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    find: Find,
    (form, errors): (AnswerForm, Errors),
) -> Answer<QuestionsPage> {
    Ok(QuestionsPage {
        chrome: ctx.chrome_in(find.project_id),
        trail: ctx.trail_of_finds(find.project_id, &find.project_code),
        threads: views(ctx, tx, &find).await?,
        pictures: Picture::all_of(tx, &find).await?,
        find,
        form,
        errors,
    })
}

impl QuestionsPage {
    /// Whether it is the form of that line that came back with a fault.
    fn came_back(&self, specialist: PersonId, answers: &str) -> bool {
        let same = self.form.specialist == specialist.to_string() && self.form.answers == answers;
        same && !self.errors.is_empty()
    }
}
