//! Finds leave the house.
use super::form::{DispatchForm, Leaver, Leaves, lines};
use super::{letters, view};
use crate::context::Ctx;
use crate::error::Answer;
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
use domain::dispatch::Change;
use domain::permission::Action;
use store::Tx;
use store::dispatches::{self, NewDispatch};
use store::finds::quantity::{NewEvent, Part, insert_event};
use store::journal::{self, Entry};
use store::people::Colleague;

/// Finds that one dispatch carries.
const MOST_FINDS: usize = 300;

#[derive(Template)]
#[template(path = "dispatches/new.html")]
struct NewPage {
    chrome: Chrome,
    code: String,
    leavers: Vec<Leaver>,
    specialists: Vec<Colleague>,
    form: DispatchForm,
    errors: Errors,
    cautions: Vec<String>,
    may_lift: bool,
}

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>, Asked(mut form): Asked<DispatchForm>) -> Answer {
    let today = ctx.now.date_naive();
    if form.sent_on.is_empty() {
        form.sent_on = today.to_string();
    }
    if form.due_on.is_empty() {
        form.due_on = (today + Duration::weeks(4)).to_string();
    }
    form.sent_by.clone_from(&ctx.actor.name);
    let mut page = page(&ctx, &mut ctx.read().await?, code, form).await?;
    page.prefill();
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<DispatchForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut page = page(&ctx, &mut tx, code, posted.form.clone()).await?;
    let mut errors = Errors::default();
    let leaving = posted.form.leaving(&page.leavers, &mut errors);
    let mut new = posted.form.parse(&ctx, (project, &page.specialists), &mut errors);
    posted.form.ask_for_clearance(&page.leavers, &mut errors);
    new.lifted = posted.form.ask_for_lacks((&page.leavers, &leaving), page.may_lift, &mut errors);
    if !errors.is_empty() {
        page.errors = errors;
        return Ok(again(page).into_response());
    }
    new.items = lines(&page.leavers, &leaving);
    for (leaver, leaves) in page.leavers.iter().zip(&leaving) {
        correct_register(&ctx, &mut tx, leaver, leaves).await?;
    }
    let (id, serial) = dispatches::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    tell_journal(&ctx, &mut tx, &page.leavers, (&new, serial)).await?;
    letters::announce(&ctx, &mut tx, id).await?;
    let told = format!("D{serial} is recorded. Print its note before the parcel is closed.");
    ctx.finish(tx, &posted, &links::dispatch(id), &told).await
}

/// A find that leaves as a whole is counted and weighed on leaving: the register says the same from then on.
async fn correct_register(ctx: &Ctx, tx: &mut Tx, leaver: &Leaver, leaves: &Leaves) -> Answer<()> {
    if !leaves.corrects_register {
        return Ok(());
    }
    let find = &leaver.find;
    let part = Part {
        find: find.id,
        quantity: (find.quantity, leaves.amount.pieces),
        weight_g: (find.weight_g, leaves.amount.mass_g),
    };
    let event = NewEvent {
        project: find.project_id,
        change: Change::Recount,
        reason: "counted and weighed before it was dispatched".into(),
        parts: vec![part],
        line: None,
    };
    insert_event(tx, &event, ctx.actor.person, ctx.now).await?;
    Ok(())
}

async fn tell_journal(
    ctx: &Ctx,
    tx: &mut Tx,
    leavers: &[Leaver],
    (new, serial): (&NewDispatch, i64),
) -> Answer<()> {
    let entry = |(leaver, item): (&Leaver, &dispatches::NewItem)| {
        let amount = view::amount(item.amount);
        let lifted = match new.lifted.as_str() {
            "" => String::new(),
            reason => format!("; sent although something was lacking: {reason}"),
        };
        let words = format!(
            "dispatched {amount}, to {} (D{serial}), due back {}{lifted}",
            new.recipient,
            show_day(new.due_on)
        );
        find_entry(ctx, &leaver.find, "dispatched", words)
    };
    let entries: Vec<Entry> = leavers.iter().zip(&new.items).map(entry).collect();
    Ok(journal::append_all(tx, &entries, ctx.now).await?)
}

async fn page(ctx: &Ctx, tx: &mut Tx, code: String, form: DispatchForm) -> Answer<NewPage> {
    let project = ctx.project(&code)?.project;
    let mut leavers = Vec::new();
    for find in load_chosen(ctx, tx, project, &form.find, MOST_FINDS).await? {
        leavers.push(Leaver::load(tx, find).await?);
    }
    let mut cautions: Vec<String> =
        leavers.iter().map(|l| l.find.caution.clone()).filter(|c| !c.is_empty()).collect();
    cautions.sort();
    cautions.dedup();
    Ok(NewPage {
        chrome: ctx.chrome_in(project),
        specialists: store::review::assignments::list_specialists(tx, project).await?,
        may_lift: ctx.actor.may(Action::LiftGate, project),
        errors: Errors::default(),
        cautions,
        leavers,
        form,
        code,
    })
}

impl NewPage {
    /// Offers what the register and the latest assessment say.
    fn prefill(&mut self) {
        self.form.find = self.leavers.iter().map(|l| l.find.id.to_string()).collect();
        self.form.quantity = self.leavers.iter().map(|l| l.here.to_string()).collect();
        let mass = |l: &Leaver| l.find.weight_g.filter(|_| l.here == l.find.quantity);
        let shown = |g: Option<f64>| g.map(crate::filters::show_measure).unwrap_or_default();
        self.form.mass_g = self.leavers.iter().map(|l| shown(mass(l))).collect();
        self.form.condition = self.leavers.iter().map(|l| l.assessed.clone()).collect();
    }

    fn has_restricted(&self) -> bool {
        self.leavers.iter().any(|leaver| leaver.find.restricted)
    }

    fn no_photograph(&self) -> Vec<&Leaver> {
        self.leavers.iter().filter(|l| !l.find.bulk && l.photographs == 0).collect()
    }
}
