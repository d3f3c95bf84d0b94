//! A specialist writes: a draft kept as typed, then a submitted version; a revision is the next version.
use super::dating;
use super::opinion_view::{OpinionView, view};
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::images::Picture;
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::{IntoResponse, Response};
use domain::ids::FindId;
use domain::review::{Finality, SeenAs};
use domain::stages::{Stage, StageMark, StageState};
use store::Tx;
use store::finds::{Find, progress};
use store::review::assignments::{self, Asked as AskedOf};
use store::review::opinions::{self, NewOpinion};

#[derive(Debug, Clone, Default, serde::Deserialize, serde::Serialize)]
#[serde(default)]
pub(super) struct OpinionForm {
    #[serde(skip_serializing)]
    do_what: String,
    identification: String,
    material_words: String,
    date_words: String,
    parallels: String,
    basis: String,
    seen_as: String,
    finality: String,
}

#[derive(Template)]
#[template(path = "review/opinion.html")]
struct OpinionPage {
    chrome: Chrome,
    find: Find,
    action: String,
    asked: Vec<AskedOf>,
    form: OpinionForm,
    errors: Errors,
    /// How the date words are read just now, in words.
    reading: Option<String>,
    seen: &'static [SeenAs],
    pictures: Vec<Picture>,
    /// What the register says of the find.
    facts: Vec<(&'static str, String)>,
    mine: Vec<OpinionView>,
}

pub(super) async fn edit(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let draft = opinions::find_draft(&mut tx, id, ctx.actor.person).await?;
    let form = match draft.map(|text| serde_json::from_str(&text)) {
        Some(Ok(form)) => form,
        Some(Err(cause)) => return Err(crate::error::AppError::inside(cause)),
        None => last_words(&ctx, &mut tx, id).await?,
    };
    Ok(ok(page(&ctx, &mut tx, find, form).await?).into_response())
}

pub(super) async fn save(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<OpinionForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    if posted.form.do_what != "submit" {
        keep_draft(&ctx, &mut tx, id, &posted.form).await?;
        return ctx.finish(tx, &posted, &links::opinion(id), "The draft is kept. Only you see it.").await;
    }
    submit(ctx, tx, find, posted).await
}

async fn submit(ctx: Ctx, mut tx: Tx, find: Find, posted: Posted<OpinionForm>) -> Answer<Response> {
    let convention = dating::convention_of(&mut tx, find.project_id).await?;
    let assignment = assignments::find_of(&mut tx, find.id, ctx.actor.person).await?;
    let new = match posted.form.parse(find.id, &convention) {
        Ok(new) => NewOpinion { assignment, ..new },
        Err(errors) => {
            keep_draft(&ctx, &mut tx, find.id, &posted.form).await?;
            let mut page = page(&ctx, &mut tx, find, posted.form).await?;
            page.errors = errors;
            tx.commit().await?;
            return Ok(again(page).into_response());
        }
    };
    opinions::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    end_review(&ctx, &mut tx, &find).await?;
    let words = format!("submitted a {} opinion: {}", new.finality.label(), new.identification);
    store::journal::append(&mut tx, &find_entry(&ctx, &find, "opinion", words), ctx.now).await?;
    let told = format!("Your opinion on {} is submitted. You can revise it at any time.", find.number);
    ctx.finish(tx, &posted, links::MY_FINDS, &told).await
}

/// Specialist review is done when everybody who was asked has answered.
async fn end_review(ctx: &Ctx, tx: &mut Tx, find: &Find) -> Answer<()> {
    let asked = assignments::list_of_find(tx, find.id).await?;
    let said = opinions::list_of_find(tx, find.id).await?;
    let progress = progress::find_progress(tx, find.id).await?;
    let all =
        asked.iter().all(|a| a.closed_at.is_some() || said.iter().any(|o| o.author_id == a.specialist_id));
    if all && progress.route.has(Stage::Review) && !progress.is_settled(Stage::Review) {
        let mark = StageMark {
            stage: Stage::Review,
            state: StageState::Done,
            quantity_done: find.quantity,
            reason: String::new(),
        };
        progress::mark(tx, find.id, &mark, ctx.now).await?;
    }
    Ok(())
}

async fn keep_draft(ctx: &Ctx, tx: &mut Tx, id: FindId, form: &OpinionForm) -> Answer<()> {
    let text = serde_json::to_string(form).map_err(crate::error::AppError::inside)?;
    Ok(opinions::update_draft(tx, id, ctx.actor.person, &text, ctx.now).await?)
}

/// The words of the author's standing version, to be revised.
async fn last_words(ctx: &Ctx, tx: &mut Tx, id: FindId) -> Answer<OpinionForm> {
    let said = opinions::list_of_find(tx, id).await?;
    let mine = said.into_iter().find(|o| o.author_id == ctx.actor.person && o.superseded_at.is_none());
    Ok(mine.map_or_else(
        || OpinionForm { finality: "preliminary".into(), seen_as: "image".into(), ..OpinionForm::default() },
        |o| OpinionForm {
            do_what: String::new(),
            identification: o.identification,
            material_words: o.material_words,
            date_words: o.date_words,
            parallels: o.parallels,
            basis: o.basis,
            seen_as: o.seen_as.code().into(),
            finality: o.finality.code().into(),
        },
    ))
}

impl OpinionForm {
    fn parse(&self, find: FindId, convention: &str) -> Result<NewOpinion, Errors> {
        let mut errors = Errors::default();
        let identification = errors.required(
            "identification",
            &self.identification,
            "Say what it is; “not identifiable” is an answer too.",
        );
        let date_words = errors.line("date_words", &self.date_words);
        let reading = match date_words.as_str() {
            "" => None,
            words => match dating::read(words, convention) {
                Ok(reading) => Some(reading),
                Err(sentence) => {
                    errors.add("date_words", sentence);
                    None
                }
            },
        };
        let basis = errors.text("basis", &self.basis);
        if basis.is_empty() {
            errors.add("basis", "Say what it rests on: form, fabric, technique, a parallel.");
        }
        let seen_as: Option<SeenAs> = errors.choice("seen_as", &self.seen_as);
        let finality: Option<Finality> = errors.choice("finality", &self.finality);
        let new = NewOpinion {
            find,
            assignment: None,
            finality: finality.unwrap_or(Finality::Preliminary),
            identification,
            material_words: errors.line("material_words", &self.material_words),
            date_words,
            date_lo: reading.as_ref().and_then(|r| r.years.lo),
            date_hi: reading.as_ref().and_then(|r| r.years.hi),
            date_rule: reading.map(|r| r.rule).unwrap_or_default(),
            parallels: errors.text("parallels", &self.parallels),
            basis,
            seen_as: seen_as.unwrap_or(SeenAs::Image),
        };
        if errors.is_empty() { Ok(new) } else { Err(errors) }
    }
}

async fn page(ctx: &Ctx, tx: &mut Tx, find: Find, form: OpinionForm) -> Answer<OpinionPage> {
    let convention = dating::convention_of(tx, find.project_id).await?;
    let said = opinions::list_of_find(tx, find.id).await?;
    let reading =
        dating::read(&form.date_words, &convention).ok().map(|r| format!("{}: {}", r.label, r.rule));
    Ok(OpinionPage {
        chrome: ctx.chrome(),
        action: links::opinion(find.id),
        asked: assignments::list_of_find(tx, find.id)
            .await?
            .into_iter()
            .filter(|a| a.specialist_id == ctx.actor.person)
            .collect(),
        reading: reading.filter(|_| !form.date_words.trim().is_empty()),
        form,
        errors: Errors::default(),
        seen: SeenAs::ALL,
        pictures: Picture::all_of(tx, &find).await?,
        facts: crate::finds::facts::lines(ctx, &find),
        mine: said.iter().filter(|o| o.author_id == ctx.actor.person).map(view).collect(),
        find,
    })
}
