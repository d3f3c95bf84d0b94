//! The people of a project: invited, given roles and clearances, taken out.
pub(super) mod index;
pub(super) mod member;

use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Errors;
use domain::ids::ProjectId;
use domain::permission::Role;
use store::Tx;
use store::journal::{self, Entry};
use store::members::Rights;

/// The ticks of roles and clearances, as sent.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Ticks {
    roles: Vec<String>,
    clearances: Vec<String>,
}

/// A role with whether it is ticked, as the form shows it.
struct RoleTick {
    code: &'static str,
    label: &'static str,
    ticked: bool,
}

const RESTRICTED: &str = store::people::RESTRICTED;
const FINDSPOT: &str = store::people::FINDSPOT;

impl Ticks {
    fn of(rights: &Rights) -> Self {
        let given = [(rights.restricted, RESTRICTED), (rights.findspot, FINDSPOT)];
        Self {
            roles: rights.roles.iter().map(|role| role.code().to_owned()).collect(),
            clearances: given.iter().filter(|(g, _)| *g).map(|(_, kind)| (*kind).to_owned()).collect(),
        }
    }

    fn parse(&self, errors: &mut Errors) -> Rights {
        let mut roles: Vec<Role> = self.roles.iter().filter_map(|code| code.parse().ok()).collect();
        roles.sort();
        roles.dedup();
        if roles.is_empty() {
            errors.add("role", "Tick at least one role.");
        }
        Rights { roles, restricted: self.has(RESTRICTED), findspot: self.has(FINDSPOT) }
    }

    fn has(&self, kind: &str) -> bool {
        self.clearances.iter().any(|given| given == kind)
    }

    fn roles(&self) -> Vec<RoleTick> {
        let tick = |role: &Role| RoleTick {
            code: role.code(),
            label: role.label(),
            ticked: self.roles.iter().any(|code| code == role.code()),
        };
        Role::ALL.iter().map(tick).collect()
    }
}

/// Rights in words: “conservator, lead conservator; may see restricted material”.
fn words_of(rights: &Rights) -> String {
    let mut words = rights.roles.iter().map(|role| role.label()).collect::<Vec<_>>().join(", ");
    let cleared = [(rights.restricted, "restricted material"), (rights.findspot, "exact findspots")];
    let cleared: Vec<&str> = cleared.iter().filter(|(given, _)| *given).map(|(_, what)| *what).collect();
    if !cleared.is_empty() {
        words.push_str(&format!("; may see {}", cleared.join(" and ")));
    }
    words
}

async fn note(ctx: &Ctx, tx: &mut Tx, project: ProjectId, words: String) -> Answer<()> {
    let entry = Entry {
        project: Some(project),
        verb: "people",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    Ok(journal::append(tx, &entry, ctx.now).await?)
}
