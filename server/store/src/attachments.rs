//! PDF and drawings that belong to finds: kept byte for byte, handed out as files.
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{AttachmentId, FindId, PersonId, ProjectId};
use domain::permission::{Action, Actor};
use domain::review::share::Share;
use uuid::Uuid;

/// An attachment to be kept; its file is stored already.
#[derive(Debug, Clone)]
pub struct NewAttachment {
    pub project: ProjectId,
    /// SHA-256 of the file, 64 hexadecimal digits.
    pub sha256: String,
    pub file_name: String,
    /// `pdf` or `svg`, by its bytes.
    pub kind: String,
    pub bytes: i64,
    pub title: String,
    /// Tells where things were found.
    pub findspot: bool,
}

/// An attachment as kept.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Attachment {
    #[sqlx(try_from = "Uuid")]
    pub id: AttachmentId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub sha256: String,
    pub file_name: String,
    pub kind: String,
    pub bytes: i64,
    pub title: String,
    pub findspot: bool,
    pub uploaded_by: String,
    pub uploaded_at: Instant,
    pub withdrawn_at: Option<Instant>,
    /// Empty unless withdrawn.
    pub withdrawn_reason: String,
    /// How many finds it belongs to, whoever may see them.
    pub finds: i64,
}

/// Keeps an attachment. The same file again in the project gives the one that is there, and `false`.
pub async fn insert(
    tx: &mut Tx,
    new: &NewAttachment,
    by: PersonId,
    now: Instant,
) -> Result<(AttachmentId, bool)> {
    let touched = tx
        .sql(sql!(
            "INSERT INTO attachment (id, project_id, sha256, file_name, kind, bytes, title, findspot, uploaded_by,
                uploaded_at, withdrawn_reason)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, '') ON CONFLICT (project_id, sha256) DO NOTHING"
        ))
        .bind(AttachmentId::new(now).0)
        .bind(new.project.0)
        .bind(new.sha256.clone())
        .bind(new.file_name.clone())
        .bind(new.kind.clone())
        .bind(new.bytes)
        .bind(new.title.clone())
        .bind(new.findspot)
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    let id: Option<Uuid> = tx
        .sql(sql!("SELECT id FROM attachment WHERE project_id = $1 AND sha256 = $2"))
        .bind(new.project.0)
        .bind(new.sha256.clone())
        .cell()
        .await?;
    Ok((AttachmentId(id.ok_or(StoreError::Dangling)?), touched == 1))
}

/// The attachment, if this person may see it: when one of its finds is visible to them with its pictures, or, while it belongs to none,
/// when they may upload. One that tells the findspot is for those who may know it.
pub async fn find_visible(tx: &mut Tx, actor: &Actor, id: AttachmentId) -> Result<Option<Attachment>> {
    let found: Option<Attachment> = tx
        .sql(sql!(
            "SELECT a.id, a.project_id, a.sha256, a.file_name, a.kind, a.bytes, a.title, a.findspot,
                p.name AS uploaded_by, a.uploaded_at, a.withdrawn_at, a.withdrawn_reason,
                (SELECT COUNT(*) FROM attachment_find n WHERE n.attachment_id = a.id) AS finds
             FROM attachment a JOIN person p ON p.id = a.uploaded_by WHERE a.id = $1"
        ))
        .bind(id.0)
        .opt()
        .await?;
    let Some(found) = found else { return Ok(None) };
    if found.findspot && !actor.sees_findspot(found.project_id) {
        return Ok(None);
    }
    if found.finds == 0 {
        return Ok(Some(found).filter(|found| actor.may(Action::UploadImages, found.project_id)));
    }
    for find in list_finds(tx, id).await? {
        let seen = crate::finds::find_visible(tx, actor, find).await?;
        if seen.is_some_and(|find| find.seen.has(Share::Images)) {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

/// The attachments of a find, withdrawn ones among them, the oldest first.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Attachment>> {
    tx.sql(sql!(
        "SELECT a.id, a.project_id, a.sha256, a.file_name, a.kind, a.bytes, a.title, a.findspot, p.name AS uploaded_by,
            a.uploaded_at, a.withdrawn_at, a.withdrawn_reason, CAST(1 AS BIGINT) AS finds
         FROM attachment_find l JOIN attachment a ON a.id = l.attachment_id JOIN person p ON p.id = a.uploaded_by
         WHERE l.find_id = $1 ORDER BY a.uploaded_at, a.file_name, a.id"
    ))
    .bind(find.0)
    .all()
    .await
}

/// The attachments of a project that belong to no find yet, the oldest first, at most so many.
pub async fn list_in_tray(tx: &mut Tx, project: ProjectId, most: i64) -> Result<Vec<Attachment>> {
    tx.sql(sql!(
        "SELECT a.id, a.project_id, a.sha256, a.file_name, a.kind, a.bytes, a.title, a.findspot, p.name AS uploaded_by,
            a.uploaded_at, a.withdrawn_at, a.withdrawn_reason, CAST(0 AS BIGINT) AS finds
         FROM attachment a JOIN person p ON p.id = a.uploaded_by
         WHERE a.project_id = $1 AND a.withdrawn_at IS NULL
            AND NOT EXISTS (SELECT 1 FROM attachment_find n WHERE n.attachment_id = a.id)
         ORDER BY a.uploaded_at, a.file_name, a.id LIMIT $2"
    ))
    .bind(project.0)
    .bind(most)
    .all()
    .await
}

/// Every find an attachment belongs to, whoever may see it.
pub async fn list_finds(tx: &mut Tx, id: AttachmentId) -> Result<Vec<FindId>> {
    let rows: Vec<OfFind> = tx
        .sql(sql!("SELECT find_id FROM attachment_find WHERE attachment_id = $1 ORDER BY find_id"))
        .bind(id.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| row.find_id).collect())
}

#[derive(sqlx::FromRow)]
struct OfFind {
    #[sqlx(try_from = "Uuid")]
    find_id: FindId,
}

/// Notes that an attachment belongs to a find; `false` when that was known.
pub async fn insert_find(tx: &mut Tx, id: AttachmentId, find: FindId) -> Result<bool> {
    let touched = tx
        .sql(sql!(
            "INSERT INTO attachment_find (attachment_id, find_id) VALUES ($1, $2)
             ON CONFLICT (find_id, attachment_id) DO NOTHING"
        ))
        .bind(id.0)
        .bind(find.0)
        .run()
        .await?;
    Ok(touched == 1)
}

/// Takes an attachment out of reach at that moment, or brings it back; the file stays.
pub async fn update_withdrawn(
    tx: &mut Tx,
    id: AttachmentId,
    at: Option<Instant>,
    reason: &str,
) -> Result<()> {
    tx.sql(sql!("UPDATE attachment SET withdrawn_at = $2, withdrawn_reason = $3 WHERE id = $1"))
        .bind(id.0)
        .bind(at.map(domain::cut))
        .bind(reason.to_owned())
        .run()
        .await?;
    Ok(())
}

/// Why an attachment was withdrawn; nothing when it is in reach.
pub async fn find_withdrawal(tx: &mut Tx, id: AttachmentId) -> Result<Option<String>> {
    tx.sql(sql!("SELECT withdrawn_reason FROM attachment WHERE id = $1 AND withdrawn_at IS NOT NULL"))
        .bind(id.0)
        .cell()
        .await
}
