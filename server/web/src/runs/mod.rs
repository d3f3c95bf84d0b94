//! Drying and desalination runs: begun, read, ended.
//!
//! - `start`: a run begins
//! - `show`: its page, drawn from [`drying`] or [`desalination`]
//! - `weighing`, `bath`, `step`: what is read and set while it runs
//! - `ending`: it ends through the one gatekeeper of work, or goes on
//! - `form`: everything as typed
mod bath;
mod desalination;
mod drying;
mod ending;
mod form;
mod index;
mod show;
mod start;
mod start_form;
mod step;
mod weighing;

use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Errors;
use crate::routes::Routes;
use domain::ids::RunId;
use domain::permission::{Action, may_record};
use domain::refusal::Refusal;
use domain::review::share::Share;
use domain::runs::{Plan, RunKind};
use store::Tx;
use store::finds::Find;
use store::journal::{self, Entry};
use store::runs::Run;

pub(crate) use form::{DEGREES, MASSES, PERCENT, VOLUMES, amount};
pub(crate) use index::RunView;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/runs", Action::ListFinds, index::index)
        .get("/projects/{project}/runs/{kind}/new", Action::RecordWork, start::new)
        .post("/projects/{project}/runs/{kind}/new", Action::RecordWork, start::create)
        .get("/runs/{run}", Action::ViewFind, show::show)
        .post("/runs/{run}/weighings", Action::RecordWork, weighing::create)
        .post("/runs/{run}/pasted-weighings", Action::RecordWork, weighing::create_pasted)
        .post("/weighings/{weighing}/withdrawal", Action::RecordWork, weighing::withdraw)
        .post("/runs/{run}/baths", Action::RecordWork, bath::create)
        .post("/baths/{bath}/withdrawal", Action::RecordWork, bath::withdraw)
        .post("/runs/{run}/steps", Action::RecordWork, step::create)
        .post("/runs/{run}/end", Action::RecordWork, ending::create)
        .post("/runs/{run}/reopening", Action::RecordWork, ending::reopen)
}

/// A run with the finds it follows, all of which this person may see.
struct Known {
    run: Run,
    plan: Plan,
    finds: Vec<(Find, Option<i64>)>,
}

impl Known {
    async fn load(ctx: &Ctx, tx: &mut Tx, id: RunId) -> Answer<Self> {
        let run = store::runs::find(tx, id).await?.ok_or(AppError::NotFound)?;
        let mut finds = Vec::new();
        for (find, quantity) in store::runs::list_finds(tx, id).await? {
            finds.push((ctx.find_sharing(tx, find, Share::Conservation).await?, quantity));
        }
        if finds.is_empty() {
            return Err(AppError::NotFound);
        }
        Ok(Self { plan: run.plan()?, run, finds })
    }

    /// The same where it does what is asked of it.
    async fn of_kind(ctx: &Ctx, tx: &mut Tx, (id, kind): (RunId, RunKind)) -> Answer<Self> {
        let known = Self::load(ctx, tx, id).await?;
        if known.run.kind != kind {
            return Err(AppError::Unreadable(format!("Go back: this is no {kind}.")));
        }
        Ok(known)
    }

    /// Whether this person records such work on all of its finds.
    fn may_record(&self, ctx: &Ctx) -> bool {
        let stage = self.run.kind.stage();
        let mut finds = self.finds.iter();
        finds.all(|(f, _)| may_record(&ctx.actor, f.project_id, stage, f.bulk, &f.material))
    }

    /// Notes why nothing more can be entered here: it has ended, or is another's work.
    fn closed_to(&self, ctx: &Ctx, errors: &mut Errors, field: &'static str) {
        if !self.may_record(ctx) {
            errors.add(field, Refusal::NotYours.to_string());
        }
        if self.run.ended_at.is_some() {
            errors.add(field, "This run has ended. Reopen it with a reason to go on.");
        }
    }

    /// The numbers of its finds: “12, 14”.
    fn numbers(&self) -> String {
        self.finds.iter().map(|(find, _)| find.number.as_str()).collect::<Vec<_>>().join(", ")
    }

    /// Writes into the journal of each find.
    async fn tell(&self, ctx: &Ctx, tx: &mut Tx, words: &str) -> Answer<()> {
        let entry = |find: &Find| Entry {
            project: Some(find.project_id),
            find: Some(find.id),
            context: None,
            verb: "recorded",
            words: words.to_owned(),
            by: Some(ctx.actor.person),
        };
        let entries: Vec<Entry> = self.finds.iter().map(|(find, _)| entry(find)).collect();
        Ok(journal::append_all(tx, &entries, ctx.now).await?)
    }
}
