//! The words of a project's scales, edited by a lead. Assessments keep the meaning a word had on their day.
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::http::StatusCode;
use axum::response::IntoResponse;
use domain::condition::{Scale, read_terms, write_terms};
use store::journal::{self, Entry};
use store::work::assessments::{self, Vocabulary};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct WordsForm {
    words: String,
    revision: String,
    /// The field whose saved words are taken over.
    take: String,
}

#[derive(Template)]
#[template(path = "work/vocabulary.html")]
struct VocabularyPage {
    chrome: Chrome,
    code: String,
    scale: Scale,
    scales: Vec<(String, &'static str, bool)>,
    form: WordsForm,
    errors: Errors,
    conflict: Option<Conflict>,
}

pub(super) async fn edit(ctx: Ctx, Path((code, scale)): Path<(String, String)>) -> Answer {
    let project = ctx.project(&code)?.project;
    let scale: Scale = scale.parse().map_err(|_| AppError::NotFound)?;
    let kept = assessments::find_vocabulary(&mut ctx.read().await?, project, scale).await?;
    Ok(ok(page(&ctx, &code, scale, WordsForm::of(&kept))?).into_response())
}

pub(super) async fn update(
    ctx: Ctx,
    Path((code, scale)): Path<(String, String)>,
    posted: Posted<WordsForm>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let scale: Scale = scale.parse().map_err(|_| AppError::NotFound)?;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let kept = assessments::find_vocabulary(&mut tx, project, scale).await?;
    let theirs = WordsForm::of(&kept);
    if !posted.form.take.is_empty() || posted.form.revision != theirs.revision {
        let mine = if posted.form.take.is_empty() { posted.form.words } else { theirs.words.clone() };
        let form = WordsForm { words: mine, ..theirs.clone() };
        let conflict = Some(Conflict::between(&form.fields(), &theirs.fields()));
        let page = VocabularyPage { conflict, ..page(&ctx, &code, scale, form)? };
        return Ok((StatusCode::CONFLICT, ok(page)).into_response());
    }
    let mut errors = Errors::default();
    let text = errors.text("words", &posted.form.words);
    let terms = match read_terms(&text) {
        Ok(terms) if errors.is_empty() => terms,
        read => {
            if let Err(fault) = read {
                errors.add("words", fault.to_string());
            }
            let page = page(&ctx, &code, scale, posted.form)?;
            return Ok(again(VocabularyPage { errors, ..page }).into_response());
        }
    };
    assessments::update_vocabulary(&mut tx, project, scale, &terms, kept.revision).await?;
    let listed: Vec<&str> = terms.iter().map(|term| term.word.as_str()).collect();
    let entry = Entry {
        project: Some(project),
        find: None,
        context: None,
        verb: "words",
        words: format!("changed the words for {}: {}", scale.label(), listed.join(", ")),
        by: Some(ctx.actor.person),
    };
    journal::append(&mut tx, &entry, ctx.now).await?;
    ctx.finish(tx, &posted, &links::vocabulary(&code, scale), "The words are saved.").await
}

impl WordsForm {
    fn of(kept: &Vocabulary) -> Self {
        Self { words: write_terms(&kept.terms), revision: kept.revision.to_string(), take: String::new() }
    }

    fn fields(&self) -> Vec<(&'static str, &'static str, String)> {
        vec![("words", "Words", self.words.replace("\r\n", "\n"))]
    }
}

fn page(ctx: &Ctx, code: &str, scale: Scale, form: WordsForm) -> Answer<VocabularyPage> {
    let scales = Scale::ALL.iter().map(|one| (links::vocabulary(code, *one), one.label(), *one == scale));
    Ok(VocabularyPage {
        chrome: ctx.chrome_in(ctx.project(code)?.project),
        code: code.to_owned(),
        scale,
        scales: scales.collect(),
        form,
        errors: Errors::default(),
        conflict: None,
    })
}
