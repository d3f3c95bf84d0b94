//! Photographs: what is known of each file, which finds and records it shows, in which order.
mod seen;

pub use seen::{find_visible, list_hidden, list_seen};

use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{FindId, ImageId, PersonId, ProjectId, RecordId};
use domain::shots::Light;
use uuid::Uuid;

/// A photograph to be kept; its file is stored already.
#[derive(Debug, Clone)]
pub struct NewImage {
    pub project: ProjectId,
    /// SHA-256 of the original, 64 hexadecimal digits: where the file store keeps it.
    pub sha256: String,
    pub file_name: String,
    pub media_type: String,
    pub bytes: i64,
    /// upright
    pub width_px: i64,
    /// upright
    pub height_px: i64,
    /// By the camera's clock, without a zone: `2031-05-03 10:20:30`; empty where the file does not say.
    pub taken_at: String,
    pub camera: String,
    pub has_position: bool,
    pub words: ImageWords,
}

/// What people say about a photograph.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ImageWords {
    pub caption: String,
    pub view: String,
    pub light: String,
    pub credit: String,
    /// `before`, `during`, `after`; empty where nobody said.
    pub moment: String,
    /// Length of the scale in the picture in mm.
    pub scale_mm: Option<i64>,
}

/// A photograph as kept.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Image {
    #[sqlx(try_from = "Uuid")]
    pub id: ImageId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub project_code: String,
    pub sha256: String,
    pub file_name: String,
    pub media_type: String,
    pub bytes: i64,
    pub width_px: i64,
    pub height_px: i64,
    pub taken_at: String,
    pub camera: String,
    pub has_position: bool,
    pub caption: String,
    pub view: String,
    pub light: String,
    pub credit: String,
    pub moment: String,
    pub scale_mm: Option<i64>,
    pub uploaded_by: String,
    pub uploaded_at: Instant,
    pub withdrawn_at: Option<Instant>,
    /// Empty unless withdrawn.
    pub withdrawn_reason: String,
    pub revision: i64,
    /// How many finds it shows, whoever may see them.
    pub finds: i64,
    /// The plate of an examination.
    pub is_plate: bool,
}

/// A find a photograph shows.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Shown {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    pub number: String,
    pub object_type: String,
}

/// A photograph that belongs to a record of work.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct OfRecord {
    #[sqlx(try_from = "Uuid")]
    pub record: RecordId,
    #[sqlx(try_from = "Uuid")]
    pub image: ImageId,
    pub caption: String,
    pub width_px: i64,
    pub height_px: i64,
    pub light: String,
}

/// A photograph taken out of sight.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Withdrawn {
    #[sqlx(try_from = "Uuid")]
    pub id: ImageId,
    pub file_name: String,
    pub withdrawn_reason: String,
}

/// Keeps a photograph. The same file again in the project gives the one that is there, and `false`.
pub async fn insert(tx: &mut Tx, new: &NewImage, by: PersonId, now: Instant) -> Result<(ImageId, bool)> {
    let touched = tx
        .sql(sql!(
            "INSERT INTO image (id, project_id, sha256, file_name, media_type, bytes, width_px, height_px, taken_at, camera,
                has_position, caption, view, light, credit, uploaded_by, uploaded_at, withdrawn_reason, revision, moment,
                scale_mm)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, '', 1, $18, $19)
             ON CONFLICT (project_id, sha256) DO NOTHING"
        ))
        .bind(ImageId::new(now).0)
        .bind(new.project.0)
        .bind(new.sha256.clone())
        .bind(new.file_name.clone())
        .bind(new.media_type.clone())
        .bind(new.bytes)
        .bind(new.width_px)
        .bind(new.height_px)
        .bind(new.taken_at.clone())
        .bind(new.camera.clone())
        .bind(new.has_position)
        .bind(new.words.caption.clone())
        .bind(new.words.view.clone())
        .bind(new.words.light.clone())
        .bind(new.words.credit.clone())
        .bind(by.0)
        .bind(domain::cut(now))
        .bind(new.words.moment.clone())
        .bind(new.words.scale_mm)
        .run()
        .await?;
    let id: Option<Uuid> = tx
        .sql(sql!("SELECT id FROM image WHERE project_id = $1 AND sha256 = $2"))
        .bind(new.project.0)
        .bind(new.sha256.clone())
        .cell()
        .await?;
    Ok((ImageId(id.ok_or(StoreError::Dangling)?), touched == 1))
}

/// The photographs of a find in their order, without the withdrawn ones, whoever asks.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Image>> {
    tx.sql(sql!(
        "SELECT i.id, i.project_id, pr.code AS project_code, i.sha256, i.file_name, i.media_type, i.bytes, i.width_px,
            i.height_px, i.taken_at, i.camera, i.has_position, i.caption, i.view, i.light, i.credit, i.moment, i.scale_mm,
            p.name AS uploaded_by, i.uploaded_at, i.withdrawn_at, i.withdrawn_reason, i.revision,
            EXISTS (SELECT 1 FROM examination e WHERE e.plate_image_id = i.id) AS is_plate,
            (SELECT COUNT(*) FROM image_find n WHERE n.image_id = i.id) AS finds
         FROM image_find l JOIN image i ON i.id = l.image_id
         JOIN project pr ON pr.id = i.project_id JOIN person p ON p.id = i.uploaded_by
         WHERE l.find_id = $1 AND i.withdrawn_at IS NULL ORDER BY l.position, i.id"
    ))
    .bind(find.0)
    .all()
    .await
}

/// How many photographs of a find are in sight.
pub async fn count_of_find(tx: &mut Tx, find: FindId) -> Result<i64> {
    let count = tx
        .sql(sql!(
            "SELECT CAST(COUNT(*) AS BIGINT) FROM image_find l JOIN image i ON i.id = l.image_id
             WHERE l.find_id = $1 AND i.withdrawn_at IS NULL"
        ))
        .bind(find.0)
        .cell()
        .await?;
    Ok(count.unwrap_or(0))
}

/// The photographs of a project that show no find yet, the oldest first, at most so many.
pub async fn list_in_tray(tx: &mut Tx, project: ProjectId, most: i64) -> Result<Vec<Image>> {
    tx.sql(sql!(
        "SELECT i.id, i.project_id, pr.code AS project_code, i.sha256, i.file_name, i.media_type, i.bytes, i.width_px,
            i.height_px, i.taken_at, i.camera, i.has_position, i.caption, i.view, i.light, i.credit, i.moment, i.scale_mm,
            p.name AS uploaded_by, i.uploaded_at, i.withdrawn_at, i.withdrawn_reason, i.revision,
            EXISTS (SELECT 1 FROM examination e WHERE e.plate_image_id = i.id) AS is_plate,
            CAST(0 AS BIGINT) AS finds
         FROM image i JOIN project pr ON pr.id = i.project_id JOIN person p ON p.id = i.uploaded_by
         WHERE i.project_id = $1 AND i.withdrawn_at IS NULL
            AND NOT EXISTS (SELECT 1 FROM image_find n WHERE n.image_id = i.id)
         ORDER BY i.uploaded_at, i.file_name, i.id LIMIT $2"
    ))
    .bind(project.0)
    .bind(most)
    .all()
    .await
}

/// The withdrawn photographs of a find.
pub async fn list_withdrawn(tx: &mut Tx, find: FindId) -> Result<Vec<Withdrawn>> {
    tx.sql(sql!(
        "SELECT i.id, i.file_name, i.withdrawn_reason FROM image_find l JOIN image i ON i.id = l.image_id
         WHERE l.find_id = $1 AND i.withdrawn_at IS NOT NULL ORDER BY l.position, i.id"
    ))
    .bind(find.0)
    .all()
    .await
}

/// Why a photograph was withdrawn; nothing when it is in sight.
pub async fn find_withdrawal(tx: &mut Tx, id: ImageId) -> Result<Option<String>> {
    tx.sql(sql!("SELECT withdrawn_reason FROM image WHERE id = $1 AND withdrawn_at IS NOT NULL"))
        .bind(id.0)
        .cell()
        .await
}

/// Every find a photograph shows, whoever may see it: ask [`find_visible`](crate::finds::find_visible) of each.
pub async fn list_finds(tx: &mut Tx, image: ImageId) -> Result<Vec<Shown>> {
    tx.sql(sql!(
        "SELECT f.id, f.number, f.object_type FROM image_find l JOIN find f ON f.id = l.find_id
         WHERE l.image_id = $1 ORDER BY f.sort_key, f.id"
    ))
    .bind(image.0)
    .all()
    .await
}

/// Notes that a photograph shows a find, last in its order; `false` when that was known.
pub async fn insert_find(tx: &mut Tx, image: ImageId, find: FindId) -> Result<bool> {
    let touched = tx
        .sql(sql!(
            "INSERT INTO image_find (image_id, find_id, position)
             VALUES ($1, $2, (SELECT COALESCE(MAX(position), 0) + 1 FROM image_find WHERE find_id = $3))
             ON CONFLICT (find_id, image_id) DO NOTHING"
        ))
        .bind(image.0)
        .bind(find.0)
        .bind(find.0)
        .run()
        .await?;
    Ok(touched == 1)
}

/// A photograph does not show a find after all.
pub async fn delete_find(tx: &mut Tx, image: ImageId, find: FindId) -> Result<()> {
    tx.sql(sql!("DELETE FROM image_find WHERE image_id = $1 AND find_id = $2"))
        .bind(image.0)
        .bind(find.0)
        .run()
        .await?;
    Ok(())
}

/// Puts the photographs of a find into this order. Withdrawn ones, which are not in the list, keep their places.
pub async fn update_order(tx: &mut Tx, find: FindId, order: &[ImageId]) -> Result<()> {
    for (position, image) in (1i64..).zip(order) {
        tx.sql(sql!("UPDATE image_find SET position = $3 WHERE find_id = $1 AND image_id = $2"))
            .bind(find.0)
            .bind(image.0)
            .bind(position)
            .run()
            .await?;
    }
    Ok(())
}

/// Gives a photograph new words; `Changed` when somebody else saved since `revision`.
pub async fn update_words(tx: &mut Tx, id: ImageId, words: &ImageWords, revision: i64) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE image SET caption = $3, view = $4, light = $5, credit = $6, moment = $7, scale_mm = $8,
                revision = revision + 1
             WHERE id = $1 AND revision = $2"
        ))
        .bind(id.0)
        .bind(revision)
        .bind(words.caption.clone())
        .bind(words.view.clone())
        .bind(words.light.clone())
        .bind(words.credit.clone())
        .bind(words.moment.clone())
        .bind(words.scale_mm)
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// Takes a photograph out of sight at that moment, or brings it back; the file stays.
pub async fn update_withdrawn(tx: &mut Tx, id: ImageId, at: Option<Instant>, reason: &str) -> Result<()> {
    tx.sql(sql!(
        "UPDATE image SET withdrawn_at = $2, withdrawn_reason = $3, revision = revision + 1 WHERE id = $1"
    ))
    .bind(id.0)
    .bind(at.map(domain::cut))
    .bind(reason.to_owned())
    .run()
    .await?;
    Ok(())
}

/// Notes that photographs belong to a record of work.
pub async fn insert_of_record(tx: &mut Tx, record: RecordId, images: &[ImageId]) -> Result<()> {
    for image in images {
        tx.sql(sql!("INSERT INTO image_record (image_id, record_id) VALUES ($1, $2) ON CONFLICT (record_id, image_id) DO NOTHING"))
            .bind(image.0)
            .bind(record.0)
            .run()
            .await?;
    }
    Ok(())
}

/// The photographs of a find that belong to its records, record by record, without the withdrawn ones.
pub async fn list_of_records(tx: &mut Tx, find: FindId) -> Result<Vec<OfRecord>> {
    tx.sql(sql!(
        "SELECT r.record_id AS record, i.id AS image, i.caption, i.width_px, i.height_px, i.light
         FROM image_find l JOIN image i ON i.id = l.image_id JOIN image_record r ON r.image_id = i.id
         WHERE l.find_id = $1 AND i.withdrawn_at IS NULL ORDER BY l.position, i.id"
    ))
    .bind(find.0)
    .all()
    .await
}

impl Image {
    /// Whether it is an X-ray: the plate of an examination, or said to be one.
    pub fn is_xray(&self) -> bool {
        self.is_plate || Light::of_words(&self.light) == Light::Xray
    }

    /// What people say about it.
    pub fn words(&self) -> ImageWords {
        ImageWords {
            caption: self.caption.clone(),
            view: self.view.clone(),
            light: self.light.clone(),
            credit: self.credit.clone(),
            moment: self.moment.clone(),
            scale_mm: self.scale_mm,
        }
    }
}

/// Where the file store keeps the original of a photograph.
pub async fn find_checksum(tx: &mut Tx, id: ImageId) -> Result<Option<String>> {
    tx.sql(sql!("SELECT sha256 FROM image WHERE id = $1")).bind(id.0).cell().await
}
