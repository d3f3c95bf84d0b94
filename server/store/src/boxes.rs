//! Boxes: places of a kind, with what lies in them and how they were sealed.
use crate::{Result, StoreError, Tx, clocks, places, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::{FindId, PackedId, PersonId, PlaceId, ProjectId, RecordId, SealingId};
use domain::packing::Sealing;
use uuid::Uuid;

/// What a place is called that is a box.
pub const KIND: &str = "box";

/// A box as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct StoredBox {
    #[sqlx(try_from = "Uuid")]
    pub id: PlaceId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub project_code: String,
    pub parent_id: Option<Uuid>,
    pub name: String,
    pub path: String,
    /// Where it stands.
    pub parent_path: Option<String>,
}

/// One box.
pub async fn find(tx: &mut Tx, id: PlaceId) -> Result<Option<StoredBox>> {
    tx.sql(sql!(
        "SELECT p.id, p.project_id, j.code AS project_code, p.parent_id, p.name, p.path, a.path AS parent_path
         FROM place p JOIN project j ON j.id = p.project_id LEFT JOIN place a ON a.id = p.parent_id
         WHERE p.id = $1 AND p.kind = 'box'"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// What lies in a box.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Content {
    #[sqlx(try_from = "Uuid")]
    pub find: FindId,
    pub number: String,
    pub object_type: String,
    pub material: String,
    pub material_name: String,
    pub restricted: bool,
    /// Pieces of a bulk find where not all of it is there.
    pub quantity: Option<i64>,
    /// When it was packed; none where it was only put there.
    pub since: Option<Instant>,
    pub weight_g: Option<f64>,
    pub bulk: bool,
}

/// The finds in a box, packed or only put there.
pub async fn list_contents(tx: &mut Tx, id: PlaceId) -> Result<Vec<Content>> {
    tx.sql(sql!(
        "SELECT f.id AS find, f.number, f.object_type, f.material, m.name AS material_name, f.restricted, k.quantity,
            k.since, f.weight_g, f.bulk
         FROM find f JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         LEFT JOIN packed k ON k.find_id = f.id AND k.place_id = $1 AND k.left_at IS NULL
         WHERE (f.place_id = $1 OR k.id IS NOT NULL) AND f.void_at IS NULL ORDER BY f.sort_key, f.id"
    ))
    .bind(id.0)
    .all()
    .await
}

/// Pieces of a bulk find that lie in boxes now.
pub async fn count_packed(tx: &mut Tx, find: FindId) -> Result<i64> {
    let sum: Option<i64> = tx
        .sql(sql!(
            "SELECT CAST(COALESCE(SUM(quantity), 0) AS BIGINT) FROM packed WHERE find_id = $1 AND left_at IS NULL"
        ))
        .bind(find.0)
        .cell()
        .await?;
    Ok(sum.unwrap_or(0))
}

/// Puts a find into a box by a record of packing; all of it leaves the box it was in.
pub async fn insert_packed(
    tx: &mut Tx,
    id: PlaceId,
    (find, quantity): (FindId, Option<i64>),
    record: RecordId,
    now: Instant,
) -> Result<()> {
    if quantity.is_none() {
        update_left(tx, find, None, now).await?;
    }
    insert_row(tx, (id, find, quantity), record, (now, now)).await
}

/// A find leaves every box but the one it goes to; their indicators are read for it no more.
pub async fn update_left(tx: &mut Tx, find: FindId, goes_to: Option<PlaceId>, now: Instant) -> Result<()> {
    for row in list_rows(tx, find, None).await? {
        if Some(row.place_id) != goes_to {
            end_row(tx, row.id, now).await?;
            clocks::boxes::leave(tx, find, row.place_id, now).await?;
        }
    }
    Ok(())
}

/// Takes pieces of a bulk find of `all` pieces out of a box; `false`, and nothing taken, when fewer lie in it.
pub async fn take_out(
    tx: &mut Tx,
    (place, find): (PlaceId, FindId),
    (pieces, all): (i64, i64),
    now: Instant,
) -> Result<bool> {
    let rows = list_rows(tx, find, Some(place)).await?;
    let there: i64 = rows.iter().map(|row| row.quantity.unwrap_or(all)).sum();
    if pieces > there {
        return Ok(false);
    }
    let mut left = pieces;
    for row in rows {
        let taken = left.min(row.quantity.unwrap_or(all));
        if taken == 0 {
            break;
        }
        end_row(tx, row.id, now).await?;
        let rest = row.quantity.unwrap_or(all) - taken;
        if rest > 0 {
            insert_row(tx, (place, find, Some(rest)), row.record_id, (row.since, now)).await?;
        }
        left -= taken;
    }
    if pieces == there {
        clocks::boxes::leave(tx, find, place, now).await?;
    }
    Ok(true)
}

#[derive(sqlx::FromRow)]
struct PackedRow {
    #[sqlx(try_from = "Uuid")]
    id: PackedId,
    #[sqlx(try_from = "Uuid")]
    place_id: PlaceId,
    quantity: Option<i64>,
    #[sqlx(try_from = "Uuid")]
    record_id: RecordId,
    since: Instant,
}

/// Where a find lies packed now, in every box or in one, the latest first.
async fn list_rows(tx: &mut Tx, find: FindId, place: Option<PlaceId>) -> Result<Vec<PackedRow>> {
    tx.sql(sql!(
        "SELECT id, place_id, quantity, record_id, since FROM packed
         WHERE find_id = $1 AND left_at IS NULL AND place_id = COALESCE($2, place_id) ORDER BY since DESC, id DESC"
    ))
    .bind(find.0)
    .bind(place.map(Uuid::from))
    .all()
    .await
}

async fn end_row(tx: &mut Tx, id: PackedId, now: Instant) -> Result<()> {
    tx.sql(sql!("UPDATE packed SET left_at = $2 WHERE id = $1"))
        .bind(id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(())
}

async fn insert_row(
    tx: &mut Tx,
    (place, find, quantity): (PlaceId, FindId, Option<i64>),
    record: RecordId,
    (since, now): (Instant, Instant),
) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO packed (id, place_id, find_id, quantity, record_id, since) VALUES ($1, $2, $3, $4, $5, $6)"
    ))
    .bind(PackedId::new(now).0)
    .bind(place.0)
    .bind(find.0)
    .bind(quantity)
    .bind(record.0)
    .bind(domain::cut(since))
    .run()
    .await?;
    Ok(())
}

/// The box of a record of packing.
pub async fn find_of_record(tx: &mut Tx, record: RecordId) -> Result<Option<PlaceId>> {
    let place: Option<Uuid> = tx
        .sql(sql!("SELECT place_id FROM packed WHERE record_id = $1 ORDER BY id LIMIT 1"))
        .bind(record.0)
        .cell()
        .await?;
    Ok(place.map(PlaceId))
}

/// A record of packing with its box.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct PackedLine {
    #[sqlx(try_from = "Uuid")]
    pub record: RecordId,
    #[sqlx(try_from = "Uuid")]
    pub place: PlaceId,
    pub path: String,
    pub left_at: Option<Instant>,
}

/// The boxes a find lies or lay in, the latest first.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<PackedLine>> {
    tx.sql(sql!(
        "SELECT k.record_id AS record, k.place_id AS place, p.path, k.left_at
         FROM packed k JOIN place p ON p.id = k.place_id WHERE k.find_id = $1 ORDER BY k.since DESC, k.id DESC"
    ))
    .bind(find.0)
    .all()
    .await
}

#[derive(Debug, Clone, sqlx::FromRow)]
struct SealingRow {
    sealed_on: NaiveDate,
    done_by: String,
    container: String,
    materials: String,
    band: String,
    volume_l: Option<f64>,
    air_per_day: Option<f64>,
    air_words: String,
    sorbent: String,
    sorbent_g: Option<f64>,
    reservoir: Option<f64>,
    reservoir_words: String,
    start_pct: Option<f64>,
    outside_pct: Option<f64>,
    t_c: Option<f64>,
    gross_kg: Option<f64>,
    next_check_on: Option<NaiveDate>,
    recorded_by: String,
}

impl SealingRow {
    fn split(self) -> (Sealing, String) {
        let sealing = Sealing {
            sealed_on: self.sealed_on,
            done_by: self.done_by,
            container: self.container,
            materials: self.materials,
            band: self.band,
            volume_l: self.volume_l,
            air_per_day: self.air_per_day,
            air_words: self.air_words,
            sorbent: self.sorbent,
            sorbent_g: self.sorbent_g,
            reservoir: self.reservoir,
            reservoir_words: self.reservoir_words,
            start_pct: self.start_pct,
            outside_pct: self.outside_pct,
            t_c: self.t_c,
            gross_kg: self.gross_kg,
            next_check_on: self.next_check_on,
        };
        (sealing, self.recorded_by)
    }
}

/// Keeps how a box was sealed.
pub async fn insert_sealing(
    tx: &mut Tx,
    id: PlaceId,
    sealing: &Sealing,
    by: PersonId,
    now: Instant,
) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO sealing (id, place_id, sealed_on, done_by, container, materials, band, volume_l, air_per_day, air_words,
            sorbent, sorbent_g, reservoir, reservoir_words, start_pct, outside_pct, t_c, gross_kg, next_check_on, recorded_by,
            recorded_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21)"
    ))
    .bind(SealingId::new(now).0)
    .bind(id.0)
    .bind(sealing.sealed_on)
    .bind(sealing.done_by.clone())
    .bind(sealing.container.clone())
    .bind(sealing.materials.clone())
    .bind(sealing.band.clone())
    .bind(sealing.volume_l)
    .bind(sealing.air_per_day)
    .bind(sealing.air_words.clone())
    .bind(sealing.sorbent.clone())
    .bind(sealing.sorbent_g)
    .bind(sealing.reservoir)
    .bind(sealing.reservoir_words.clone())
    .bind(sealing.start_pct)
    .bind(sealing.outside_pct)
    .bind(sealing.t_c)
    .bind(sealing.gross_kg)
    .bind(sealing.next_check_on)
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(())
}

/// How a box was sealed, the latest first, each with who recorded it.
pub async fn list_sealings(tx: &mut Tx, id: PlaceId) -> Result<Vec<(Sealing, String)>> {
    let rows: Vec<SealingRow> = tx
        .sql(sql!(
            "SELECT s.sealed_on, s.done_by, s.container, s.materials, s.band, s.volume_l, s.air_per_day, s.air_words, s.sorbent,
                s.sorbent_g, s.reservoir, s.reservoir_words, s.start_pct, s.outside_pct, s.t_c, s.gross_kg, s.next_check_on,
                p.name AS recorded_by
             FROM sealing s JOIN person p ON p.id = s.recorded_by
             WHERE s.place_id = $1 ORDER BY s.sealed_on DESC, s.id DESC"
        ))
        .bind(id.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(SealingRow::split).collect())
}

/// Stands a box at another place, or at none; `Taken` where one of its name is there already.
pub async fn update_parent(tx: &mut Tx, this: &StoredBox, parent: Option<PlaceId>) -> Result<String> {
    let above = match parent {
        Some(parent) => places::find(tx, this.project_id, parent).await?.map(|p| p.path + places::PARTING),
        None => None,
    };
    let path = format!("{}{}", above.unwrap_or_default(), this.name);
    let inside = format!("{}{}", this.path, places::PARTING);
    let all = places::list(tx, this.project_id).await?;
    if all.iter().any(|other| other.path == path && other.id != this.id) {
        return Err(StoreError::Taken);
    }
    set_path(tx, this.id, parent.map(Uuid::from), &path).await?;
    for lower in all.iter().filter(|place| place.path.starts_with(&inside)) {
        let lower_path = format!("{path}{}{}", places::PARTING, &lower.path[inside.len()..]);
        set_path(tx, lower.id, lower.parent_id, &lower_path).await?;
    }
    Ok(path)
}

async fn set_path(tx: &mut Tx, id: PlaceId, parent: Option<Uuid>, path: &str) -> Result<()> {
    tx.sql(sql!(
        "UPDATE place SET parent_id = $2, path = $3, sort_key = $4, revision = revision + 1 WHERE id = $1"
    ))
    .bind(id.0)
    .bind(parent)
    .bind(path.to_owned())
    .bind(domain::finds::number::sort_key(path))
    .run()
    .await?;
    Ok(())
}
