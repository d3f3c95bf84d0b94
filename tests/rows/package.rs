//! The package to take away holds what is shared and nothing else.
use super::path;
use domain::ids::{FindId, ImageId};
use domain::permission::Role;
use domain::review::share::{Share, Shares};
use std::io::{Cursor, Read};
use store::images::{ImageWords, NewImage};
use tests::on_both_engines;
use tests::support::{Lab, noon};

async fn picture(lab: &Lab, find: FindId, digit: &str, light: &str) -> ImageId {
    let sha256 = digit.repeat(64);
    let print = lab.app.files.put_derived(
        sha256.parse().unwrap(),
        media::Variant::Large,
        format!("print {digit}").into_bytes(),
    );
    print.await.unwrap();
    let mut tx = lab.site.db.write().await.unwrap();
    let new = NewImage {
        project: lab.site.project,
        sha256,
        file_name: "a.jpg".into(),
        media_type: "image/jpeg".into(),
        bytes: 1,
        width_px: 1,
        height_px: 1,
        taken_at: String::new(),
        camera: String::new(),
        has_position: true,
        words: ImageWords {
            caption: format!("Caption {digit}"),
            light: light.into(),
            ..ImageWords::default()
        },
    };
    let (id, _) =
        store::images::insert(&mut tx, &new, lab.site.person(Role::Photographer), noon()).await.unwrap();
    store::images::insert_find(&mut tx, id, find).await.unwrap();
    tx.commit().await.unwrap();
    id
}

fn text(zip: &mut zip::ZipArchive<Cursor<Vec<u8>>>, name: &str) -> String {
    let mut text = String::new();
    zip.by_name(name).unwrap().read_to_string(&mut text).unwrap();
    text
}

on_both_engines! {
    async fn a_package_holds_photographs_finds_and_template_as_far_as_they_are_shared(lab: Lab) {
        let first = lab.site.find("12").material("ceramic").object("jug").add().await;
        let second = lab.site.find("13").material("ceramic").object("bowl").restricted().add().await;
        picture(&lab, first, "1", "visible").await;
        picture(&lab, first, "2", "X-ray").await;
        picture(&lab, second, "3", "visible").await;
        let shares = Shares::default().with(Share::Images, true);
        let assignment = lab.site.assign_sharing(&[first, second], shares).await;
        let mut sabine = lab.sign_in(Role::Specialist).await;
        let package = sabine.get(&format!("{}/package.zip", path(assignment, "pottery"))).await;
        let mut zip = zip::ZipArchive::new(Cursor::new(package.body)).unwrap();
        let mut names: Vec<String> = zip.file_names().map(|name| name.unwrap().into_owned()).collect();
        names.sort();
        assert_eq!(names, ["VSQ31-pottery.xlsx", "finds.csv", "photographs.csv", "photographs/12-1.jpg", "read me.txt"]);
        assert_eq!(text(&mut zip, "photographs/12-1.jpg"), "print 1");
        let finds = text(&mut zip, "finds.csv");
        assert!(finds.contains("\n12,jug,") && !finds.contains("bowl"), "{finds}");
        assert!(text(&mut zip, "photographs.csv").contains("photographs/12-1.jpg,12,Caption 1,"));
        assert!(text(&mut zip, "read me.txt").contains(&path(assignment, "pottery")));
    }
}
