//! A specialist asks: a question, a measurement, a further image. The project’s people are told by letter and on Today.
use super::opinion::kept_form;
use super::opinion_fields::Rows;
use super::opinion_page;
use super::thread_view::in_letter;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::again;
use crate::path::Path;
use crate::work::enter::find_entry;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::review::asking::LineKind;
use store::Tx;
use store::finds::Find;
use store::letters::{self, NewLetter};
use store::review::threads::{self, NewLine};

/// Exactly what was typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AskForm {
    pub ask_kind: String,
    pub ask_words: String,
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<AskForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let mut errors = Errors::default();
    let kind = errors.choice::<LineKind>("ask_kind", &posted.form.ask_kind);
    let kind = kind.filter(|kind| LineKind::ASKED.contains(kind));
    let words = errors.text("ask_words", &posted.form.ask_words);
    if words.is_empty() {
        errors.add("ask_words", "Write what you would like to know, to have measured or to see.");
    }
    if kind.is_none() {
        errors.add("ask_kind", "Choose one of the list.");
    }
    let (Some(kind), true) = (kind, errors.is_empty()) else {
        let form = kept_form(&ctx, &mut tx, id).await?;
        let mut page = opinion_page::of(&ctx, &mut tx, find, (form, Rows::default())).await?;
        page.ask = posted.form;
        page.errors = errors;
        return Ok(again(page).into_response());
    };
    let line = NewLine { find: id, specialist: ctx.actor.person, kind, words, image: None, answers: None };
    threads::insert(&mut tx, &line, ctx.actor.person, ctx.now).await?;
    let told = format!("{}: {}", kind.told(), line.words);
    store::journal::append(&mut tx, &find_entry(&ctx, &find, "asked", told), ctx.now).await?;
    write_letters(&ctx, &mut tx, &find, &line).await?;
    let to = format!("{}#thread", links::opinion(id));
    ctx.finish(tx, &posted, &to, "It is on its way. The answer comes here and by letter.").await
}

async fn write_letters(ctx: &Ctx, tx: &mut Tx, find: &Find, line: &NewLine) -> Answer<()> {
    for reader in threads::list_readers(tx, find.id, ctx.actor.person).await? {
        let letter = NewLetter {
            kind: domain::letters::LetterKind::Question,
            subject: format!("{} asks about {} of {}", ctx.actor.name, find.number, find.project_code),
            body: format!(
                "Dear {},\n\nabout find {} of {}, {} {}:\n\n{}\n\nThe answer is written here:\n{}{}\n",
                reader.name,
                find.number,
                find.project_code,
                ctx.actor.name,
                line.kind.told(),
                in_letter(find, &line.words),
                ctx.app.config.base_url,
                links::questions(find.id),
            ),
            to_address: reader.email,
            to_name: reader.name,
        };
        letters::insert(tx, &letter, ctx.now).await?;
    }
    Ok(())
}
