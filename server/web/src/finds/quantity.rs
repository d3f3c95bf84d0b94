//! Splitting, joining and making a number void.
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::refusal::Refusal;
use store::Tx;
use store::dispatches::items::{self, Out};
use store::finds::{Find, NewFind, quantity};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct QuantityForm {
    number: String,
    quantity: String,
    weight_g: String,
    object_type: String,
    others: String,
    reason: String,
}

#[derive(Template)]
#[template(path = "finds/quantity.html")]
struct QuantityPage {
    chrome: Chrome,
    find: Find,
    /// `split`, `join` or `void`.
    verb: &'static str,
    title: String,
    action: String,
    form: QuantityForm,
    errors: Errors,
}

pub(super) async fn new_split(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let form = QuantityForm {
        number: store::finds::next_number(&mut tx, find.project_id).await?,
        quantity: "1".into(),
        object_type: find.object_type.clone(),
        ..QuantityForm::default()
    };
    Ok(ok(page(&ctx, find, "split", form, Errors::default())).into_response())
}

pub(super) async fn split(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<QuantityForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let (piece, reason) = match read_piece(&mut tx, &find, &posted.form).await? {
        Ok(piece) => piece,
        Err(errors) => return Ok(again(page(&ctx, find, "split", posted.form, errors)).into_response()),
    };
    let new = quantity::split(&mut tx, &find, &piece, &reason, ctx.actor.person, ctx.now).await?;
    let words = format!("took {} out as {}: {reason}", piece.quantity, piece.number);
    store::journal::append(&mut tx, &find_entry(&ctx, &find, "split", words), ctx.now).await?;
    let mut told = format!("{} is registered, taken out of {}.", piece.number, find.number);
    if piece.weight_g.is_none() && find.weight_g.is_some() {
        told.push_str(
            " It was not weighed: the mass of what stays still counts it. Weigh either, and correct it.",
        );
    }
    ctx.finish(tx, &posted, &links::find(new), &told).await
}

/// A void number stays as it is.
fn refuse_void(find: &Find, field: &'static str, errors: &mut Errors) {
    if find.void_at.is_some() {
        errors.add(field, format!("{} is void already; nothing of it is changed any more.", find.number));
    }
}

async fn read_piece(
    tx: &mut Tx,
    find: &Find,
    form: &QuantityForm,
) -> Answer<Result<(NewFind, String), Errors>> {
    let mut errors = Errors::default();
    let number = domain::finds::number::normal(&form.number).unwrap_or_default();
    refuse_void(find, "number", &mut errors);
    if number.is_empty() {
        errors.add("number", "Give the piece a number of its own.");
    } else if let Some((_, other)) = store::finds::find_alike(tx, find.project_id, &number).await? {
        errors.add("number", Refusal::of_number(&number, &other).to_string());
    }
    let asked = errors.whole("quantity", &form.quantity, 1).unwrap_or(0);
    if asked == 0 {
        errors.add("quantity", "Say how many pieces are taken out.");
    }
    let available = here(tx, find).await?;
    if asked > available {
        errors.add("quantity", Refusal::NotThatMany { available, asked }.to_string());
    }
    let most = find.weight_g.unwrap_or(20_000_000.0);
    let typed_g = errors.measure("weight_g", &form.weight_g, 0.001..=most);
    // the last pieces take the mass along
    let weight_g = typed_g.or(find.weight_g.filter(|_| asked == find.quantity));
    let reason = errors.required("reason", &form.reason, "Say why it is taken out.");
    let piece = NewFind {
        number,
        bulk: false,
        quantity: asked,
        weight_g,
        fragments: None,
        object_type: errors.line("object_type", &form.object_type),
        ..find.as_new()
    };
    Ok(if errors.is_empty() { Ok((piece, reason)) } else { Err(errors) })
}

/// The pieces among which something can be done: those that are here, or all of a find that is out as a whole.
async fn here(tx: &mut Tx, find: &Find) -> Answer<i64> {
    let out = items::list_out(tx, find.id).await?;
    let whole = out.iter().any(|out| out.is_whole());
    let away: i64 = out.iter().map(|out| out.outstanding()).sum();
    Ok(if whole { find.quantity } else { find.quantity - away })
}

pub(super) async fn new_join(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let find = ctx.find(&mut ctx.read().await?, id).await?;
    let form = QuantityForm { quantity: "1".into(), ..QuantityForm::default() };
    Ok(ok(page(&ctx, find, "join", form, Errors::default())).into_response())
}

pub(super) async fn join(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<QuantityForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let mut errors = Errors::default();
    let others = read_others(&ctx, &mut tx, &find, &posted.form.others, &mut errors).await?;
    let before: i64 = others.iter().map(|f| f.quantity).sum::<i64>() + find.quantity;
    let pieces = errors.whole("quantity", &posted.form.quantity, 1).unwrap_or(1);
    if pieces > before {
        errors.add("quantity", format!("There were {before} pieces; joining cannot make more of them."));
    }
    let reason = errors.required("reason", &posted.form.reason, "Say how it is known that they join.");
    if !errors.is_empty() {
        return Ok(again(page(&ctx, find, "join", posted.form, errors)).into_response());
    }
    quantity::join(&mut tx, &find, &others, (pieces, &reason), ctx.actor.person, ctx.now).await?;
    let numbers: Vec<&str> = others.iter().map(|f| f.number.as_str()).collect();
    let mut entries =
        vec![find_entry(&ctx, &find, "joined", format!("joined with {}: {reason}", numbers.join(", ")))];
    entries.extend(
        others
            .iter()
            .map(|f| find_entry(&ctx, f, "joined", format!("joined into {}: {reason}", find.number))),
    );
    store::journal::append_all(&mut tx, &entries, ctx.now).await?;
    ctx.finish(tx, &posted, &links::find(id), &format!("{} joined into {}.", numbers.join(", "), find.number))
        .await
}

async fn read_others(
    ctx: &Ctx,
    tx: &mut Tx,
    find: &Find,
    typed: &str,
    errors: &mut Errors,
) -> Answer<Vec<Find>> {
    let mut others: Vec<Find> = Vec::new();
    refuse_void(find, "others", errors);
    for number in typed.split([',', ';', '\n']).filter_map(domain::finds::number::normal) {
        let id = store::finds::find_by_number(tx, find.project_id, &number).await?;
        let other = match id {
            Some(id) => store::finds::find_visible(tx, &ctx.actor, id).await?,
            None => None,
        };
        match other {
            None => {
                errors.add("others", format!("There is no find {number} here. Part the numbers by commas."))
            }
            Some(other) if other.id == find.id => {
                errors.add("others", "A find cannot be joined with itself.")
            }
            Some(other) if other.void_at.is_some() => {
                errors.add("others", format!("{number} is void already."))
            }
            Some(other) if others.iter().any(|o| o.id == other.id) => {}
            Some(other) => {
                if let Some(refusal) = apart(tx, find, &other).await? {
                    errors.add("others", refusal.to_string());
                }
                others.push(other);
            }
        }
    }
    if others.is_empty() {
        errors.add("others", "Give the numbers of the finds that join it.");
    }
    Ok(others)
}

/// Why two finds cannot be joined: one of them, or some of it, is somewhere else.
async fn apart(tx: &mut Tx, find: &Find, other: &Find) -> Answer<Option<Refusal>> {
    let whole = |out: &[Out]| out.iter().find(|out| out.is_whole()).map(|out| out.dispatch_id);
    let (into, from) = (items::list_out(tx, find.id).await?, items::list_out(tx, other.id).await?);
    let together = whole(&into) == whole(&from);
    let elsewhere = from.iter().find(|out| !out.is_whole() || !together);
    let lacking = into.iter().find(|out| out.is_whole() && !together);
    let refused = |number: &str, out: &Out| Refusal::Out { number: number.to_owned(), serial: out.serial };
    Ok(elsewhere.map(|out| refused(&other.number, out)).or(lacking.map(|out| refused(&find.number, out))))
}

pub(super) async fn new_void(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let find = ctx.find(&mut ctx.read().await?, id).await?;
    Ok(ok(page(&ctx, find, "void", QuantityForm::default(), Errors::default())).into_response())
}

pub(super) async fn void(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<QuantityForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let mut errors = Errors::default();
    refuse_void(&find, "reason", &mut errors);
    let reason = errors.required("reason", &posted.form.reason, "Say why the number is void.");
    if let Some(out) = items::list_out(&mut tx, id).await?.first() {
        let refusal = Refusal::Out { number: find.number.clone(), serial: out.serial };
        errors.add("reason", refusal.to_string());
    }
    if !errors.is_empty() {
        return Ok(again(page(&ctx, find, "void", posted.form, errors)).into_response());
    }
    quantity::update_void(&mut tx, id, &reason, ctx.now).await?;
    let entry = find_entry(&ctx, &find, "voided", format!("made the number void: {reason}"));
    store::journal::append(&mut tx, &entry, ctx.now).await?;
    ctx.finish(
        tx,
        &posted,
        &links::find(id),
        "The number is void. It stays on record and is never used again.",
    )
    .await
}

fn page(ctx: &Ctx, find: Find, verb: &'static str, form: QuantityForm, errors: Errors) -> QuantityPage {
    let (title, action) = match verb {
        "split" => (format!("Take pieces out of {}", find.number), links::find_split(find.id)),
        "join" => (format!("Join other finds into {}", find.number), links::find_join(find.id)),
        _ => (format!("Make the number {} void", find.number), links::find_void(find.id)),
    };
    QuantityPage { chrome: ctx.chrome_in(find.project_id), find, verb, title, action, form, errors }
}
