//! Finds given to a person at the bench.
use super::chosen::load_chosen;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::PersonId;
use store::finds::Find;
use store::people::Colleague;

/// Finds that one form may carry.
const MOST_FINDS: usize = 1_000;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct BenchForm {
    find: Vec<String>,
    person: String,
}

#[derive(Template)]
#[template(path = "finds/assign.html")]
struct BenchPage {
    chrome: Chrome,
    code: String,
    form: BenchForm,
    errors: Errors,
    finds: Vec<Find>,
    colleagues: Vec<Colleague>,
}

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>, Asked(form): Asked<BenchForm>) -> Answer {
    let mut tx = ctx.read().await?;
    let page = page(&ctx, &mut tx, code, form).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<BenchForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut page = page(&ctx, &mut tx, code.clone(), posted.form.clone()).await?;
    let chosen = page.colleagues.iter().find(|c| c.id.to_string() == posted.form.person);
    let words = match (chosen, posted.form.person.as_str()) {
        (Some(person), _) => format!("given to {}", person.name),
        (None, "nobody") => "taken off the bench".to_owned(),
        (None, _) => {
            page.errors.add("person", "Choose a person, or nobody.");
            return Ok(again(page).into_response());
        }
    };
    let person: Option<PersonId> = chosen.map(|c| c.id);
    for find in &page.finds {
        store::finds::update_assignee(&mut tx, find.id, person).await?;
        store::journal::append(&mut tx, &find_entry(&ctx, find, "assigned", words.clone()), ctx.now).await?;
    }
    let told = match page.finds.as_slice() {
        [one] => format!("{} was {words}.", one.number),
        many => format!("{} finds were {words}.", many.len()),
    };
    ctx.finish(tx, &posted, &links::finds(&code), &told).await
}

async fn page(ctx: &Ctx, tx: &mut store::Tx, code: String, form: BenchForm) -> Answer<BenchPage> {
    let project = ctx.project(&code)?.project;
    let finds = load_chosen(ctx, tx, project, &form.find, MOST_FINDS).await?;
    Ok(BenchPage {
        chrome: ctx.chrome_in(project),
        colleagues: store::people::list_colleagues(tx, project).await?,
        errors: Errors::default(),
        finds,
        form,
        code,
    })
}
