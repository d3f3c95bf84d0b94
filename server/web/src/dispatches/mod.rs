//! Objects that leave the house and come back.
//!
//! - `new`, `form`: what goes, to whom, how it is packed; what has to be on record before it leaves
//! - `show`, `view`: a dispatch, line by line, in words
//! - `receipt`, `receipt_form`: what was counted and weighed on arrival, and on return
//! - `explanation`: joined, broken, sampled, missing: an event that register and dispatch share
//! - `note`: the paper that travels with it
//! - `waiting`: what waits for somebody: on Today, on the specialist's desk, in the daily letter
mod explanation;
mod form;
mod index;
mod letters;
mod new;
mod note;
mod receipt;
mod receipt_form;
mod show;
pub(crate) mod view;
pub(crate) mod waiting;

use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::routes::Routes;
use domain::dispatch::Account;
use domain::ids::DispatchId;
use domain::permission::{Action, Actor};
use store::Tx;
use store::dispatches::items::{self, Item};
use store::dispatches::{self, Dispatch};

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/dispatches", Action::ViewAssignments, index::index)
        .get("/projects/{project}/dispatches/new", Action::DispatchFinds, new::new)
        .post("/projects/{project}/dispatches/new", Action::DispatchFinds, new::create)
        .get("/dispatches/{dispatch}", Action::ViewDispatch, show::show)
        .get("/dispatches/{dispatch}/note.pdf", Action::ViewDispatch, note::show)
        .get("/dispatches/{dispatch}/arrivals/new", Action::AnswerDispatch, receipt::new_there)
        .post("/dispatches/{dispatch}/arrivals/new", Action::AnswerDispatch, receipt::create_there)
        .get("/dispatches/{dispatch}/receipts/new", Action::DispatchFinds, receipt::new_back)
        .post("/dispatches/{dispatch}/receipts/new", Action::DispatchFinds, receipt::create_back)
        .get("/dispatch-items/{dispatch_item}/explanations/new", Action::AnswerDispatch, explanation::new)
        .post("/dispatch-items/{dispatch_item}/explanations/new", Action::AnswerDispatch, explanation::create)
}

/// A dispatch with the lines this person may see.
pub(crate) struct Known {
    pub dispatch: Dispatch,
    pub items: Vec<Item>,
    /// Lines of finds that this person may not see.
    pub hidden: usize,
}

impl Known {
    /// Gates 2 and 1: of the project's people everybody but readers, restricted finds only with the clearance; a
    /// specialist what was sent to them, all of it.
    pub(super) async fn load(ctx: &Ctx, tx: &mut Tx, id: DispatchId) -> Answer<Self> {
        let dispatch = dispatches::find(tx, id).await?.ok_or(AppError::NotFound)?;
        ctx.allow(dispatch.project_id)?;
        Self::visible(tx, &ctx.actor, dispatch).await?.ok_or(AppError::NotFound)
    }

    /// What an actor may see of a dispatch of a project they have a part in.
    pub(crate) async fn visible(tx: &mut Tx, actor: &Actor, dispatch: Dispatch) -> Answer<Option<Self>> {
        let own = dispatch.recipient() == Some(actor.person);
        if !own && !actor.may(Action::ListFinds, dispatch.project_id) {
            return Ok(None);
        }
        let sees_all = own || actor.sees_restricted(dispatch.project_id);
        let all = items::list(tx, dispatch.id).await?;
        let count = all.len();
        let items: Vec<Item> = all.into_iter().filter(|item| sees_all || !item.restricted).collect();
        Ok(Some(Self { hidden: count - items.len(), dispatch, items }))
    }

    /// Whether nothing more is to come back.
    pub(crate) fn complete(&self) -> bool {
        self.dispatch.complete_at.is_some()
    }

    /// The account of a line.
    pub(crate) fn account(&self, item: &Item) -> Account {
        item.account(self.complete())
    }

    /// Whether this person is who it was sent to.
    pub(crate) fn is_own(&self, actor: &Actor) -> bool {
        self.dispatch.recipient() == Some(actor.person)
    }

    /// Whether anybody has counted what arrived.
    pub(crate) fn has_arrived(&self) -> bool {
        self.items.iter().any(|item| self.account(item).arrived.is_some())
    }

    /// Whether something that went is not back.
    pub(crate) fn is_out(&self) -> bool {
        !self.complete()
    }
}
