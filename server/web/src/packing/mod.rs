//! Packing into boxes, and what becomes of the boxes.
//!
//! - `pack`: finds go into a box through the one gatekeeper of work
//! - `sealing`: a box is sealed anew
//! - `taking`: pieces of a bulk find leave a box
//! - `form`: a sealing as typed
//! - `climate`: what follows from a sealing
//! - `show`, `moving`, `label`: a box's page, its way to another room, its label
mod climate;
mod form;
mod label;
mod moving;
mod pack;
mod sealing;
mod show;
mod taking;

use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::routes::Routes;
use domain::ids::PlaceId;
use domain::packing::Sealing;
use domain::permission::Action;
use store::Tx;
use store::boxes::{self, Content, StoredBox};
use store::journal::{self, Entry};

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/packing/new", Action::RecordWork, pack::new)
        .post("/projects/{project}/packing/new", Action::RecordWork, pack::create)
        .get("/boxes/{place}", Action::ListFinds, show::show)
        .get("/boxes/{place}/sealings/new", Action::RecordWork, sealing::new)
        .post("/boxes/{place}/sealings/new", Action::RecordWork, sealing::create)
        .get("/boxes/{place}/takings/new", Action::MoveFinds, taking::new)
        .post("/boxes/{place}/takings/new", Action::MoveFinds, taking::create)
        .get("/boxes/{place}/moves/new", Action::MoveFinds, moving::new)
        .post("/boxes/{place}/moves/new", Action::MoveFinds, moving::create)
        .get("/boxes/{place}/label.pdf", Action::PrintLabels, label::label)
}

/// A box with what this person may see of its contents.
struct Known {
    stored: StoredBox,
    contents: Vec<Content>,
    /// Finds in it that this person may not see.
    hidden: usize,
    /// The latest first, each with who recorded it.
    sealings: Vec<(Sealing, String)>,
}

impl Known {
    async fn load(ctx: &Ctx, tx: &mut Tx, id: PlaceId) -> Answer<Self> {
        let stored = boxes::find(tx, id).await?.ok_or(AppError::NotFound)?;
        ctx.allow(stored.project_id)?;
        let all = boxes::list_contents(tx, id).await?;
        let sees = ctx.actor.sees_restricted(stored.project_id);
        let count = all.len();
        let contents: Vec<Content> = all.into_iter().filter(|find| sees || !find.restricted).collect();
        let hidden = count - contents.len();
        Ok(Self { stored, contents, hidden, sealings: boxes::list_sealings(tx, id).await? })
    }

    fn sealing(&self) -> Option<&Sealing> {
        self.sealings.first().map(|(sealing, _)| sealing)
    }

    /// Writes into the journal of each find in it, or of the project where it is empty.
    async fn tell(&self, ctx: &Ctx, tx: &mut Tx, (verb, words): (&'static str, &str)) -> Answer<()> {
        let entry = |find| Entry {
            project: Some(self.stored.project_id),
            find,
            context: None,
            verb,
            words: words.to_owned(),
            by: Some(ctx.actor.person),
        };
        let all = boxes::list_contents(tx, self.stored.id).await?;
        let mut entries: Vec<Entry> = all.iter().map(|content| entry(Some(content.find))).collect();
        if entries.is_empty() {
            entries.push(entry(None));
        }
        Ok(journal::append_all(tx, &entries, ctx.now).await?)
    }
}
