//! One context: its words, its neighbours, its finds.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::ContextId;
use domain::permission::Action;
use store::contexts::{Context, Neighbour};
use store::filter::{FindFilter, FindLine, Order};

/// Finds shown on the page itself.
const FINDS: i64 = 50;

#[derive(Template)]
#[template(path = "contexts/show.html")]
struct ContextPage {
    chrome: Chrome,
    context: Context,
    words: Vec<(&'static str, String)>,
    relations: Vec<(&'static str, Vec<Neighbour>)>,
    dated: Option<super::dated::DatedSection>,
    finds: Vec<FindLine>,
    list: String,
    diagram: String,
    /// Where a find from here is registered.
    register: String,
    may_edit: bool,
    may_register: bool,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<ContextId>) -> Answer {
    let mut tx = ctx.read().await?;
    let context = load(&ctx, &mut tx, id).await?;
    let member = ctx.actor.membership(context.project_id).ok_or(AppError::NotFound)?;
    let filter = FindFilter { context: Some(id), restricted_too: member.restricted, ..FindFilter::default() };
    let number: String = form_urlencoded::byte_serialize(context.number.as_bytes()).collect();
    let page = ContextPage {
        chrome: ctx.chrome_in(context.project_id),
        words: words(&context),
        relations: relations(&mut tx, id).await?,
        dated: super::dated::section(&ctx, &mut tx, &context).await?,
        diagram: links::in_diagram(&member.code, id),
        finds: store::filter::list(&mut tx, context.project_id, &filter, Order::Number, None, FINDS).await?,
        list: format!("{}?context={number}", links::finds(&member.code)),
        register: links::find_new_from(&member.code, &context.number),
        may_register: member.grants(Action::RegisterFinds),
        may_edit: member.grants(Action::EditContexts),
        context,
    };
    Ok(ok(page).into_response())
}

/// The context, if this person may do here what the route is for.
pub(super) async fn load(ctx: &Ctx, tx: &mut store::Tx, id: ContextId) -> Answer<Context> {
    let context = store::contexts::find(tx, id).await?.ok_or(AppError::NotFound)?;
    ctx.allow(context.project_id)?;
    Ok(context)
}

pub(super) fn words(context: &Context) -> Vec<(&'static str, String)> {
    let all = [
        ("Kind", &context.kind),
        ("Area", &context.area),
        ("Phase", &context.phase),
        ("Interpretation", &context.interpretation),
        ("Soil", &context.soil),
        ("Spot date", &context.spot_date),
    ];
    all.into_iter().filter(|(_, w)| !w.is_empty()).map(|(name, w)| (name, w.clone())).collect()
}

pub(super) async fn relations(
    tx: &mut store::Tx,
    id: ContextId,
) -> Answer<Vec<(&'static str, Vec<Neighbour>)>> {
    let earlier = store::contexts::list_earlier(tx, id).await?;
    let later = store::contexts::list_later(tx, id).await?;
    let of =
        |list: &[Neighbour], kind: &str| list.iter().filter(|n| n.kind == kind).cloned().collect::<Vec<_>>();
    let mut same = of(&earlier, "same_as");
    same.extend(of(&later, "same_as"));
    let all = vec![
        ("Above", of(&earlier, "above")),
        ("Cuts", of(&earlier, "cuts")),
        ("Below", of(&later, "above")),
        ("Cut by", of(&later, "cuts")),
        ("Same as", same),
    ];
    Ok(all.into_iter().filter(|(_, list)| !list.is_empty()).collect())
}
