//! The people of a project: their roles and clearances.
use crate::people::{FINDSPOT, RESTRICTED, delete_roles, insert_clearance, insert_role};
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{PersonId, ProjectId};
use domain::permission::Role;
use uuid::Uuid;

/// A person of a project with everything the project gave them.
#[derive(Debug, Clone)]
pub struct Member {
    pub id: PersonId,
    pub name: String,
    pub email: String,
    pub disabled_at: Option<Instant>,
    pub last_here_at: Option<Instant>,
    /// Whether a password has ever been set.
    pub accepted: bool,
    /// When the latest invitation went out.
    pub invited_at: Option<Instant>,
    pub rights: Rights,
}

/// What a project gives to a person.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Rights {
    pub roles: Vec<Role>,
    /// May see human remains and other restricted material.
    pub restricted: bool,
    /// May see exact findspots and the metadata of photographs.
    pub findspot: bool,
}

#[derive(sqlx::FromRow)]
struct MemberRow {
    #[sqlx(try_from = "Uuid")]
    id: PersonId,
    name: String,
    email: String,
    disabled_at: Option<Instant>,
    last_here_at: Option<Instant>,
    accepted: bool,
    invited_at: Option<Instant>,
    role: String,
    restricted: bool,
    findspot: bool,
}

/// Everybody with a role in a project, by name.
pub async fn list(tx: &mut Tx, project: ProjectId) -> Result<Vec<Member>> {
    let rows: Vec<MemberRow> = tx
        .sql(sql!(
            "SELECT p.id, p.name, p.email, p.disabled_at, p.last_here_at, p.password_hash IS NOT NULL AS accepted,
                (SELECT MAX(l.created_at) FROM mail_link l WHERE l.person_id = p.id AND l.purpose = 'invitation')
                    AS invited_at,
                m.role,
                EXISTS (SELECT 1 FROM clearance c WHERE c.project_id = m.project_id AND c.person_id = m.person_id
                        AND c.kind = 'restricted') AS restricted,
                EXISTS (SELECT 1 FROM clearance c WHERE c.project_id = m.project_id AND c.person_id = m.person_id
                        AND c.kind = 'findspot') AS findspot
             FROM membership m JOIN person p ON p.id = m.person_id
             WHERE m.project_id = $1 ORDER BY p.name, p.id, m.role"
        ))
        .bind(project.0)
        .all()
        .await?;
    gather(rows)
}

fn gather(rows: Vec<MemberRow>) -> Result<Vec<Member>> {
    let mut members: Vec<Member> = Vec::new();
    for row in rows {
        let role: Role = row.role.parse().map_err(|cause: domain::text_enum::UnknownWord| {
            StoreError::Corrupt { column: "membership.role".into(), cause: cause.to_string() }
        })?;
        match members.last_mut() {
            Some(last) if last.id == row.id => last.rights.roles.push(role),
            _ => members.push(Member {
                id: row.id,
                name: row.name,
                email: row.email,
                disabled_at: row.disabled_at,
                last_here_at: row.last_here_at,
                accepted: row.accepted,
                invited_at: row.invited_at,
                rights: Rights { roles: vec![role], restricted: row.restricted, findspot: row.findspot },
            }),
        }
    }
    for member in &mut members {
        member.rights.roles.sort();
    }
    Ok(members)
}

/// Lets nobody else change the people of a project until the transaction ends.
pub async fn lock(tx: &mut Tx, project: ProjectId) -> Result<()> {
    tx.sql(sql!("UPDATE project SET revision = revision WHERE id = $1")).bind(project.0).run().await?;
    Ok(())
}

/// Gives a person exactly these rights in a project.
pub async fn replace(tx: &mut Tx, project: ProjectId, person: PersonId, rights: &Rights) -> Result<()> {
    delete_roles(tx, project, person).await?;
    for role in &rights.roles {
        insert_role(tx, project, person, *role).await?;
    }
    for (given, kind) in [(rights.restricted, RESTRICTED), (rights.findspot, FINDSPOT)] {
        if given {
            insert_clearance(tx, project, person, kind).await?;
        }
    }
    Ok(())
}

/// Who holds a role in any project, for the administrator's lists: project code and the person's name.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Holder {
    pub code: String,
    pub name: String,
}

/// The managers of every project, by project code.
pub async fn list_managers(tx: &mut Tx) -> Result<Vec<Holder>> {
    tx.sql(sql!(
        "SELECT j.code, p.name FROM membership m JOIN project j ON j.id = m.project_id
         JOIN person p ON p.id = m.person_id WHERE m.role = 'manager' ORDER BY j.code, p.name"
    ))
    .all()
    .await
}
