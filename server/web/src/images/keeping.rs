//! A file that has arrived: looked at, kept, told to the journal, sorted to its finds.
use super::reception::{Aim, Reception, Told, sentence};
use super::sorting::{self, Sorted};
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::work::enter::find_entry;
use domain::ids::ProjectId;
use media::{Arrived, Document, Photograph};
use store::Tx;
use store::attachments::{self, NewAttachment};
use store::finds::Find;
use store::images::{ImageWords, NewImage};
use store::journal::{self, Entry};

/// Looks at a file and keeps it, or says why not.
pub(super) async fn look(
    reception: &mut Reception<'_>,
    name: &str,
    words: ImageWords,
    arrived: Arrived,
) -> Answer<Result<(), String>> {
    let files = &reception.ctx.app.files;
    let document = match arrived.document().await {
        Ok(document) => document,
        Err(cause) => return Ok(Err(sentence(&cause))),
    };
    match (reception.aim, document) {
        (Aim::Documents(_) | Aim::Sorted { .. }, Some(kind)) => match arrived.keep().await {
            Ok(stored) => keep_document(reception, name, kind, stored).await,
            Err(cause) => Ok(Err(sentence(&cause))),
        },
        (Aim::Documents(_), None) => Ok(Err(
            "Only PDF and drawings as SVG are attached here. Photographs go to the photographs.".into(),
        )),
        _ => match reception.ctx.app.darkroom.admit(files, arrived).await {
            Ok(photograph) => keep_photograph(reception, name, words, &photograph).await,
            Err(cause) => Ok(Err(sentence(&cause))),
        },
    }
}

/// The finds a file belongs to, with what its name tells; none: it waits in the tray.
async fn sort(reception: &Reception<'_>, tx: &mut Tx, name: &str, words: ImageWords) -> Answer<Sorted> {
    match reception.aim {
        Aim::Photographs(find) | Aim::Documents(find) => Ok(Sorted { finds: vec![find.clone()], words }),
        Aim::Sorted { project, code } => {
            sorting::by_name(reception.ctx, tx, (project, code), name, words).await
        }
    }
}

fn project_of(reception: &Reception<'_>) -> ProjectId {
    match reception.aim {
        Aim::Photographs(find) | Aim::Documents(find) => find.project_id,
        Aim::Sorted { project, .. } => project,
    }
}

async fn keep_photograph(
    reception: &mut Reception<'_>,
    name: &str,
    words: ImageWords,
    photograph: &Photograph,
) -> Answer<Result<(), String>> {
    let ctx = reception.ctx;
    let mut tx = ctx.write().await?;
    let Sorted { finds, words } = sort(reception, &mut tx, name, words).await?;
    let new = new_image(project_of(reception), name, photograph, words);
    let (id, fresh) = store::images::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    if let Some(reason) = store::images::find_withdrawal(&mut tx, id).await? {
        return Ok(Err(format!(
            "This photograph was withdrawn: {reason}. It stays out of sight until it is brought back."
        )));
    }
    let mut attached = Vec::new();
    for find in &finds {
        if store::images::insert_find(&mut tx, id, find.id).await? {
            attached.push(find);
        }
    }
    tell(
        ctx,
        &mut tx,
        new.project,
        &attached,
        ("photographed", format!("added the photograph {name}")),
        fresh,
    )
    .await?;
    tx.commit().await?;
    note(reception, name, fresh, &finds, attached.len(), links::image_page(id));
    Ok(Ok(()))
}

async fn keep_document(
    reception: &mut Reception<'_>,
    name: &str,
    kind: Document,
    stored: media::Stored,
) -> Answer<Result<(), String>> {
    let ctx = reception.ctx;
    let mut tx = ctx.write().await?;
    let Sorted { finds, .. } = sort(reception, &mut tx, name, ImageWords::default()).await?;
    let new = NewAttachment {
        project: project_of(reception),
        sha256: stored.checksum.to_string(),
        file_name: name.to_owned(),
        kind: kind.ending().into(),
        bytes: i64::try_from(stored.size_bytes).unwrap_or(i64::MAX),
        title: reception.typed.title.clone(),
        findspot: reception.typed.findspot == "yes",
    };
    let (id, fresh) = attachments::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    if let Some(reason) = attachments::find_withdrawal(&mut tx, id).await? {
        return Ok(Err(format!(
            "This file was withdrawn: {reason}. It stays out of reach until it is brought back."
        )));
    }
    let mut attached = Vec::new();
    for find in &finds {
        if attachments::insert_find(&mut tx, id, find.id).await? {
            attached.push(find);
        }
    }
    tell(ctx, &mut tx, new.project, &attached, ("attached", format!("attached the file {name}")), fresh)
        .await?;
    tx.commit().await?;
    note(reception, name, fresh, &finds, attached.len(), links::attachment(id));
    Ok(Ok(()))
}

/// Into the journal of every find the file was laid to, or of the project while it waits in the tray.
async fn tell(
    ctx: &Ctx,
    tx: &mut Tx,
    project: ProjectId,
    attached: &[&Find],
    (verb, words): (&'static str, String),
    fresh: bool,
) -> Answer<()> {
    let mut entries: Vec<Entry> =
        attached.iter().map(|find| find_entry(ctx, find, verb, words.clone())).collect();
    if entries.is_empty() && fresh {
        let words = format!("{words}; it waits in the tray");
        let by = Some(ctx.actor.person);
        entries.push(Entry { project: Some(project), find: None, context: None, verb, words, by });
    }
    Ok(journal::append_all(tx, &entries, ctx.now).await?)
}

/// Notes what became of the file for the answer.
fn note(
    reception: &mut Reception<'_>,
    name: &str,
    fresh: bool,
    finds: &[Find],
    attached: usize,
    href: String,
) {
    let answered = &mut reception.answered;
    if fresh {
        answered.added.push(name.to_owned());
        answered.in_tray += usize::from(finds.is_empty());
        return;
    }
    let numbers: Vec<&str> = finds.iter().map(|find| find.number.as_str()).collect();
    let numbers = numbers.join(", ");
    let what = if matches!(reception.aim, Aim::Photographs(_)) { "photograph" } else { "file" };
    let sentence = match (attached, finds.len()) {
        (_, 0) => format!("This {what} is in the project already. It is kept once."),
        (0, _) => format!("This {what} is among those of {numbers} already. It is kept once."),
        _ => format!("This {what} is in the project already. It is kept once and now shows {numbers} too."),
    };
    answered.known.push(Told { name: name.to_owned(), sentence, href: Some(href) });
}

fn new_image(project: ProjectId, name: &str, photograph: &Photograph, words: ImageWords) -> NewImage {
    let seen = &photograph.inspection;
    let (width, height) = seen.upright_px();
    let make = seen.camera_make.as_deref().unwrap_or_default();
    let model = seen.camera_model.as_deref().unwrap_or_default();
    // many models repeat the maker’s name
    let camera =
        if model.starts_with(make) { model.to_owned() } else { format!("{make} {model}").trim().to_owned() };
    NewImage {
        project,
        sha256: photograph.checksum.to_string(),
        file_name: name.to_owned(),
        media_type: seen.kind.mime().to_owned(),
        bytes: i64::try_from(photograph.size_bytes).unwrap_or(i64::MAX),
        width_px: width.into(),
        height_px: height.into(),
        taken_at: seen.taken_at.map(|at| at.format("%Y-%m-%d %H:%M:%S").to_string()).unwrap_or_default(),
        camera,
        has_position: seen.has_position,
        words,
    }
}
