//! The page on which an opinion is written: the find beside the form, what is folded away, what colleagues say.
use super::asking::AskForm;
use super::dating;
use super::desk_find::{Beside, Series, series};
use super::opinion_fields::{Fields, Rows};
use super::opinion_form::OpinionForm;
use super::opinion_view::{OpinionView, view};
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Errors;
use crate::images::Picture;
use crate::links;
use crate::page::Chrome;
use askama::Template;
use domain::ids::FindId;
use store::Tx;
use store::finds::Find;
use store::review::assignments::{self, Asked as AskedOf};
use store::review::companions::{self, Companion};
use store::review::opinions::{self, Opinion};

#[derive(Template)]
#[template(path = "review/opinion.html")]
pub(super) struct OpinionPage {
    chrome: Chrome,
    find: Find,
    action: String,
    asked: Vec<AskedOf>,
    fields: Fields,
    pub errors: Errors,
    /// The form is right, but its dates have not been seen as they are read.
    pub to_check: bool,
    pictures: Vec<Picture>,
    beside: Beside,
    series: Option<Series>,
    /// A question as typed.
    pub ask: AskForm,
    companions: Vec<(Companion, bool)>,
    mine: Vec<OpinionView>,
    colleagues: Colleagues,
}

/// What a specialist may know of the others’ opinions.
pub(super) enum Colleagues {
    /// Nothing, not even whether there are any.
    Hidden,
    Shown(Vec<OpinionView>),
}

/// The page of a find with a form.
pub(super) async fn of(
    ctx: &Ctx,
    tx: &mut Tx,
    find: Find,
    (form, rows): (OpinionForm, Rows),
) -> Answer<OpinionPage> {
    let convention = dating::convention_of(tx, find.project_id).await?;
    let me = ctx.actor.person;
    let said = opinions::list_of_find(tx, find.id).await?;
    let asked = assignments::list_of_find(tx, find.id).await?;
    let companions = companions::list(tx, find.id, me).await?;
    let ticked = |one: Companion| {
        let ticked = form.covers.contains(&one.id.to_string());
        (one, ticked)
    };
    Ok(OpinionPage {
        chrome: ctx.chrome(),
        action: links::opinion(find.id),
        asked: asked.into_iter().filter(|a| a.specialist_id == me).collect(),
        companions: companions.into_iter().map(ticked).collect(),
        fields: Fields::of(form, &rows, &convention, links::date_reading(find.id)),
        errors: Errors::default(),
        to_check: false,
        pictures: Picture::all_of(tx, &find).await?,
        beside: Beside::of(ctx, tx, &find).await?,
        series: series(ctx, tx, find.id).await?,
        ask: AskForm::default(),
        mine: said.iter().filter(|o| o.author_id == me).map(view).collect(),
        colleagues: colleagues(ctx, tx, find.id, &said).await?,
        find,
    })
}

/// The standing opinions of the others, unless the assignment hides them until the own one is in.
async fn colleagues(ctx: &Ctx, tx: &mut Tx, find: FindId, said: &[Opinion]) -> Answer<Colleagues> {
    let me = ctx.actor.person;
    let is_in = said.iter().any(|opinion| opinion.author_id == me);
    if !is_in && companions::is_blind(tx, find, me).await? {
        return Ok(Colleagues::Hidden);
    }
    let others = said.iter().filter(|o| o.author_id != me && o.superseded_at.is_none());
    Ok(Colleagues::Shown(others.map(view).collect()))
}
