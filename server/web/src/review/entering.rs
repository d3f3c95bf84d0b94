//! What came by letter or mail is entered for its author: a draft kept as typed, then an opinion that waits to be confirmed.
use super::opinion_fields::{Fields, Rows};
use super::opinion_form::{OpinionForm, shown};
use super::review_end;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::{self, show_day};
use crate::form::{Asked, Errors, Posted};
use crate::images::show_size;
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::ReceivedId;
use domain::review::Finality;
use store::Tx;
use store::finds::Find;
use store::review::opinions::{Content, NewOpinion};
use store::review::received::{self, Received};

#[derive(Template)]
#[template(path = "review/entering.html")]
struct EnteringPage {
    chrome: Chrome,
    find: Find,
    received: Received,
    came: String,
    size: String,
    action: String,
    letter: String,
    original: String,
    fields: Fields,
    also: String,
    errors: Errors,
    to_check: bool,
    /// Numbers of the finds on which it waits for its author; entered already.
    waiting: Option<Vec<String>>,
}

/// Beside the opinion itself.
#[derive(Debug, Clone, Default, serde::Deserialize, serde::Serialize)]
#[serde(default)]
struct Beside {
    /// Numbers of further finds that it covers.
    also: String,
}

pub(super) async fn edit(ctx: Ctx, Path(id): Path<ReceivedId>, Asked(rows): Asked<Rows>) -> Answer {
    let mut tx = ctx.read().await?;
    let (received, find) = load(&ctx, &mut tx, id).await?;
    let (form, beside) = match received.fields.as_str() {
        "" => (OpinionForm::fresh(), Beside::default()),
        text => (OpinionForm::of_draft(text)?, serde_json::from_str(text).map_err(AppError::inside)?),
    };
    Ok(ok(page(&ctx, &mut tx, (received, find), (form, beside, rows)).await?).into_response())
}

pub(super) async fn save(ctx: Ctx, Path(id): Path<ReceivedId>, posted: Posted<OpinionForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let beside: Beside = posted.part()?;
    let (received, find) = load(&ctx, &mut tx, id).await?;
    if received.entered_at.is_some() {
        let told = "This was entered before. Its author has the word now.";
        return Ok(ctx.lead_on(&links::received(id), told));
    }
    keep_draft(&mut tx, id, &posted.form, &beside).await?;
    if posted.form.do_what != "submit" {
        let to = Rows::address(&links::received(id), &posted.form);
        return ctx.finish(tx, &posted, &to, "The draft is kept.").await;
    }
    let convention = super::dating::convention_of(&mut tx, find.project_id).await?;
    let colleagues = store::people::list_colleagues(&mut tx, find.project_id).await?;
    // whether it goes as far as final is for its author to say
    let form = OpinionForm { finality: Finality::Preliminary.code().into(), ..posted.form.clone() };
    let parsed = form.parse(&convention, &colleagues);
    let unseen = parsed.is_ok() && shown(&form.readings(&convention)) != form.shown;
    let mut errors = Errors::default();
    let finds = covered(&ctx, &mut tx, &find, &beside, &mut errors).await?;
    let content = match parsed {
        Ok(content) if !unseen && errors.is_empty() => content,
        other => {
            let mut page = page(&ctx, &mut tx, (received, find), (form, beside, Rows::default())).await?;
            page.errors = other.err().unwrap_or_default();
            page.errors.extend(errors);
            page.to_check = unseen && page.errors.is_empty();
            tx.commit().await?;
            return Ok(again(page).into_response());
        }
    };
    enter(&ctx, &mut tx, &received, (&finds, &content)).await?;
    super::confirmation_mail::send(&ctx, &mut tx, id).await?;
    let told = format!("Entered for {}, who is asked by mail to confirm it.", received.author_name);
    ctx.finish(tx, &posted, &links::opinions(find.id), &told).await
}

#[derive(Debug, Default, serde::Deserialize)]
pub(super) struct Nothing {}

/// Sends the link to the author once more; the one before ends.
pub(super) async fn remind(ctx: Ctx, Path(id): Path<ReceivedId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let (received, _) = load(&ctx, &mut tx, id).await?;
    if received::list_waiting(&mut tx, id).await?.is_empty() {
        return Ok(ctx.lead_on(&links::received(id), "Nothing waits for the author."));
    }
    super::confirmation_mail::send(&ctx, &mut tx, id).await?;
    let told = format!("A new link is on its way to {}; the one before has ended.", received.author_name);
    ctx.finish(tx, &posted, &links::received(id), &told).await
}

/// Gates 2 and 1 for what came: those of its find.
async fn load(ctx: &Ctx, tx: &mut Tx, id: ReceivedId) -> Answer<(Received, Find)> {
    let received = received::find(tx, id).await?.ok_or(AppError::NotFound)?;
    let find = ctx.find(tx, received.find_id).await?;
    Ok((received, find))
}

async fn keep_draft(tx: &mut Tx, id: ReceivedId, form: &OpinionForm, beside: &Beside) -> Answer<()> {
    let mut fields = serde_json::to_value(form).map_err(AppError::inside)?;
    fields["also"] = serde_json::json!(beside.also);
    Ok(received::update_draft(tx, id, &fields.to_string()).await?)
}

/// The find itself and the further ones by their numbers.
async fn covered(
    ctx: &Ctx,
    tx: &mut Tx,
    find: &Find,
    beside: &Beside,
    errors: &mut Errors,
) -> Answer<Vec<Find>> {
    let mut finds = vec![find.clone()];
    for number in beside.also.split([',', ';', '\n']).filter_map(domain::finds::number::normal) {
        let id = store::finds::find_by_number(tx, find.project_id, &number).await?;
        let other = match id {
            Some(id) => store::finds::find_visible(tx, &ctx.actor, id).await?,
            None => None,
        };
        match other {
            Some(other) if finds.iter().any(|one| one.id == other.id) => {}
            Some(other) => finds.push(other),
            None => {
                errors.add("also", format!("There is no find {number} here. Part the numbers by commas."))
            }
        }
    }
    Ok(finds)
}

async fn enter(
    ctx: &Ctx,
    tx: &mut Tx,
    received: &Received,
    (finds, content): (&[Find], &Content),
) -> Answer<()> {
    let covering = (finds.len() > 1).then(|| domain::ids::fresh(ctx.now));
    let new: Vec<NewOpinion> = finds
        .iter()
        .map(|find| NewOpinion { find: find.id, assignment: None, covering, content: content.clone() })
        .collect();
    received::enter(tx, received.id, &new, received.author_id, ctx.now).await?;
    for find in finds {
        review_end::end(ctx, tx, find).await?;
        let words = format!(
            "entered an opinion of {} from {}, to be confirmed: {}",
            received.author_name,
            received.came_as.label(),
            content.identification
        );
        store::journal::append(tx, &find_entry(ctx, find, "opinion", words), ctx.now).await?;
    }
    Ok(())
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    (received, find): (Received, Find),
    (form, beside, rows): (OpinionForm, Beside, Rows),
) -> Answer<EnteringPage> {
    let convention = super::dating::convention_of(tx, find.project_id).await?;
    let waiting = match received.entered_at {
        None => None,
        Some(_) => {
            Some(received::list_waiting(tx, received.id).await?.into_iter().map(|w| w.number).collect())
        }
    };
    Ok(EnteringPage {
        chrome: ctx.chrome_in(find.project_id),
        came: format!("{} of {}", received.came_as.label(), show_day(received.came_on)),
        size: show_size(received.bytes),
        action: links::received(received.id),
        letter: links::received_letter(received.id),
        original: links::received_original(received.id),
        fields: Fields::of(form, &rows, &convention, links::dates_read(find.id)),
        also: beside.also,
        errors: Errors::default(),
        to_check: false,
        waiting,
        received,
        find,
    })
}
