//! Which photographs a person may see.
use super::{Image, list_of_find};
use crate::finds::Find;
use crate::{Result, Tx, sql};
use domain::ids::ImageId;
use domain::permission::{Action, Actor};
use uuid::Uuid;

/// The photograph, if this person may see it: when one of its finds is visible to them (as
/// [`find_visible`](crate::finds::find_visible) has it), none that it shows besides is restricted from them, and pictures of its
/// kind are shared; or, while it shows no find, when they may upload photographs.
pub async fn find_visible(tx: &mut Tx, actor: &Actor, id: ImageId) -> Result<Option<Image>> {
    let image: Option<Image> = tx
        .sql(sql!(
            "SELECT i.id, i.project_id, pr.code AS project_code, i.sha256, i.file_name, i.media_type, i.bytes, i.width_px,
                i.height_px, i.taken_at, i.camera, i.has_position, i.caption, i.view, i.light, i.credit, i.moment, i.scale_mm,
                p.name AS uploaded_by, i.uploaded_at, i.withdrawn_at, i.withdrawn_reason, i.revision,
            EXISTS (SELECT 1 FROM examination e WHERE e.plate_image_id = i.id) AS is_plate,
                (SELECT COUNT(*) FROM image_find n WHERE n.image_id = i.id) AS finds
             FROM image i JOIN project pr ON pr.id = i.project_id JOIN person p ON p.id = i.uploaded_by
             WHERE i.id = $1"
        ))
        .bind(id.0)
        .opt()
        .await?;
    let Some(image) = image else { return Ok(None) };
    if image.finds == 0 {
        return Ok(Some(image).filter(|image| actor.may(Action::UploadImages, image.project_id)));
    }
    let seen: Option<bool> = tx
        .sql(sql!(
            "SELECT EXISTS (SELECT 1 FROM image_find l JOIN find f ON f.id = l.find_id WHERE l.image_id = $1 AND (
                (EXISTS (SELECT 1 FROM membership s WHERE s.project_id = f.project_id AND s.person_id = $2
                         AND s.role NOT IN ('specialist', 'reader'))
                 AND (NOT f.restricted OR EXISTS (SELECT 1 FROM clearance r WHERE r.project_id = f.project_id
                         AND r.person_id = $2 AND r.kind = 'restricted')))
                OR EXISTS (SELECT 1 FROM shared_find s WHERE s.find_id = f.id AND s.specialist_id = $2
                         AND ((s.xrays AND $3) OR (s.images AND NOT $3)))))
             AND NOT EXISTS (SELECT 1 FROM image_find l JOIN find f ON f.id = l.find_id
                WHERE l.image_id = $1 AND f.restricted
                    AND NOT EXISTS (SELECT 1 FROM clearance r WHERE r.project_id = f.project_id
                         AND r.person_id = $2 AND r.kind = 'restricted')
                    AND NOT EXISTS (SELECT 1 FROM shared_find s WHERE s.find_id = f.id AND s.specialist_id = $2))"
        ))
        .bind(id.0)
        .bind(actor.person.0)
        .bind(image.is_xray())
        .cell()
        .await?;
    Ok(Some(image).filter(|_| seen.unwrap_or(false)))
}

/// The photographs of a find that the person sees who asked for it, in their order, without the withdrawn ones.
pub async fn list_seen(tx: &mut Tx, find: &Find) -> Result<Vec<Image>> {
    let mut images = list_of_find(tx, find.id).await?;
    let hidden = list_hidden(tx, find).await?;
    images.retain(|image| find.seen.shows(image.is_xray()) && !hidden.contains(&image.id));
    Ok(images)
}

/// The photographs of a find that show a restricted one besides which its reader may not see.
pub async fn list_hidden(tx: &mut Tx, find: &Find) -> Result<Vec<ImageId>> {
    let Some(person) = find.seen.by() else { return Ok(Vec::new()) };
    let rows: Vec<(Uuid,)> = tx
        .sql(sql!(
            "SELECT DISTINCT l.image_id FROM image_find l JOIN image_find n ON n.image_id = l.image_id
             JOIN find f ON f.id = n.find_id
             WHERE l.find_id = $1 AND f.restricted
                AND NOT EXISTS (SELECT 1 FROM clearance r WHERE r.project_id = f.project_id
                     AND r.person_id = $2 AND r.kind = 'restricted')
                AND NOT EXISTS (SELECT 1 FROM shared_find s WHERE s.find_id = f.id AND s.specialist_id = $2)"
        ))
        .bind(find.id.0)
        .bind(person.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|(id,)| ImageId(id)).collect())
}
