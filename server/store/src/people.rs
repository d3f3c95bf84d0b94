//! Accounts and what they are in each project.
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{PersonId, ProjectId};
use domain::permission::{Actor, Membership, Role};
use uuid::Uuid;

/// An account as kept.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Person {
    #[sqlx(try_from = "Uuid")]
    pub id: PersonId,
    pub email: String,
    pub name: String,
    pub qualification: String,
    pub password_hash: Option<String>,
    pub administrator: bool,
    pub disabled_at: Option<Instant>,
    pub revision: i64,
}

/// An account to be made.
#[derive(Debug, Clone)]
pub struct NewPerson {
    /// In normal form, see [`domain::people::email::normal`].
    pub email: String,
    pub name: String,
    pub qualification: String,
    pub password_hash: Option<String>,
    pub administrator: bool,
}

/// Makes an account; `Taken` when the address has one.
pub async fn insert(tx: &mut Tx, person: &NewPerson, now: Instant) -> Result<PersonId> {
    let id = PersonId::new(now);
    tx.sql(sql!(
        "INSERT INTO person (id, email, name, qualification, password_hash, administrator, created_at, revision)
         VALUES ($1, $2, $3, $4, $5, $6, $7, 1)"
    ))
    .bind(id.0)
    .bind(person.email.clone())
    .bind(person.name.clone())
    .bind(person.qualification.clone())
    .bind(person.password_hash.clone())
    .bind(person.administrator)
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// The account of an address in normal form.
pub async fn find_by_email(tx: &mut Tx, email: &str) -> Result<Option<Person>> {
    tx.sql(sql!(
        "SELECT id, email, name, qualification, password_hash, administrator, disabled_at, revision
         FROM person WHERE email = $1"
    ))
    .bind(email.to_owned())
    .opt()
    .await
}

/// The account of an id.
pub async fn find(tx: &mut Tx, id: PersonId) -> Result<Option<Person>> {
    tx.sql(sql!(
        "SELECT id, email, name, qualification, password_hash, administrator, disabled_at, revision
         FROM person WHERE id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// Everybody with an account, by name.
pub async fn list(tx: &mut Tx) -> Result<Vec<Person>> {
    tx.sql(sql!(
        "SELECT id, email, name, qualification, password_hash, administrator, disabled_at, revision
         FROM person ORDER BY name, email"
    ))
    .all()
    .await
}

/// A line of the list of accounts.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Account {
    #[sqlx(try_from = "Uuid")]
    pub id: PersonId,
    pub email: String,
    pub name: String,
    pub administrator: bool,
    pub disabled_at: Option<Instant>,
    pub last_here_at: Option<Instant>,
    /// Whether a password has ever been set.
    pub accepted: bool,
    /// When the latest invitation went out.
    pub invited_at: Option<Instant>,
}

/// Every account with how it stands, by name.
pub async fn list_accounts(tx: &mut Tx) -> Result<Vec<Account>> {
    tx.sql(sql!(
        "SELECT p.id, p.email, p.name, p.administrator, p.disabled_at, p.last_here_at,
                p.password_hash IS NOT NULL AS accepted,
                (SELECT MAX(l.created_at) FROM mail_link l WHERE l.person_id = p.id AND l.purpose = 'invitation')
                    AS invited_at
         FROM person p ORDER BY p.name, p.email"
    ))
    .all()
    .await
}

/// Gives a person another name and qualification; `Changed` when somebody else did since `revision`.
pub async fn update_profile(
    tx: &mut Tx,
    id: PersonId,
    name: &str,
    qualification: &str,
    revision: i64,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE person SET name = $3, qualification = $4, revision = revision + 1 WHERE id = $1 AND revision = $2"
        ))
        .bind(id.0)
        .bind(revision)
        .bind(name.to_owned())
        .bind(qualification.to_owned())
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// Shuts an account (`at` is when) or opens it again.
pub async fn update_disabled(tx: &mut Tx, id: PersonId, at: Option<Instant>) -> Result<()> {
    tx.sql(sql!("UPDATE person SET disabled_at = $2, revision = revision + 1 WHERE id = $1"))
        .bind(id.0)
        .bind(at.map(domain::cut))
        .run()
        .await?;
    Ok(())
}

/// Makes a person an administrator, or no longer one.
pub async fn update_administrator(tx: &mut Tx, id: PersonId, administrator: bool) -> Result<()> {
    tx.sql(sql!("UPDATE person SET administrator = $2, revision = revision + 1 WHERE id = $1"))
        .bind(id.0)
        .bind(administrator)
        .run()
        .await?;
    Ok(())
}

/// How many administrators can sign in besides this person. Their rows stay locked until the transaction ends, so
/// that two cannot step down at the same time.
pub async fn count_other_administrators(tx: &mut Tx, id: PersonId) -> Result<i64> {
    tx.sql(sql!("UPDATE person SET administrator = administrator WHERE administrator")).run().await?;
    tx.sql(sql!(
        "SELECT COUNT(*) FROM person WHERE administrator AND disabled_at IS NULL AND password_hash IS NOT NULL AND id <> $1"
    ))
    .bind(id.0)
    .cell()
    .await
    .map(Option::unwrap_or_default)
}

/// Sets the password hash.
pub async fn update_password(tx: &mut Tx, id: PersonId, hash: &str) -> Result<()> {
    tx.sql(sql!("UPDATE person SET password_hash = $2, revision = revision + 1 WHERE id = $1"))
        .bind(id.0)
        .bind(hash.to_owned())
        .run()
        .await?;
    Ok(())
}

/// Gives a person a role in a project; giving it twice changes nothing.
pub async fn insert_role(tx: &mut Tx, project: ProjectId, person: PersonId, role: Role) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO membership (project_id, person_id, role) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING"
    ))
    .bind(project.0)
    .bind(person.0)
    .bind(role.code())
    .run()
    .await?;
    Ok(())
}

/// Takes every role and clearance of a person in a project.
pub async fn delete_roles(tx: &mut Tx, project: ProjectId, person: PersonId) -> Result<()> {
    tx.sql(sql!("DELETE FROM membership WHERE project_id = $1 AND person_id = $2"))
        .bind(project.0)
        .bind(person.0)
        .run()
        .await?;
    tx.sql(sql!("DELETE FROM clearance WHERE project_id = $1 AND person_id = $2"))
        .bind(project.0)
        .bind(person.0)
        .run()
        .await?;
    Ok(())
}

/// The clearance for human remains and other restricted material.
pub const RESTRICTED: &str = "restricted";
/// The clearance for exact findspots and the metadata of photographs.
pub const FINDSPOT: &str = "findspot";

/// Gives a clearance, [`RESTRICTED`] or [`FINDSPOT`].
pub async fn insert_clearance(
    tx: &mut Tx,
    project: ProjectId,
    person: PersonId,
    kind: &'static str,
) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO clearance (project_id, person_id, kind) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING"
    ))
    .bind(project.0)
    .bind(person.0)
    .bind(kind)
    .run()
    .await?;
    Ok(())
}

/// A person of a project by name.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Colleague {
    #[sqlx(try_from = "Uuid")]
    pub id: PersonId,
    pub name: String,
}

/// Who works in a project at the bench or around it: everybody with a role but specialists and readers.
pub async fn list_colleagues(tx: &mut Tx, project: ProjectId) -> Result<Vec<Colleague>> {
    tx.sql(sql!(
        "SELECT DISTINCT p.id, p.name FROM membership m JOIN person p ON p.id = m.person_id
         WHERE m.project_id = $1 AND m.role NOT IN ('specialist', 'reader') AND p.disabled_at IS NULL ORDER BY p.name, p.id"
    ))
    .bind(project.0)
    .all()
    .await
}

/// The person who acts, with all memberships; `None` when there is no such account or it is shut.
pub async fn find_actor(tx: &mut Tx, id: PersonId) -> Result<Option<Actor>> {
    let Some(person) = find(tx, id).await?.filter(|p| p.disabled_at.is_none()) else { return Ok(None) };
    let rows: Vec<RoleRow> = tx
        .sql(sql!(
            "SELECT m.project_id, p.code, p.name, m.role,
                EXISTS (SELECT 1 FROM clearance c WHERE c.project_id = m.project_id AND c.person_id = m.person_id
                        AND c.kind = 'restricted') AS restricted,
                EXISTS (SELECT 1 FROM clearance c WHERE c.project_id = m.project_id AND c.person_id = m.person_id
                        AND c.kind = 'findspot') AS findspot
             FROM membership m JOIN project p ON p.id = m.project_id WHERE m.person_id = $1 ORDER BY p.code, m.role"
        ))
        .bind(id.0)
        .all()
        .await?;
    let memberships = gather(rows)?;
    Ok(Some(Actor {
        person: id,
        name: person.name,
        administrator: person.administrator,
        memberships,
        bench_only: false,
    }))
}

#[derive(sqlx::FromRow)]
struct RoleRow {
    #[sqlx(try_from = "Uuid")]
    project_id: ProjectId,
    code: String,
    name: String,
    role: String,
    restricted: bool,
    findspot: bool,
}

fn gather(rows: Vec<RoleRow>) -> Result<Vec<Membership>> {
    let mut memberships: Vec<Membership> = Vec::new();
    for row in rows {
        let role: Role = row.role.parse().map_err(|cause: domain::text_enum::UnknownWord| {
            StoreError::Corrupt { column: "membership.role".into(), cause: cause.to_string() }
        })?;
        match memberships.last_mut() {
            Some(last) if last.project == row.project_id => last.roles.push(role),
            _ => memberships.push(Membership {
                project: row.project_id,
                code: row.code,
                name: row.name,
                roles: vec![role],
                restricted: row.restricted,
                findspot: row.findspot,
                bench_only: false,
            }),
        }
    }
    Ok(memberships)
}
