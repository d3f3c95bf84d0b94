//! Looks at what a clock runs for: kept as they were seen, never changed.
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{ClockId, FindId, LookId, PersonId};

/// One look, to be kept.
#[derive(Debug, Clone, PartialEq)]
pub struct NewLook {
    pub clock: ClockId,
    pub find: FindId,
    pub in_order: bool,
    /// What was not in order was put right on the spot.
    pub put_right: bool,
    /// What was not in order; empty when all was well.
    pub words: String,
    /// What the indicator in the package says, in % RH.
    pub indicator_rh: Option<f64>,
    pub looked_at: Instant,
    /// When the next look is due.
    pub next_at: Instant,
    pub done_by: String,
}

impl NewLook {
    /// Whether nothing is left to be done.
    pub fn settled(&self) -> bool {
        self.in_order || self.put_right
    }
}

struct Row<'a>(&'a NewLook, PersonId, Instant);

impl BulkRow for Row<'_> {
    const TABLE: &'static str = "clock_look";
    const COLUMNS: &'static [&'static str] = &[
        "id",
        "clock_id",
        "find_id",
        "in_order",
        "put_right",
        "words",
        "indicator_rh",
        "looked_at",
        "done_by",
        "recorded_by",
        "recorded_at",
    ];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        let Row(look, by, now) = self;
        statement
            .bind(LookId::new(*now).0)
            .bind(look.clock.0)
            .bind(look.find.0)
            .bind(look.in_order)
            .bind(look.put_right)
            .bind(look.words.clone())
            .bind(look.indicator_rh)
            .bind(domain::cut(look.looked_at))
            .bind(look.done_by.clone())
            .bind(by.0)
            .bind(domain::cut(*now))
    }
}

/// Keeps looks and moves their clocks on; a look from before the last one moves nothing.
pub async fn insert_many(tx: &mut Tx, looks: &[NewLook], by: PersonId, now: Instant) -> Result<()> {
    let rows: Vec<Row<'_>> = looks.iter().map(|look| Row(look, by, now)).collect();
    bulk::insert(tx, &rows).await?;
    for look in looks {
        tx.sql(sql!(
            "UPDATE clock SET last_check_at = $2, next_check_at = $3
             WHERE id = $1 AND stopped_at IS NULL AND (last_check_at IS NULL OR last_check_at <= $2)"
        ))
        .bind(look.clock.0)
        .bind(domain::cut(look.looked_at))
        .bind(domain::cut(look.next_at))
        .run()
        .await?;
        super::refresh_due(tx, look.find).await?;
    }
    Ok(())
}

/// A look as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Look {
    pub in_order: bool,
    pub put_right: bool,
    pub words: String,
    pub indicator_rh: Option<f64>,
    pub looked_at: Instant,
    pub done_by: String,
}

/// The looks at a clock, the latest first.
pub async fn list(tx: &mut Tx, clock: ClockId, most: i64) -> Result<Vec<Look>> {
    tx.sql(sql!(
        "SELECT in_order, put_right, words, indicator_rh, looked_at, done_by FROM clock_look WHERE clock_id = $1
         ORDER BY looked_at DESC, id DESC LIMIT $2"
    ))
    .bind(clock.0)
    .bind(most)
    .all()
    .await
}
