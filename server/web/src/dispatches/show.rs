//! A dispatch: what went, where it is, what came back, and what became of the rest.
use super::Known;
use super::view::{self, Line};
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::{show_day, show_measure, show_moment};
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::dispatch::Way;
use domain::ids::DispatchId;
use domain::permission::Action;
use std::collections::HashSet;
use store::Tx;
use store::dispatches::items::{self, Event};
use store::dispatches::receipts::{self, Receipt, ReceiptLine};

#[derive(Template)]
#[template(path = "dispatches/show.html")]
struct DispatchPage {
    chrome: Chrome,
    known: Known,
    trail: (String, &'static str),
    facts: Vec<(&'static str, String)>,
    stands: Stands,
    lines: Vec<Line>,
    events: Vec<String>,
    receipts: Vec<ReceiptView>,
    /// Finds this person may open.
    opens: HashSet<String>,
}

/// How the dispatch stands, and the one thing to do next.
struct Stands {
    sentence: String,
    overdue: bool,
    primary: Option<(String, &'static str)>,
    others: Vec<(String, &'static str)>,
}

/// A receipt with its lines.
struct ReceiptView {
    title: String,
    lines: Vec<String>,
    note: String,
    recorded: String,
    superseded: bool,
    correction: Option<String>,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<DispatchId>) -> Answer {
    let mut tx = ctx.read().await?;
    let known = Known::load(&ctx, &mut tx, id).await?;
    let may = |action| ctx.actor.may(action, known.dispatch.project_id);
    let may_answer = may(Action::AnswerDispatch);
    let explain = |item: &items::Item| {
        let account = known.account(item);
        let open = account.gap().is_some() || account.gap_there().is_some() || !known.complete();
        (may_answer && open).then(|| links::explanation_new(item.id))
    };
    let lines = known.items.iter().map(|item| Line::of(&known, item, explain(item))).collect();
    let page = DispatchPage {
        chrome: ctx.chrome_in(known.dispatch.project_id),
        trail: if may(Action::ViewAssignments) {
            (links::dispatches(&known.dispatch.project_code), "Dispatches")
        } else {
            (links::MY_FINDS.into(), "My finds")
        },
        facts: facts(&known),
        stands: stands(&ctx, &known),
        lines,
        events: events(&mut tx, &known).await?,
        receipts: receipt_views(&ctx, &mut tx, &known).await?,
        opens: opens(&ctx, &mut tx, &known).await?,
        known,
    };
    Ok(ok(page).into_response())
}

async fn opens(ctx: &Ctx, tx: &mut Tx, known: &Known) -> Answer<HashSet<String>> {
    let mut opens = HashSet::new();
    for item in &known.items {
        if store::finds::find_visible(tx, &ctx.actor, item.find_id).await?.is_some() {
            opens.insert(item.find_id.to_string());
        }
    }
    Ok(opens)
}

fn facts(known: &Known) -> Vec<(&'static str, String)> {
    let dispatch = &known.dispatch;
    let sampling =
        if dispatch.sampling.is_empty() { "not permitted".to_owned() } else { dispatch.sampling.clone() };
    let mut facts = vec![
        ("To", dispatch.recipient.clone()),
        ("Address", dispatch.address.clone()),
        ("What for", dispatch.purpose.clone()),
        ("Packing", dispatch.packing.clone()),
        ("Carrier", dispatch.carrier.clone()),
        ("Insurer", dispatch.insurer.clone()),
        ("Sampling", sampling),
        ("Sent", format!("{}, by {}", show_day(dispatch.sent_on), dispatch.sent_by)),
        ("Due back", show_day(dispatch.due_on)),
        ("Sent although something was lacking", dispatch.lifted.clone()),
        ("Recorded", format!("{}, by {}", show_moment(dispatch.recorded_at), dispatch.recorded_by)),
    ];
    facts.retain(|(_, words)| !words.is_empty());
    facts
}

fn stands(ctx: &Ctx, known: &Known) -> Stands {
    let may = |action| ctx.actor.may(action, known.dispatch.project_id);
    let (id, today) = (known.dispatch.id, ctx.now.date_naive());
    let differs = known
        .items
        .iter()
        .find(|item| known.account(item).gap().is_some() || known.account(item).gap_there().is_some());
    let arrive = may(Action::AnswerDispatch).then(|| {
        (
            links::receipt_new(id, Way::There),
            if known.is_own(&ctx.actor) { "Say what arrived" } else { "Record what arrived there" },
        )
    });
    let back = may(Action::DispatchFinds).then(|| (links::receipt_new(id, Way::Back), "Receive it back"));
    let explain = differs
        .filter(|_| may(Action::AnswerDispatch))
        .map(|item| (links::explanation_new(item.id), "Explain the difference"));
    let overdue = known.is_out() && known.dispatch.due_on < today;
    let due = view::due(known.dispatch.due_on, today);
    let where_it_is = match (known.is_out(), known.has_arrived(), differs) {
        (false, _, Some(_)) => {
            "Back, but not as it went. What became of the difference is not said yet.".to_owned()
        }
        (false, _, None) => {
            "Everything is back, as it went or as explained. Nothing is waited for.".to_owned()
        }
        (true, true, Some(_)) => {
            format!("With {}, {due}. Not everything arrived as it was sent.", known.dispatch.recipient)
        }
        (true, true, None) => format!("With {}, {due}.", known.dispatch.recipient),
        (true, false, _) => format!(
            "On its way to {}: nobody has said yet that it arrived. {}.",
            known.dispatch.recipient,
            crate::dispatches::view::capital(&due)
        ),
    };
    let order = match (known.is_out(), known.has_arrived(), known.is_own(&ctx.actor)) {
        (false, ..) => vec![explain],
        (true, false, true) => vec![arrive, explain, back],
        (true, false, false) => vec![back, arrive, explain],
        (true, true, _) => vec![explain, back],
    };
    let mut buttons = order.into_iter().flatten();
    Stands { sentence: where_it_is, overdue, primary: buttons.next(), others: buttons.collect() }
}

/// Everything that befell what was out: both versions of every count.
async fn events(tx: &mut Tx, known: &Known) -> Answer<Vec<String>> {
    let all = items::list_events(tx, known.dispatch.id).await?;
    let seen = |event: &Event| known.items.iter().any(|item| item.find_id == event.find_id);
    Ok(all.iter().filter(|event| seen(event)).map(sentence).collect())
}

fn sentence(event: &Event) -> String {
    let mass = |g: Option<f64>| g.map(|g| format!(", {} g", show_measure(g))).unwrap_or_default();
    let there = if event.on_the_way_there { " on the way there" } else { "" };
    format!(
        "{}: {} {}{there}, {} pieces{} before, {} pieces{} after in the register: {} ({})",
        show_moment(event.happened_at),
        event.number,
        event.change,
        event.quantity_before,
        mass(event.weight_before_g),
        event.quantity_after,
        mass(event.weight_after_g),
        event.reason,
        event.by_name
    )
}

async fn receipt_views(ctx: &Ctx, tx: &mut Tx, known: &Known) -> Answer<Vec<ReceiptView>> {
    let lines = receipts::list_lines(tx, known.dispatch.id).await?;
    let may = |action| ctx.actor.may(action, known.dispatch.project_id);
    let one = |receipt: Receipt| {
        let of_it = |line: &&ReceiptLine| {
            line.receipt_id == receipt.id && known.items.iter().any(|item| item.id == line.item_id)
        };
        let may_correct = match receipt.way {
            Way::There => may(Action::AnswerDispatch),
            Way::Back => may(Action::DispatchFinds),
        };
        let standing = receipt.superseded_at.is_none();
        ReceiptView {
            title: format!(
                "{}, {}, counted by {}",
                view::capital(receipt.way.label()),
                show_day(receipt.received_on),
                receipt.received_by
            ),
            lines: lines.iter().filter(of_it).map(receipt_line).collect(),
            note: receipt.note.clone(),
            recorded: format!("{}, by {}", show_moment(receipt.recorded_at), receipt.recorded_by),
            superseded: !standing,
            correction: (standing && may_correct)
                .then(|| links::receipt_correction(known.dispatch.id, receipt.way, receipt.id)),
        }
    };
    Ok(receipts::list(tx, known.dispatch.id).await?.into_iter().map(one).collect())
}

fn receipt_line(line: &ReceiptLine) -> String {
    let amount = view::amount(domain::dispatch::Amount { pieces: line.quantity, mass_g: line.mass_g });
    let condition = if line.condition.is_empty() { String::new() } else { format!("; {}", line.condition) };
    format!("{}: {amount}{condition}", line.number)
}
