//! What opens a settlement again: it stays printed, says so, and waits to be settled anew.
use crate::{Result, Tx, journal, sql};
use domain::Instant;
use domain::ids::{FindId, PersonId, ProjectId, ReopeningId, SettlementId};
use domain::review::Reopened;
use domain::stages::{Stage, StageMark, StageState};
use uuid::Uuid;

#[derive(sqlx::FromRow)]
struct Standing {
    #[sqlx(try_from = "Uuid")]
    id: SettlementId,
    #[sqlx(try_from = "Uuid")]
    project_id: ProjectId,
}

/// Opens the standing settlement of a find again, if there is one: noted with its reason and in the journal, and the
/// find waits at settlement once more.
pub async fn insert(
    tx: &mut Tx,
    find: FindId,
    (cause, words): (Reopened, &str),
    by: Option<PersonId>,
    now: Instant,
) -> Result<()> {
    let standing: Option<Standing> = tx
        .sql(sql!(
            "SELECT s.id, f.project_id FROM settlement s JOIN find f ON f.id = s.find_id
             WHERE s.find_id = $1 AND s.superseded_at IS NULL"
        ))
        .bind(find.0)
        .opt()
        .await?;
    let Some(standing) = standing else { return Ok(()) };
    tx.sql(sql!(
        "INSERT INTO settlement_reopening (id, settlement_id, cause, words, caused_by, happened_at)
         VALUES ($1, $2, $3, $4, $5, $6)"
    ))
    .bind(ReopeningId::new(now).0)
    .bind(standing.id.0)
    .bind(cause.code())
    .bind(words.to_owned())
    .bind(by.map(Uuid::from))
    .bind(domain::cut(now))
    .run()
    .await?;
    let entry = journal::Entry {
        project: Some(standing.project_id),
        find: Some(find),
        context: None,
        verb: "reopened",
        words: format!("the settlement is open again, {cause}: {words}"),
        by,
    };
    journal::append(tx, &entry, now).await?;
    let progress = crate::finds::progress::find_progress(tx, find).await?;
    if progress.route.has(Stage::Settlement) && progress.state(Stage::Settlement) == StageState::Done {
        let mark = StageMark {
            stage: Stage::Settlement,
            state: StageState::InHand,
            quantity_done: 0,
            reason: String::new(),
        };
        crate::finds::progress::mark(tx, find, &mark, now).await?;
    }
    Ok(())
}

/// Opens the settlement of a find again where its count is another than before.
pub async fn insert_of_count(
    tx: &mut Tx,
    find: FindId,
    (before, after): (i64, i64),
    (cause, reason): (Reopened, &str),
    by: Option<PersonId>,
    now: Instant,
) -> Result<()> {
    if before == after {
        return Ok(());
    }
    let words = format!("{before} → {after}. {reason}");
    insert(tx, find, (cause, words.trim_end()), by, now).await
}

/// What opened a settlement again.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Reopening {
    #[sqlx(try_from = "Uuid")]
    pub settlement_id: SettlementId,
    #[sqlx(try_from = "String")]
    pub cause: Reopened,
    pub words: String,
    /// Empty for the program itself.
    pub by_name: String,
    pub happened_at: Instant,
}

impl Reopening {
    /// “pieces were joined: 17 → 16. The rims fit.”
    pub fn said(&self) -> String {
        format!("{}: {}", self.cause, self.words)
    }
}

/// What opened the settlements of a find again, the earliest first.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Reopening>> {
    tx.sql(sql!(
        "SELECT r.settlement_id, r.cause, r.words, COALESCE(p.name, '') AS by_name, r.happened_at
         FROM settlement s JOIN settlement_reopening r ON r.settlement_id = s.id LEFT JOIN person p ON p.id = r.caused_by
         WHERE s.find_id = $1 ORDER BY r.happened_at, r.id"
    ))
    .bind(find.0)
    .all()
    .await
}

/// What opened the standing settlements of a project again, the earliest first.
pub async fn list_of_project(tx: &mut Tx, project: ProjectId) -> Result<Vec<Reopening>> {
    tx.sql(sql!(
        "SELECT r.settlement_id, r.cause, r.words, COALESCE(p.name, '') AS by_name, r.happened_at
         FROM settlement_reopening r JOIN settlement s ON s.id = r.settlement_id JOIN find f ON f.id = s.find_id
         LEFT JOIN person p ON p.id = r.caused_by
         WHERE f.project_id = $1 AND s.superseded_at IS NULL ORDER BY r.happened_at, r.id"
    ))
    .bind(project.0)
    .all()
    .await
}

/// A find whose settlement is open again.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct OpenAgain {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub number: String,
    pub object_type: String,
    #[sqlx(try_from = "String")]
    pub cause: Reopened,
    pub words: String,
    pub happened_at: Instant,
}

/// The finds of a project whose settlement is open again, the longest open first; restricted ones where these may be
/// seen. A find stands here once for everything that opened it.
pub async fn list_open(
    tx: &mut Tx,
    project: ProjectId,
    restricted: bool,
    most: i64,
) -> Result<Vec<OpenAgain>> {
    tx.sql(sql!(
        "SELECT f.id AS find_id, f.number, f.object_type, r.cause, r.words, r.happened_at
         FROM settlement_reopening r JOIN settlement s ON s.id = r.settlement_id JOIN find f ON f.id = s.find_id
         WHERE f.project_id = $1 AND s.superseded_at IS NULL AND f.void_at IS NULL AND (NOT f.restricted OR $2)
         ORDER BY r.happened_at, r.id LIMIT $3"
    ))
    .bind(project.0)
    .bind(restricted)
    .bind(most)
    .all()
    .await
}

/// A reopening of which nobody was written to yet.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Untold {
    #[sqlx(try_from = "Uuid")]
    pub id: ReopeningId,
    #[sqlx(try_from = "Uuid")]
    pub settlement_id: SettlementId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub number: String,
    pub object_type: String,
    pub restricted: bool,
    pub project_code: String,
    pub project_name: String,
    #[sqlx(try_from = "String")]
    pub cause: Reopened,
    pub words: String,
    pub caused_by: Option<Uuid>,
    pub by_name: String,
}

/// The reopenings of which nobody was written to yet, the earliest first.
pub async fn list_untold(tx: &mut Tx) -> Result<Vec<Untold>> {
    tx.sql(sql!(
        "SELECT r.id, r.settlement_id, s.find_id, f.number, f.object_type, f.restricted, pr.code AS project_code,
            pr.name AS project_name, r.cause, r.words, r.caused_by, COALESCE(p.name, '') AS by_name
         FROM settlement_reopening r JOIN settlement s ON s.id = r.settlement_id JOIN find f ON f.id = s.find_id
         JOIN project pr ON pr.id = f.project_id LEFT JOIN person p ON p.id = r.caused_by
         WHERE r.told_at IS NULL ORDER BY r.happened_at, r.id"
    ))
    .all()
    .await
}

/// Takes the telling of a reopening for this transaction; whether its settlement was closed until then and nobody else
/// took it, so that the authors are to be written to.
pub async fn update_told(tx: &mut Tx, untold: &Untold, now: Instant) -> Result<bool> {
    let touched = tx
        .sql(sql!("UPDATE settlement_reopening SET told_at = $2 WHERE id = $1 AND told_at IS NULL"))
        .bind(untold.id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    let told: Option<i64> = tx
        .sql(sql!(
            "SELECT COUNT(*) FROM settlement_reopening WHERE settlement_id = $1 AND id <> $2 AND told_at IS NOT NULL"
        ))
        .bind(untold.settlement_id.0)
        .bind(untold.id.0)
        .cell()
        .await?;
    Ok(touched == 1 && told.unwrap_or(0) == 0)
}

/// Somebody a settlement concerns.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Concerned {
    #[sqlx(try_from = "Uuid")]
    pub id: PersonId,
    pub name: String,
    pub email: String,
    /// Has a password, so that a link to a page leads somewhere.
    pub signs_in: bool,
}

/// The authors, joint ones too, of the opinions a settlement was made of, as far as they have an account that is open.
pub async fn list_authors(tx: &mut Tx, settlement: SettlementId) -> Result<Vec<Concerned>> {
    tx.sql(sql!(
        "SELECT p.id, p.name, p.email, p.password_hash IS NOT NULL AS signs_in FROM person p
         WHERE p.disabled_at IS NULL AND p.id IN (
            SELECT o.author_id FROM settlement_opinion so JOIN opinion o ON o.id = so.opinion_id WHERE so.settlement_id = $1
            UNION SELECT j.person_id FROM settlement_opinion so JOIN opinion_joint j ON j.opinion_id = so.opinion_id
            WHERE so.settlement_id = $1 AND j.person_id IS NOT NULL)
         ORDER BY p.name, p.id"
    ))
    .bind(settlement.0)
    .all()
    .await
}

/// Who made a settlement, if the account is open.
pub async fn find_editor(tx: &mut Tx, settlement: SettlementId) -> Result<Option<Concerned>> {
    tx.sql(sql!(
        "SELECT p.id, p.name, p.email, p.password_hash IS NOT NULL AS signs_in
         FROM settlement s JOIN person p ON p.id = s.settled_by WHERE s.id = $1 AND p.disabled_at IS NULL"
    ))
    .bind(settlement.0)
    .opt()
    .await
}
