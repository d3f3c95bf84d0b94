//! What a specialist takes away to work without a line: photographs, a list of the finds, the template.
use super::About;
use super::spreadsheet::{Filling, workbook};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::finds::harmless;
use crate::images::file::jpeg;
use crate::links;
use crate::path::Path;
use axum::body::{Body, Bytes};
use axum::http::header;
use axum::response::IntoResponse;
use domain::ids::AssignmentId;
use media::{Checksum, Variant};
use std::io::{self, Read, Seek, Write};
use store::finds::Find;
use store::images::Image;
use zip::CompressionMethod;
use zip::write::{SimpleFileOptions, ZipWriter};

/// Photographs of one package, in bytes: what a slow line brings in a night.
const MOST_BYTES: usize = 2_000_000_000;
/// Bytes sent at a time.
const PIECE: usize = 65_536;

/// A photograph of the package: where it lies, and what is said of it.
struct Shot {
    path: String,
    find: String,
    image: Image,
}

pub(super) async fn show(ctx: Ctx, Path((id, code)): Path<(AssignmentId, String)>) -> Answer {
    let mut tx = ctx.read().await?;
    let about = About::load(&ctx, &mut tx, id, &code).await?;
    let rows = about.draft(&mut tx).await?.typed.in_columns(&about.discipline.columns);
    let mut finds = Vec::with_capacity(about.finds.len());
    let mut shots = Vec::new();
    for asked in &about.finds {
        // gone while the list was read
        let Some(find) = store::finds::find_visible(&mut tx, &ctx.actor, asked.id).await? else { continue };
        for (at, image) in (1..).zip(store::images::list_seen(&mut tx, &find).await?) {
            let path = format!("photographs/{}-{at}.jpg", plain(&find.number));
            shots.push(Shot { path, find: find.number.clone(), image });
        }
        finds.push(find);
    }
    drop(tx);
    let filling = Filling::of(&about, rows);
    let template = ctx.app.press.print(move || workbook(&filling)).await?;
    let parts = [
        ("read me.txt".to_owned(), read_me(&ctx, &about).into_bytes()),
        (Filling::name(&about), template),
        ("finds.csv".to_owned(), finds_csv(&finds).map_err(AppError::inside)?),
        ("photographs.csv".to_owned(), shots_csv(&shots).map_err(AppError::inside)?),
    ];
    let (send, receive) = tokio::sync::mpsc::channel::<(String, Bytes)>(2);
    let writing = tokio::task::spawn_blocking(move || packed(receive));
    for (name, bytes) in parts {
        send.send((name, bytes.into())).await.map_err(AppError::inside)?;
    }
    let mut total = 0;
    for shot in &shots {
        let checksum: Checksum = shot.image.sha256.parse().map_err(AppError::inside)?;
        let bytes = jpeg(&ctx, checksum, Variant::Large).await?;
        total += bytes.len();
        if total > MOST_BYTES {
            let words = "The photographs are more than 2 GB together. Take them find by find, and the template alone.";
            return Err(AppError::Unreadable(words.into()));
        }
        send.send((shot.path.clone(), bytes)).await.map_err(AppError::inside)?;
    }
    drop(send);
    let file = writing.await.map_err(AppError::inside)?.map_err(AppError::inside)?;
    sent(file, &format!("{}-{}.zip", about.assignment.project_code, about.discipline.code))
}

/// Writes the parts as they come, on a thread that may wait for the disk.
fn packed(mut parts: tokio::sync::mpsc::Receiver<(String, Bytes)>) -> io::Result<std::fs::File> {
    let mut zip = ZipWriter::new(tempfile::tempfile()?);
    let deflated = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    // a photograph does not get smaller a second time
    let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    while let Some((name, bytes)) = parts.blocking_recv() {
        let options = if name.ends_with(".jpg") { stored } else { deflated };
        zip.start_file(name, options)?;
        zip.write_all(&bytes)?;
    }
    let mut file = zip.finish()?;
    file.rewind()?;
    Ok(file)
}

fn sent(file: std::fs::File, name: &str) -> Answer {
    let length = file.metadata().map_err(AppError::inside)?.len();
    let pieces = futures_util::stream::try_unfold(file, |mut file| async move {
        let read = tokio::task::spawn_blocking(move || {
            let mut piece = vec![0; PIECE];
            let n = file.read(&mut piece)?;
            piece.truncate(n);
            Ok::<_, io::Error>((Bytes::from(piece), file))
        });
        let (piece, file) = read.await.map_err(io::Error::other)??;
        Ok::<_, io::Error>((!piece.is_empty()).then_some((piece, file)))
    });
    let headers = [
        (header::CONTENT_TYPE, "application/zip".to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
        (header::CONTENT_LENGTH, length.to_string()),
    ];
    Ok((headers, Body::from_stream(pieces)).into_response())
}

/// A find number as part of a file name.
fn plain(number: &str) -> String {
    number.chars().map(|c| if c.is_alphanumeric() || "-_.".contains(c) { c } else { '_' }).collect()
}

fn read_me(ctx: &Ctx, about: &About) -> String {
    let assignment = &about.assignment;
    format!(
        "{} ({})\n\n{}\n\nfinds.csv: the finds as registered.\nphotographs.csv: what each photograph shows. They are as \
         large as {} pixels a side; the originals are on the page of each find.\n{}: fill it in and send it back here:\n{}{}\n",
        assignment.project_name,
        assignment.project_code,
        assignment.question,
        Variant::Large.fit_px(),
        Filling::name(about),
        ctx.app.config.base_url,
        links::rows_of(assignment.id, &about.discipline.code),
    )
}

fn finds_csv(finds: &[Find]) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "Find",
        "Object",
        "Description",
        "Material group",
        "Context",
        "Pieces",
        "Mass g",
        "Caution",
        "Licence",
    ])?;
    for find in finds {
        let cells = [
            find.number.clone(),
            find.object_type.clone(),
            find.description.clone(),
            find.material_name.clone(),
            find.context_number.clone().unwrap_or_default(),
            find.quantity.to_string(),
            find.weight_g.map(|g| g.to_string()).unwrap_or_default(),
            find.caution.clone(),
            find.licence.clone(),
        ];
        writer.write_record(cells.map(harmless))?;
    }
    writer.into_inner().map_err(|cause| csv::Error::from(cause.into_error()))
}

fn shots_csv(shots: &[Shot]) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["File", "Find", "Caption", "View", "Light", "Photographer", "Scale mm"])?;
    for shot in shots {
        let words = shot.image.words();
        let scale = words.scale_mm.map(|mm| mm.to_string()).unwrap_or_default();
        let cells = [
            shot.path.clone(),
            shot.find.clone(),
            words.caption,
            words.view,
            words.light,
            words.credit,
            scale,
        ];
        writer.write_record(cells.map(harmless))?;
    }
    writer.into_inner().map_err(|cause| csv::Error::from(cause.into_error()))
}
