//! Spot tests: where on the find, with what, with which effect, and the later looks at the spot.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::{FindId, ImageId, PersonId, ProjectId, RecheckId, RecordId};
use domain::spot_tests::{Carrier, Spot, Trial};
use domain::work::{EffectOnOriginal, TestDecision};
use uuid::Uuid;

/// A spot test as read.
#[derive(Debug, Clone)]
pub struct SpotTest {
    /// Counts the tests of the find from 1; a correction keeps the number of what it corrects.
    pub number: usize,
    pub row: TestRow,
    /// Names and volume percentages.
    pub parts: Vec<(String, f64)>,
    /// Later looks, the first first.
    pub looks: Vec<Look>,
}

/// The words and numbers of a spot test.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct TestRow {
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    pub supersedes_id: Option<Uuid>,
    pub superseded_at: Option<Instant>,
    pub done_by: String,
    pub done_on: NaiveDate,
    pub outcome: String,
    pub recorded_at: Instant,
    pub site: String,
    pub mixture: String,
    pub dwell_s: Option<i64>,
    pub effect_on_soiling: String,
    #[sqlx(try_from = "String")]
    pub effect_on_original: EffectOnOriginal,
    #[sqlx(try_from = "String")]
    pub decision: TestDecision,
    pub carrier: Option<String>,
    pub swabs: Option<i64>,
    pub working_time_s: Option<i64>,
    pub cleared_with: String,
    pub residue: String,
    pub ph: Option<f64>,
    pub image_id: Option<Uuid>,
    pub x_pct: Option<f64>,
    pub y_pct: Option<f64>,
    pub recheck_due_at: Option<Instant>,
}

/// A later look at a spot.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Look {
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    #[sqlx(try_from = "String")]
    pub effect_on_original: EffectOnOriginal,
    pub seen: String,
    pub looked_by: String,
    pub looked_at: Instant,
}

/// A later look to be kept.
#[derive(Debug, Clone)]
pub struct NewLook {
    pub record: RecordId,
    pub effect_on_original: EffectOnOriginal,
    pub seen: String,
    pub looked_by: String,
}

#[derive(sqlx::FromRow)]
struct PartRow {
    #[sqlx(try_from = "Uuid")]
    record_id: RecordId,
    solvent: String,
    percent: f64,
}

impl SpotTest {
    /// What carried the mixture, where it was said.
    pub fn carrier(&self) -> Option<Carrier> {
        self.row.carrier.as_deref().and_then(|code| code.parse().ok())
    }

    /// The image with the coordinates of the site, in percent of its sides.
    pub fn spot(&self) -> Option<(ImageId, f64, f64)> {
        Some((ImageId(self.row.image_id?), self.row.x_pct?, self.row.y_pct?))
    }

    /// The worst that was seen on the original, then or at a later look.
    pub fn worst_effect(&self) -> EffectOnOriginal {
        let looks = self.looks.iter().map(|look| look.effect_on_original);
        looks.fold(self.row.effect_on_original, EffectOnOriginal::max)
    }

    /// Whether the mixture may be used after everything that was seen.
    pub fn stands_accepted(&self) -> bool {
        self.row.decision == TestDecision::Accepted && self.worst_effect() == EffectOnOriginal::None
    }
}

/// Adds the trial to a spot test just recorded. A correction takes over the later looks of what it corrects.
pub async fn update_trial(
    tx: &mut Tx,
    record: RecordId,
    trial: &Trial,
    recheck_due_at: Instant,
    corrects: Option<RecordId>,
) -> Result<()> {
    let due = match corrects {
        Some(old) => take_over(tx, old, record).await?,
        None => Some(domain::cut(recheck_due_at)),
    };
    tx.sql(sql!(
        "UPDATE spot_test SET carrier = $2, swabs = $3, working_time_s = $4, cleared_with = $5, residue = $6, ph = $7,
            image_id = $8, x_pct = $9, y_pct = $10, recheck_due_at = $11 WHERE record_id = $1"
    ))
    .bind(record.0)
    .bind(trial.carrier.map(Carrier::code))
    .bind(trial.swabs)
    .bind(trial.working_time_s)
    .bind(trial.cleared_with.clone())
    .bind(trial.residue.clone())
    .bind(trial.ph)
    .bind(trial.spot.map(|spot| spot.image.0))
    .bind(trial.spot.map(|spot| spot.x_pct))
    .bind(trial.spot.map(|spot| spot.y_pct))
    .bind(due)
    .run()
    .await?;
    for (position, (solvent, percent)) in (1i64..).zip(&trial.parts) {
        tx.sql(sql!(
            "INSERT INTO spot_test_part (record_id, position, solvent, percent) VALUES ($1, $2, $3, $4)"
        ))
        .bind(record.0)
        .bind(position)
        .bind(solvent.clone())
        .bind(*percent)
        .run()
        .await?;
    }
    Ok(())
}

/// Marks the site of a test on a photograph that came later.
pub async fn update_spot(tx: &mut Tx, record: RecordId, spot: Spot) -> Result<()> {
    tx.sql(sql!("UPDATE spot_test SET image_id = $2, x_pct = $3, y_pct = $4 WHERE record_id = $1"))
        .bind(record.0)
        .bind(spot.image.0)
        .bind(spot.x_pct)
        .bind(spot.y_pct)
        .run()
        .await?;
    Ok(())
}

/// When the corrected test was still to be looked at, if so; its looks now belong to the correction.
async fn take_over(tx: &mut Tx, old: RecordId, new: RecordId) -> Result<Option<Instant>> {
    let due: Option<Option<Instant>> =
        tx.sql(sql!("SELECT recheck_due_at FROM spot_test WHERE record_id = $1")).bind(old.0).cell().await?;
    tx.sql(sql!("UPDATE spot_test SET recheck_due_at = NULL WHERE record_id = $1")).bind(old.0).run().await?;
    tx.sql(sql!("UPDATE spot_recheck SET record_id = $2 WHERE record_id = $1"))
        .bind(old.0)
        .bind(new.0)
        .run()
        .await?;
    Ok(due.flatten())
}

/// Every spot test of a find, the first first, corrected ones among them.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<SpotTest>> {
    let rows: Vec<TestRow> = tx
        .sql(sql!(
            "SELECT t.record_id, w.supersedes_id, w.superseded_at, w.done_by, w.done_on, w.outcome, w.recorded_at, t.site,
                t.mixture, t.dwell_s, t.effect_on_soiling, t.effect_on_original, t.decision, t.carrier, t.swabs,
                t.working_time_s, t.cleared_with, t.residue, t.ph, t.image_id, t.x_pct, t.y_pct, t.recheck_due_at
             FROM work_record_find wf JOIN work_record w ON w.id = wf.record_id JOIN spot_test t ON t.record_id = w.id
             WHERE wf.find_id = $1 ORDER BY w.recorded_at, w.id"
        ))
        .bind(find.0)
        .all()
        .await?;
    if rows.is_empty() {
        return Ok(Vec::new());
    }
    let parts: Vec<PartRow> = tx
        .sql(sql!(
            "SELECT p.record_id, p.solvent, p.percent FROM work_record_find wf
             JOIN spot_test_part p ON p.record_id = wf.record_id WHERE wf.find_id = $1 ORDER BY p.record_id, p.position"
        ))
        .bind(find.0)
        .all()
        .await?;
    let looks: Vec<Look> = tx
        .sql(sql!(
            "SELECT r.record_id, r.effect_on_original, r.seen, r.looked_by, r.looked_at FROM work_record_find wf
             JOIN spot_recheck r ON r.record_id = wf.record_id WHERE wf.find_id = $1 ORDER BY r.looked_at, r.id"
        ))
        .bind(find.0)
        .all()
        .await?;
    Ok(gather(rows, &parts, &looks))
}

/// Puts parts and looks to their tests and counts the tests; the corrections of a test follow it.
fn gather(rows: Vec<TestRow>, parts: &[PartRow], looks: &[Look]) -> Vec<SpotTest> {
    let before: Vec<(Uuid, Option<Uuid>)> =
        rows.iter().map(|row| (row.record_id.0, row.supersedes_id)).collect();
    // The first wording of a test, and how many corrections later this one is.
    let first = |id: Uuid| {
        let (mut at, mut steps) = (id, 0);
        while let Some((_, Some(old))) = before.iter().find(|(known, _)| *known == at)
            && before.iter().any(|(known, _)| known == old)
        {
            (at, steps) = (*old, steps + 1);
        }
        (at, steps)
    };
    let firsts: Vec<Uuid> = before.iter().map(|(id, _)| *id).filter(|id| first(*id).0 == *id).collect();
    let mut tests: Vec<(usize, SpotTest)> = Vec::new();
    for row in rows {
        let (origin, steps) = first(row.record_id.0);
        let number = firsts.iter().position(|id| *id == origin).map_or(0, |at| at + 1);
        let of_it = parts.iter().filter(|part| part.record_id == row.record_id);
        let seen = looks.iter().filter(|look| look.record_id == row.record_id);
        let test = SpotTest {
            number,
            parts: of_it.map(|part| (part.solvent.clone(), part.percent)).collect(),
            looks: seen.cloned().collect(),
            row,
        };
        tests.push((steps, test));
    }
    tests.sort_by_key(|(steps, test)| (test.number, *steps));
    tests.into_iter().map(|(_, test)| test).collect()
}

/// Keeps a later look; the test no longer waits for one.
pub async fn insert_look(tx: &mut Tx, look: &NewLook, by: PersonId, now: Instant) -> Result<RecheckId> {
    let id = RecheckId::new(now);
    tx.sql(sql!(
        "INSERT INTO spot_recheck (id, record_id, effect_on_original, seen, looked_by, recorded_by, looked_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7)"
    ))
    .bind(id.0)
    .bind(look.record.0)
    .bind(look.effect_on_original.code())
    .bind(look.seen.clone())
    .bind(look.looked_by.clone())
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    tx.sql(sql!("UPDATE spot_test SET recheck_due_at = NULL WHERE record_id = $1"))
        .bind(look.record.0)
        .run()
        .await?;
    Ok(id)
}

/// A spot that waits for its later look.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct DueLook {
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub find_number: String,
    pub object_type: String,
    pub project_code: String,
    pub site: String,
    pub mixture: String,
    pub due_at: Instant,
}

/// The spots of a project that wait for their later look, the longest due first.
pub async fn list_due(
    tx: &mut Tx,
    project: ProjectId,
    restricted_too: bool,
    most: i64,
) -> Result<Vec<DueLook>> {
    tx.sql(sql!(
        "SELECT t.record_id, f.id AS find_id, f.number AS find_number, f.object_type, p.code AS project_code, t.site,
            t.mixture, t.recheck_due_at AS due_at
         FROM spot_test t JOIN work_record w ON w.id = t.record_id
         JOIN work_record_find wf ON wf.record_id = w.id JOIN find f ON f.id = wf.find_id
         JOIN project p ON p.id = w.project_id
         WHERE t.recheck_due_at IS NOT NULL AND w.project_id = $1 AND w.superseded_at IS NULL AND f.void_at IS NULL
            AND ($2 OR NOT f.restricted)
         ORDER BY t.recheck_due_at, f.sort_key LIMIT $3"
    ))
    .bind(project.0)
    .bind(restricted_too)
    .bind(most)
    .all()
    .await
}
