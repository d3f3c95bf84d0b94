//! Letters about dispatches, queued in the transaction of what they tell of.
use super::{Known, view};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::links;
use askama::Template;
use domain::dispatch::Way;
use domain::ids::DispatchId;
use domain::letters::LetterKind;
use store::Tx;
use store::dispatches::{items, receipts};
use store::letters::NewLetter;
use store::people::Person;

/// Objects are on their way.
#[derive(Template)]
#[template(path = "mail/dispatched.txt")]
struct Dispatched<'a> {
    program: &'static str,
    name: &'a str,
    sender: &'a str,
    project: String,
    contents: Vec<String>,
    carrier: &'a str,
    sent: String,
    due: String,
    sampling: &'a str,
    link: String,
}

/// What came back differs from what went.
#[derive(Template)]
#[template(path = "mail/differs.txt")]
struct Differs<'a> {
    program: &'static str,
    name: &'a str,
    receiver: &'a str,
    dispatch: String,
    gaps: Vec<String>,
    link: String,
}

/// Tells the recipient what is on its way, where they have an account.
pub(super) async fn announce(ctx: &Ctx, tx: &mut Tx, id: DispatchId) -> Answer<()> {
    let Some((known, person)) = load(tx, id).await? else { return Ok(()) };
    let dispatch = &known.dispatch;
    let line = |item: &items::Item| {
        format!("{} {}, {}", item.number, item.object_type, view::amount(known.account(item).sent))
    };
    let letter = Dispatched {
        program: domain::PROGRAM,
        name: &person.name,
        sender: &dispatch.sent_by,
        project: format!("{} ({})", dispatch.project_name, dispatch.project_code),
        contents: known.items.iter().map(line).collect(),
        carrier: &dispatch.carrier,
        sent: show_day(dispatch.sent_on),
        due: show_day(dispatch.due_on),
        sampling: &dispatch.sampling,
        link: crate::people::entry_link(ctx, tx, &person, &links::dispatch(id)).await?,
    };
    let subject = format!("On its way to you from {}: {}", dispatch.project_name, view::contents(&known));
    queue(ctx, tx, &person, subject, letter).await
}

/// Asks the recipient about what came back otherwise than it went.
pub(super) async fn ask(ctx: &Ctx, tx: &mut Tx, id: DispatchId) -> Answer<()> {
    let Some((known, person)) = load(tx, id).await? else { return Ok(()) };
    let gaps = known.items.iter().filter_map(|item| {
        let gap = known.account(item).gap()?;
        Some(format!("{} {}: {}", item.number, item.object_type, view::gap(gap, Way::Back)))
    });
    let gaps: Vec<String> = gaps.collect();
    let receiver = receipts::list(tx, id).await?.pop().map(|last| last.received_by).unwrap_or_default();
    let letter = Differs {
        program: domain::PROGRAM,
        name: &person.name,
        receiver: &receiver,
        dispatch: known.dispatch.name(),
        gaps,
        link: crate::people::entry_link(ctx, tx, &person, &links::dispatch(id)).await?,
    };
    let subject = format!("{}: what came back differs from what went", known.dispatch.name());
    queue(ctx, tx, &person, subject, letter).await
}

/// The dispatch whole, and the account it was sent to.
async fn load(tx: &mut Tx, id: DispatchId) -> Answer<Option<(Known, Person)>> {
    let dispatch = store::dispatches::find(tx, id).await?.ok_or(AppError::NotFound)?;
    let Some(recipient) = dispatch.recipient() else { return Ok(None) };
    let person = store::people::find(tx, recipient).await?.filter(|person| person.disabled_at.is_none());
    let items = items::list(tx, id).await?;
    Ok(person.map(|person| (Known { dispatch, items, hidden: 0 }, person)))
}

async fn queue(ctx: &Ctx, tx: &mut Tx, person: &Person, subject: String, body: impl Template) -> Answer<()> {
    let letter = NewLetter {
        kind: LetterKind::Dispatch,
        to_address: person.email.clone(),
        to_name: person.name.clone(),
        subject,
        body: body.render().map_err(AppError::inside)?,
    };
    store::letters::insert(tx, &letter, ctx.now).await?;
    Ok(())
}
