//! How much of a find a person sees: the project's people everything, a specialist what was shared.
use super::Find;
use crate::{Result, Tx, sql};
use domain::ids::PersonId;
use domain::permission::{Actor, Role};
use domain::review::share::{Share, Shares};

/// What somebody sees of a find that they see at all. As default nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Seen {
    team: bool,
    shares: Shares,
    by: Option<PersonId>,
}

#[derive(sqlx::FromRow)]
struct Row {
    images: bool,
    xrays: bool,
    conservation: bool,
    measurements: bool,
    contexts: bool,
}

impl Seen {
    /// What this person sees of a find that is visible to them.
    pub(super) async fn of(tx: &mut Tx, actor: &Actor, find: &Find) -> Result<Self> {
        let member = actor.membership(find.project_id);
        let team = member.is_some_and(|m| {
            (!find.restricted || m.restricted)
                && m.roles.iter().any(|role| !matches!(role, Role::Specialist | Role::Reader))
        });
        if team {
            return Ok(Self { team, shares: Shares::ALL, by: Some(actor.person) });
        }
        let rows: Vec<Row> = tx
            .sql(sql!(
                "SELECT images, xrays, conservation, measurements, contexts FROM shared_find
                 WHERE find_id = $1 AND specialist_id = $2"
            ))
            .bind(find.id.0)
            .bind(actor.person.0)
            .all()
            .await?;
        let shares = rows.iter().fold(Shares::default(), |all, row| {
            all.with(Share::Images, row.images)
                .with(Share::Xrays, row.xrays)
                .with(Share::Conservation, row.conservation)
                .with(Share::Measurements, row.measurements)
                .with(Share::Contexts, row.contexts)
        });
        Ok(Self { team, shares, by: Some(actor.person) })
    }

    /// Who sees it; nobody as default.
    pub fn by(self) -> Option<PersonId> {
        self.by
    }

    /// Whether as one of the project's own people.
    pub fn is_of_the_team(self) -> bool {
        self.team
    }

    /// Whether this part of its records is seen.
    pub fn has(self, part: Share) -> bool {
        self.shares.has(part)
    }

    /// Whether a picture of it is seen: X-rays are shared apart from photographs.
    pub fn shows(self, is_xray: bool) -> bool {
        self.has(if is_xray { Share::Xrays } else { Share::Images })
    }
}
