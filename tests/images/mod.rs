//! Photographs: taken in, shown, handed out.
mod attachments;
mod files;
mod shots;
mod sorting;
mod store;
mod upload;

use ::store::images::{Image, ImageWords, NewImage};
use axum::http::StatusCode;
use domain::ids::{FindId, ImageId};
use tests::support::{Lab, Reply, Site, Visitor};

/// A picture of the folder of media tests.
fn picture(name: &str) -> Vec<u8> {
    std::fs::read(format!("{}/media/pictures/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

/// A small picture unlike the others.
pub(crate) fn plain(shade: u8) -> Vec<u8> {
    let mut file = std::io::Cursor::new(Vec::new());
    let picture = image::RgbImage::from_pixel(64, 48, image::Rgb([shade, 90, 60]));
    picture.write_to(&mut file, image::ImageFormat::Png).unwrap();
    file.into_inner()
}

/// Sends files to a find.
async fn send(visitor: &mut Visitor, find: FindId, files: &[(&str, &[u8])]) -> Reply {
    let files: Vec<_> = files.iter().map(|(name, bytes)| ("file", *name, *bytes)).collect();
    visitor.upload(&format!("/finds/{find}/images"), &[("credit", "Ruben Ashgrove")], &files).await
}

/// The photographs of a find as the store has them.
async fn kept(site: &Site, find: FindId) -> Vec<Image> {
    ::store::images::list_of_find(&mut site.db.read().await.unwrap(), find).await.unwrap()
}

/// One photograph of a find, by way of the form.
async fn photograph(lab: &Lab, visitor: &mut Visitor, find: FindId, file: &[u8]) -> ImageId {
    let reply = send(visitor, find, &[("IMG_1.jpg", file)]).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
    kept(&lab.site, find).await.last().unwrap().id
}

/// A photograph for the store alone.
fn new_image(site: &Site, sha256: &str) -> NewImage {
    NewImage {
        project: site.project,
        sha256: sha256.into(),
        file_name: "IMG_1.jpg".into(),
        media_type: "image/jpeg".into(),
        bytes: 2_400_000,
        width_px: 6000,
        height_px: 4000,
        taken_at: "2031-05-03 10:20:30".into(),
        camera: "Invented 7".into(),
        has_position: true,
        words: ImageWords { credit: "Ruben Ashgrove".into(), ..ImageWords::default() },
    }
}
