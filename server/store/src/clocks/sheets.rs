//! A round on paper: which packs stand on it in which order, and whether it has been typed in.
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::clocks::ClockKind;
use domain::ids::{ClockId, PersonId, SheetId};
use uuid::Uuid;

/// A sheet.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Sheet {
    #[sqlx(try_from = "Uuid")]
    pub id: SheetId,
    #[sqlx(try_from = "String")]
    pub kind: ClockKind,
    pub printed_at: Instant,
    #[sqlx(try_from = "Uuid")]
    pub printed_by_id: PersonId,
    pub printed_by: String,
    pub entered_at: Option<Instant>,
    pub entered_by: Option<String>,
}

struct Line(SheetId, i64, ClockId);

impl BulkRow for Line {
    const TABLE: &'static str = "round_sheet_line";
    const COLUMNS: &'static [&'static str] = &["sheet_id", "position", "clock_id"];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        statement.bind(self.0.0).bind(self.1).bind(self.2.0)
    }
}

/// Keeps a sheet with its clocks in the order given.
pub async fn insert(
    tx: &mut Tx,
    kind: ClockKind,
    clocks: &[ClockId],
    by: PersonId,
    now: Instant,
) -> Result<SheetId> {
    let id = SheetId::new(now);
    tx.sql(sql!("INSERT INTO round_sheet (id, kind, printed_by, printed_at) VALUES ($1, $2, $3, $4)"))
        .bind(id.0)
        .bind(kind.code())
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    let lines: Vec<Line> = clocks.iter().zip(1..).map(|(clock, at)| Line(id, at, *clock)).collect();
    bulk::insert(tx, &lines).await?;
    Ok(id)
}

/// A sheet by its id.
pub async fn find(tx: &mut Tx, id: SheetId) -> Result<Option<Sheet>> {
    tx.sql(sql!(
        "SELECT s.id, s.kind, s.printed_at, s.printed_by AS printed_by_id, p.name AS printed_by, s.entered_at, e.name AS entered_by
         FROM round_sheet s JOIN person p ON p.id = s.printed_by LEFT JOIN person e ON e.id = s.entered_by
         WHERE s.id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// The sheets a person printed that nobody has typed in, the latest first.
pub async fn list_waiting(tx: &mut Tx, by: PersonId, most: i64) -> Result<Vec<Sheet>> {
    tx.sql(sql!(
        "SELECT s.id, s.kind, s.printed_at, s.printed_by AS printed_by_id, p.name AS printed_by, s.entered_at, NULL AS entered_by
         FROM round_sheet s JOIN person p ON p.id = s.printed_by
         WHERE s.printed_by = $1 AND s.entered_at IS NULL ORDER BY s.printed_at DESC LIMIT $2"
    ))
    .bind(by.0)
    .bind(most)
    .all()
    .await
}

#[derive(sqlx::FromRow)]
struct Clock {
    #[sqlx(try_from = "Uuid")]
    clock_id: ClockId,
}

/// The clocks of a sheet with their places on it; those that have ended or gone are still named.
pub async fn list_clocks(tx: &mut Tx, id: SheetId) -> Result<Vec<ClockId>> {
    let clocks: Vec<Clock> = tx
        .sql(sql!("SELECT clock_id FROM round_sheet_line WHERE sheet_id = $1 ORDER BY position"))
        .bind(id.0)
        .all()
        .await?;
    Ok(clocks.into_iter().map(|clock| clock.clock_id).collect())
}

/// Notes that a sheet has been typed in; `Changed` when it was before.
pub async fn update_entered(tx: &mut Tx, id: SheetId, by: PersonId, now: Instant) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE round_sheet SET entered_by = $2, entered_at = $3 WHERE id = $1 AND entered_at IS NULL"
        ))
        .bind(id.0)
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}
