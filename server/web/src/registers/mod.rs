//! Real registers in: upload, columns matched, a full dry run, one transaction, undo. The same for the command line.
//!
//! - [`plan`]: a file read and checked against the project
//! - [`apply`]: the plan in one transaction
mod apply_contexts;
mod apply_finds;
mod choices;
mod dry_run;
pub mod plan;
mod show;
mod undo;
mod upload;

pub use apply_contexts::apply_contexts;
pub use apply_finds::{Import, apply_finds};
pub(crate) use dry_run::SHOWN;
pub use undo::{done, take_back};

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/imports", Action::ImportRegister, upload::index)
        .upload("/projects/{project}/imports", Action::ImportRegister, upload::create)
        .get("/imports/{import}", Action::ImportRegister, show::show)
        .post("/imports/{import}", Action::ImportRegister, show::update)
        .get("/imports/{import}/dry-run.csv", Action::ImportRegister, dry_run::csv)
        .post("/imports/{import}/application", Action::ImportRegister, show::apply)
        .post("/imports/{import}/undoing", Action::ImportRegister, undo::create)
}

/// How many records an import added and changed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Counts {
    pub added: i64,
    pub changed: i64,
    pub unchanged: i64,
}

/// What an import does, or would do.
#[derive(Debug, Default)]
pub struct Outcome {
    pub counts: Counts,
    /// The records it changes, in the order of the register.
    pub changes: Vec<Changed>,
    /// What does not fit what is known, in sentences; it keeps nothing from being imported.
    pub doubts: Vec<String>,
}

impl Outcome {
    /// A mark of it: the same outcome has the same.
    fn mark(&self) -> String {
        use sha2::Digest;
        sha2::Sha256::digest(format!("{self:?}")).iter().map(|byte| format!("{byte:02x}")).collect()
    }
}

/// A record that is there already and changes.
#[derive(Debug)]
pub struct Changed {
    /// Number of the find or context.
    pub number: String,
    /// Label, before, after.
    pub fields: Vec<(&'static str, String, String)>,
    /// What does not change though the register says so.
    pub note: String,
}
