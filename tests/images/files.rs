//! The bytes that are handed out, and to whom.
use super::{photograph, picture, send};
use axum::http::{StatusCode, header};
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{FOREIGN, Lab, Site};

/// SHA-256 by the program of the operating system (GNU coreutils), not by ours.
fn sha256(bytes: &[u8]) -> String {
    let folder = tempfile::TempDir::new().unwrap();
    let file = folder.path().join("file");
    std::fs::write(&file, bytes).unwrap();
    let told = std::process::Command::new("sha256sum").arg(file).output().unwrap();
    String::from_utf8(told.stdout).unwrap().split(' ').next().unwrap().to_owned()
}

fn tells_position(file: &[u8]) -> bool {
    let read = exif::Reader::new().read_from_container(&mut std::io::Cursor::new(file));
    let in_exif = read.is_ok_and(|exif| exif.fields().any(|field| field.tag.context() == exif::Context::Gps));
    in_exif || file.windows(3).any(|word| word == b"GPS")
}

on_both_engines! {
    async fn the_original_goes_byte_for_byte_to_the_cleared_and_bare_to_others(lab: Lab) {
        let find = lab.site.find("61").material("iron").add().await;
        lab.site.assign(&[find]).await;
        lab.site.clear(Role::Lead).await;
        let original = picture("phone.jpg");
        assert!(tells_position(&original), "the picture of the test tells its position");
        let id = photograph(&lab, &mut lab.sign_in(Role::Photographer).await, find, &original).await;
        let path = format!("/images/{id}/original");
        let whole = lab.sign_in(Role::Lead).await.get(&path).await;
        assert_eq!(sha256(&whole.body), sha256(&original));
        let facts = lab.sign_in(Role::Lead).await.page(&format!("/images/{id}")).await.text(".facts");
        assert!(facts.contains(&sha256(&original)), "{facts}");
        for role in [Role::Conservator, Role::Specialist, Role::Photographer] {
            let bare = lab.sign_in(role).await.get(&path).await;
            assert_eq!(bare.status, StatusCode::OK);
            assert!(!tells_position(&bare.body), "{role:?}");
            assert_ne!(bare.headers[header::ETAG], whole.headers[header::ETAG]);
            let pixels = |file: &[u8]| image::load_from_memory(file).unwrap().to_rgb8();
            assert!(pixels(&bare.body) == pixels(&original), "the pixels are the same");
        }
        assert!(whole.headers[header::CONTENT_DISPOSITION].to_str().unwrap().starts_with("attachment;"));
    }

    async fn prints_are_pictures_without_position_and_may_be_kept(lab: Lab) {
        let find = lab.site.find("61").material("iron").add().await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        let id = photograph(&lab, &mut photographer, find, &picture("phone.jpg")).await;
        for size in ["thumb", "screen", "large"] {
            let print = photographer.get(&format!("/images/{id}/{size}")).await;
            assert_eq!(print.headers[header::CONTENT_TYPE], "image/jpeg");
            assert_eq!(print.headers["x-content-type-options"], "nosniff");
            assert_eq!(print.headers[header::CONTENT_DISPOSITION], "inline");
            let keep = print.headers[header::CACHE_CONTROL].to_str().unwrap();
            assert!(keep.starts_with("private") && keep.ends_with("immutable"), "{keep}");
            assert!(!tells_position(&print.body), "{size}");
            let tag = print.headers[header::ETAG].to_str().unwrap().to_owned();
            let known = [(header::IF_NONE_MATCH.as_str(), tag.as_str())];
            let again = photographer.send(axum::http::Method::GET, &format!("/images/{id}/{size}"), &known, Vec::new()).await;
            assert_eq!((again.status, again.body.len()), (StatusCode::NOT_MODIFIED, 0));
        }
        assert_eq!(photographer.get(&format!("/images/{id}/huge")).await.status, StatusCode::NOT_FOUND);
    }

    async fn a_photograph_of_another_project_is_not_there(lab: Lab) {
        let foreign = Site::named(&lab.site.db, FOREIGN).await;
        let find = lab.site.find("61").material("iron").add().await;
        let id = photograph(&lab, &mut lab.sign_in(Role::Photographer).await, find, &picture("find.png")).await;
        let mut stranger = lab.sign_in_as(foreign.person(Role::Lead)).await;
        for path in ["", "/thumb", "/original"] {
            let reply = stranger.get(&format!("/images/{id}{path}")).await;
            assert_eq!(reply.status, StatusCode::NOT_FOUND, "{path}");
        }
        let mut unassigned = lab.sign_in(Role::Specialist).await;
        assert_eq!(unassigned.get(&format!("/images/{id}/thumb")).await.status, StatusCode::NOT_FOUND);
    }

    async fn a_withdrawn_photograph_is_no_longer_handed_out(lab: Lab) {
        let find = lab.site.find("61").material("iron").add().await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        let file = picture("find.png");
        let id = photograph(&lab, &mut photographer, find, &file).await;
        let path = format!("/images/{id}/withdrawal");
        assert_eq!(photographer.post(&path, &[("reason", "")]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        photographer.post(&path, &[("reason", "shows the wrong find")]).await;
        assert_eq!(photographer.get(&format!("/images/{id}/screen")).await.status, StatusCode::NOT_FOUND);
        assert!(photographer.page(&format!("/images/{id}")).await.text(".caution").contains("shows the wrong find"));
        assert_eq!(lab.sign_in(Role::Manager).await.get(&format!("/images/{id}")).await.status, StatusCode::NOT_FOUND);
        let again = send(&mut photographer, find, &[("again.png", &file)]).await;
        assert!(again.text(".wrong li").contains("was withdrawn: shows the wrong find"));
    }

    async fn a_bomb_is_refused_and_leaves_nothing(lab: Lab) {
        // a PNG header that claims 30 000 by 30 000 pixels over a few bytes
        let mut bomb = picture("find.png");
        bomb[16..20].copy_from_slice(&30_000_u32.to_be_bytes());
        bomb[20..24].copy_from_slice(&30_000_u32.to_be_bytes());
        let find = lab.site.find("61").material("iron").add().await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        let reply = send(&mut photographer, find, &[("bomb.png", &bomb)]).await;
        assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(reply.text(".wrong li").starts_with("bomb.png: "), "{}", reply.text(".wrong"));
        assert!(crate::images::kept(&lab.site, find).await.is_empty());
    }
}
