//! The running clocks as a round passes them, the most urgent first. The indicator of a box is passed once, with the first of its
//! finds that the person may see.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::clocks::ClockKind;
use domain::ids::{ClockId, FindId, PlaceId, ProjectId};
use uuid::Uuid;

/// A running clock with its find.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Passed {
    #[sqlx(try_from = "Uuid")]
    pub id: ClockId,
    #[sqlx(try_from = "String")]
    pub kind: ClockKind,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub project_code: String,
    pub number: String,
    pub object_type: String,
    pub material: String,
    pub material_name: String,
    pub place_path: Option<String>,
    pub started_at: Instant,
    pub limit_at: Option<Instant>,
    pub last_check_at: Option<Instant>,
    pub next_check_at: Option<Instant>,
    pub left_open: Option<String>,
    /// The box whose indicator is read.
    pub box_name: Option<String>,
    /// Other finds for which the same indicator is read.
    pub beside: i64,
}

impl Passed {
    /// When the earlier of limit and next look is reached.
    pub fn due_at(&self) -> Option<Instant> {
        [self.limit_at, self.next_check_at].into_iter().flatten().min()
    }
}

/// The running clocks of one kind in a project, the most urgent first; only at a place and what lies in it, if one is named.
pub async fn list(
    tx: &mut Tx,
    (project, kind): (ProjectId, ClockKind),
    place: Option<PlaceId>,
    restricted_too: bool,
    most: i64,
) -> Result<Vec<Passed>> {
    tx.sql(sql!(
        "SELECT c.id, c.kind, c.find_id, f.project_id, p.code AS project_code, f.number, f.object_type, f.material,
            m.name AS material_name, pl.path AS place_path, c.started_at, c.limit_at, c.last_check_at, c.next_check_at,
            (SELECT CASE WHEN k.in_order OR k.put_right THEN NULL ELSE k.words END FROM clock_look k
             WHERE k.clock_id = c.id ORDER BY k.looked_at DESC, k.id DESC LIMIT 1) AS left_open,
            b.name AS box_name,
            (SELECT COUNT(*) FROM clock o JOIN find g ON g.id = o.find_id WHERE o.box_id = c.box_id AND o.stopped_at IS NULL
             AND o.id <> c.id AND g.void_at IS NULL AND ($4 OR NOT g.restricted)) AS beside
         FROM find f JOIN clock c ON c.find_id = f.id AND c.stopped_at IS NULL JOIN project p ON p.id = f.project_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         LEFT JOIN place pl ON pl.id = f.place_id LEFT JOIN place b ON b.id = c.box_id
         WHERE f.project_id = $1 AND f.due_at IS NOT NULL AND f.void_at IS NULL AND c.kind = $2
            AND ($4 OR NOT f.restricted) AND (f.place_id = $3 OR $3 IS NULL)
            AND NOT EXISTS (SELECT 1 FROM clock o JOIN find g ON g.id = o.find_id WHERE o.box_id = c.box_id
                AND o.stopped_at IS NULL AND o.id < c.id AND g.void_at IS NULL AND ($4 OR NOT g.restricted) AND (g.place_id = $3 OR $3 IS NULL))
         ORDER BY f.due_at, f.id, c.id LIMIT $5"
    ))
    .bind(project.0)
    .bind(kind.code())
    .bind(place.map(Uuid::from))
    .bind(restricted_too)
    .bind(most)
    .all()
    .await
}

/// The clocks of a project, of whatever kind, that are due before an instant or near their limit by `now`, the longest
/// overdue first.
pub async fn list_due(
    tx: &mut Tx,
    project: ProjectId,
    (before, now): (Instant, Instant),
    restricted_too: bool,
    most: i64,
) -> Result<Vec<Passed>> {
    tx.sql(sql!(
        "SELECT c.id, c.kind, c.find_id, f.project_id, p.code AS project_code, f.number, f.object_type, f.material,
            m.name AS material_name, pl.path AS place_path, c.started_at, c.limit_at, c.last_check_at, c.next_check_at,
            (SELECT CASE WHEN k.in_order OR k.put_right THEN NULL ELSE k.words END FROM clock_look k
             WHERE k.clock_id = c.id ORDER BY k.looked_at DESC, k.id DESC LIMIT 1) AS left_open,
            b.name AS box_name,
            (SELECT COUNT(*) FROM clock o JOIN find g ON g.id = o.find_id WHERE o.box_id = c.box_id AND o.stopped_at IS NULL
             AND o.id <> c.id AND g.void_at IS NULL AND ($3 OR NOT g.restricted)) AS beside
         FROM find f JOIN clock c ON c.find_id = f.id AND c.stopped_at IS NULL JOIN project p ON p.id = f.project_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         LEFT JOIN place pl ON pl.id = f.place_id LEFT JOIN place b ON b.id = c.box_id
         WHERE f.project_id = $1 AND f.due_at IS NOT NULL AND f.void_at IS NULL AND ($3 OR NOT f.restricted)
            AND (c.limit_at < $2 OR c.next_check_at < $2 OR c.warn_at < $5)
            AND NOT EXISTS (SELECT 1 FROM clock o JOIN find g ON g.id = o.find_id WHERE o.box_id = c.box_id
                AND o.stopped_at IS NULL AND o.id < c.id AND g.void_at IS NULL AND ($3 OR NOT g.restricted))
         ORDER BY f.due_at, f.id, c.id LIMIT $4"
    ))
    .bind(project.0)
    .bind(domain::cut(before))
    .bind(restricted_too)
    .bind(most)
    .bind(domain::cut(now))
    .all()
    .await
}

/// One running clock, whoever asks; the page asks for the project and for restricted material.
pub async fn find(tx: &mut Tx, id: ClockId) -> Result<Option<(Passed, bool)>> {
    #[derive(sqlx::FromRow)]
    struct Row {
        #[sqlx(flatten)]
        passed: Passed,
        restricted: bool,
    }
    let row: Option<Row> = tx
        .sql(sql!(
            "SELECT c.id, c.kind, c.find_id, f.project_id, p.code AS project_code, f.number, f.object_type, f.material,
                m.name AS material_name, pl.path AS place_path, c.started_at, c.limit_at, c.last_check_at,
                c.next_check_at, f.restricted,
                (SELECT CASE WHEN k.in_order OR k.put_right THEN NULL ELSE k.words END FROM clock_look k
                 WHERE k.clock_id = c.id ORDER BY k.looked_at DESC, k.id DESC LIMIT 1) AS left_open,
                b.name AS box_name,
                (SELECT COUNT(*) FROM clock o JOIN find g ON g.id = o.find_id WHERE o.box_id = c.box_id AND o.stopped_at IS NULL
                 AND o.id <> c.id AND g.void_at IS NULL AND (f.restricted OR NOT g.restricted)) AS beside
             FROM clock c JOIN find f ON f.id = c.find_id JOIN project p ON p.id = f.project_id
             JOIN material m ON m.project_id = f.project_id AND m.code = f.material
             LEFT JOIN place pl ON pl.id = f.place_id LEFT JOIN place b ON b.id = c.box_id
             WHERE c.id = $1 AND c.stopped_at IS NULL AND f.void_at IS NULL"
        ))
        .bind(id.0)
        .opt()
        .await?;
    Ok(row.map(|row| (row.passed, row.restricted)))
}

/// A place where clocks of a kind run.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Stop {
    #[sqlx(try_from = "Uuid")]
    pub id: PlaceId,
    pub path: String,
    pub clocks: i64,
}

/// Where the clocks of a kind run in a project, with how many at each place.
pub async fn list_stops(
    tx: &mut Tx,
    project: ProjectId,
    kind: ClockKind,
    restricted_too: bool,
) -> Result<Vec<Stop>> {
    tx.sql(sql!(
        "SELECT pl.id, pl.path, CAST(COUNT(*) AS BIGINT) AS clocks
         FROM find f JOIN clock c ON c.find_id = f.id AND c.stopped_at IS NULL JOIN place pl ON pl.id = f.place_id
         WHERE f.project_id = $1 AND f.due_at IS NOT NULL AND f.void_at IS NULL AND c.kind = $2
            AND ($3 OR NOT f.restricted)
            AND NOT EXISTS (SELECT 1 FROM clock o JOIN find g ON g.id = o.find_id WHERE o.box_id = c.box_id
                AND o.stopped_at IS NULL AND o.id < c.id AND g.void_at IS NULL AND ($3 OR NOT g.restricted) AND g.place_id = f.place_id)
         GROUP BY pl.id, pl.path, pl.sort_key ORDER BY pl.sort_key"
    ))
    .bind(project.0)
    .bind(kind.code())
    .bind(restricted_too)
    .all()
    .await
}

/// How many clocks of a kind run in a project.
pub async fn count(tx: &mut Tx, project: ProjectId, kind: ClockKind, restricted_too: bool) -> Result<i64> {
    tx.sql(sql!(
        "SELECT COUNT(*) FROM find f JOIN clock c ON c.find_id = f.id AND c.stopped_at IS NULL
         WHERE f.project_id = $1 AND f.due_at IS NOT NULL AND f.void_at IS NULL AND c.kind = $2
            AND ($3 OR NOT f.restricted)
            AND NOT EXISTS (SELECT 1 FROM clock o JOIN find g ON g.id = o.find_id WHERE o.box_id = c.box_id
                AND o.stopped_at IS NULL AND o.id < c.id AND g.void_at IS NULL AND ($3 OR NOT g.restricted))"
    ))
    .bind(project.0)
    .bind(kind.code())
    .bind(restricted_too)
    .cell()
    .await
    .map(Option::unwrap_or_default)
}
