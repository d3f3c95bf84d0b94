//! Examinations and where finds lie on the plates that show them.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::examination::{Examination, Method, Region, Verdict};
use domain::ids::{FindId, ImageId, ProjectId, RecordId};
use uuid::Uuid;

/// An examination as kept, with the record it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct Examined {
    pub record: RecordId,
    pub project: ProjectId,
    pub done_by: String,
    pub done_on: NaiveDate,
    pub instrument: String,
    pub note: String,
    pub finished: bool,
    pub recorded_by: String,
    pub recorded_at: Instant,
    pub superseded_at: Option<Instant>,
    pub examination: Examination,
}

pub(super) async fn insert(tx: &mut Tx, record: RecordId, new: &Examination) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO examination (record_id, method, question, area, result, seen, azimuth_deg, elevation_deg, wavelength_nm,
            filter, colour, intensity, magnification, scale_um, plate_number, tube_kv, tube_ma, exposure_s, exposure_mas,
            distance_mm, view_angle, plate_image_id, setup_image_id)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23)"
    ))
    .bind(record.0)
    .bind(new.method.code())
    .bind(new.question.clone())
    .bind(new.area.clone())
    .bind(new.verdict.code())
    .bind(new.seen.clone())
    .bind(new.azimuth_deg)
    .bind(new.elevation_deg)
    .bind(new.wavelength_nm)
    .bind(new.filter.clone())
    .bind(new.colour.clone())
    .bind(new.intensity.clone())
    .bind(new.magnification)
    .bind(new.scale_um)
    .bind(new.plate_number.clone())
    .bind(new.tube_kv)
    .bind(new.tube_ma)
    .bind(new.exposure_s)
    .bind(new.exposure_mas)
    .bind(new.distance_mm)
    .bind(new.view_angle.clone())
    .bind(new.plate_image.map(Uuid::from))
    .bind(new.setup_image.map(Uuid::from))
    .run()
    .await?;
    for region in &new.regions {
        tx.sql(sql!(
            "INSERT INTO plate_region (record_id, find_id, left_pct, top_pct, width_pct, height_pct, seen)
             VALUES ($1, $2, $3, $4, $5, $6, $7)"
        ))
        .bind(record.0)
        .bind(region.find.0)
        .bind(region.left_pct)
        .bind(region.top_pct)
        .bind(region.width_pct)
        .bind(region.height_pct)
        .bind(region.seen.clone())
        .run()
        .await?;
    }
    Ok(())
}

#[derive(sqlx::FromRow)]
struct Row {
    #[sqlx(try_from = "Uuid")]
    id: RecordId,
    #[sqlx(try_from = "Uuid")]
    project_id: ProjectId,
    done_by: String,
    done_on: NaiveDate,
    instrument: String,
    note: String,
    finished: bool,
    recorded_by: String,
    recorded_at: Instant,
    superseded_at: Option<Instant>,
    #[sqlx(try_from = "String")]
    method: Method,
    question: String,
    area: String,
    #[sqlx(try_from = "String")]
    result: Verdict,
    seen: String,
    azimuth_deg: Option<f64>,
    elevation_deg: Option<f64>,
    wavelength_nm: Option<f64>,
    filter: String,
    colour: String,
    intensity: String,
    magnification: Option<f64>,
    scale_um: Option<f64>,
    plate_number: String,
    tube_kv: Option<f64>,
    tube_ma: Option<f64>,
    exposure_s: Option<f64>,
    exposure_mas: Option<f64>,
    distance_mm: Option<f64>,
    view_angle: String,
    plate_image_id: Option<Uuid>,
    setup_image_id: Option<Uuid>,
}

#[derive(sqlx::FromRow)]
struct RegionRow {
    #[sqlx(try_from = "Uuid")]
    find_id: FindId,
    left_pct: f64,
    top_pct: f64,
    width_pct: f64,
    height_pct: f64,
    seen: String,
}

/// The examinations of a find, the latest day first, corrected ones among them; without the regions of their plates.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Examined>> {
    let rows: Vec<Row> = tx
        .sql(sql!(
            "SELECT w.id, w.project_id, w.done_by, w.done_on, w.method AS instrument, w.note, w.finished,
                p.name AS recorded_by, w.recorded_at, w.superseded_at, e.method, e.question, e.area, e.result, e.seen,
                e.azimuth_deg, e.elevation_deg, e.wavelength_nm, e.filter, e.colour, e.intensity, e.magnification,
                e.scale_um, e.plate_number, e.tube_kv, e.tube_ma, e.exposure_s, e.exposure_mas, e.distance_mm,
                e.view_angle, e.plate_image_id, e.setup_image_id
             FROM work_record_find wf JOIN work_record w ON w.id = wf.record_id JOIN person p ON p.id = w.recorded_by
             JOIN examination e ON e.record_id = w.id
             WHERE wf.find_id = $1 ORDER BY w.done_on DESC, w.recorded_at DESC, w.id DESC"
        ))
        .bind(find.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(Row::examined).collect())
}

/// One examination with the regions of its plate.
pub async fn find(tx: &mut Tx, id: RecordId) -> Result<Option<Examined>> {
    let first: Option<Uuid> = tx
        .sql(sql!("SELECT find_id FROM work_record_find WHERE record_id = $1 ORDER BY find_id LIMIT 1"))
        .bind(id.0)
        .cell()
        .await?;
    let Some(first) = first else { return Ok(None) };
    let of_find = list_of_find(tx, FindId(first)).await?;
    let Some(examined) = of_find.into_iter().find(|examined| examined.record == id) else { return Ok(None) };
    let regions: Vec<RegionRow> = tx
        .sql(sql!(
            "SELECT r.find_id, r.left_pct, r.top_pct, r.width_pct, r.height_pct, r.seen
             FROM plate_region r JOIN find f ON f.id = r.find_id
             WHERE r.record_id = $1 ORDER BY f.sort_key, f.id"
        ))
        .bind(id.0)
        .all()
        .await?;
    let regions = regions.into_iter().map(RegionRow::region).collect();
    Ok(Some(Examined { examination: Examination { regions, ..examined.examination }, ..examined }))
}

impl RegionRow {
    fn region(self) -> Region {
        let Self { find_id, left_pct, top_pct, width_pct, height_pct, seen } = self;
        Region { find: find_id, left_pct, top_pct, width_pct, height_pct, seen }
    }
}

impl Row {
    fn examined(self) -> Examined {
        Examined {
            record: self.id,
            project: self.project_id,
            done_by: self.done_by,
            done_on: self.done_on,
            instrument: self.instrument,
            note: self.note,
            finished: self.finished,
            recorded_by: self.recorded_by,
            recorded_at: self.recorded_at,
            superseded_at: self.superseded_at,
            examination: Examination {
                method: self.method,
                question: self.question,
                area: self.area,
                verdict: self.result,
                seen: self.seen,
                azimuth_deg: self.azimuth_deg,
                elevation_deg: self.elevation_deg,
                wavelength_nm: self.wavelength_nm,
                filter: self.filter,
                colour: self.colour,
                intensity: self.intensity,
                magnification: self.magnification,
                scale_um: self.scale_um,
                plate_number: self.plate_number,
                tube_kv: self.tube_kv,
                tube_ma: self.tube_ma,
                exposure_s: self.exposure_s,
                exposure_mas: self.exposure_mas,
                distance_mm: self.distance_mm,
                view_angle: self.view_angle,
                plate_image: self.plate_image_id.map(ImageId),
                setup_image: self.setup_image_id.map(ImageId),
                regions: Vec::new(),
            },
        }
    }
}
