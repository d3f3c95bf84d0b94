//! Photographs are sent, described and put in order.
use super::{kept, photograph, picture, plain, send};
use axum::http::StatusCode;
use domain::permission::Role;
use pictures::Picture;
use std::time::{Duration, Instant};
use tests::on_both_engines;
use tests::support::{Engine, FOREIGN, Lab, Site, engines};

on_both_engines! {
    async fn of_five_files_three_are_kept_and_two_refused_by_name(lab: Lab) {
        let find = lab.site.find("61").material("iron").add().await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        let (phone, tif, png) = (picture("phone.jpg"), picture("find.tif"), picture("find.png"));
        let files: [(&str, &[u8]); 5] = [
            ("front.jpg", &phone),
            ("plan.pdf", b"%PDF-1.7"),
            ("back.tif", &tif),
            ("IMG_2.HEIC", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"),
            ("side.png", &png),
        ];
        let reply = send(&mut photographer, find, &files).await;
        assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY);
        let refused = reply.texts(".wrong li");
        assert_eq!(refused.len(), 2, "{refused:?}");
        assert!(refused[0].starts_with("plan.pdf: A PDF is not a picture."), "{refused:?}");
        assert!(refused[1].starts_with("IMG_2.HEIC: HEIC pictures cannot be opened here."), "{refused:?}");
        let names: Vec<String> = kept(&lab.site, find).await.into_iter().map(|image| image.file_name).collect();
        assert_eq!(names, ["front.jpg", "back.tif", "side.png"]);
        let page = photographer.page(&format!("/finds/{find}")).await;
        assert_eq!(page.count(".strip .thumb img"), 1);
        assert!(page.text(".journal").contains("added the photograph front.jpg"));
    }

    async fn words_too_long_beside_a_file_are_told_at_their_field_and_stay(lab: Lab) {
        let find = lab.site.find("61").material("iron").add().await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        let credit = "Ruben Ashgrove ".repeat(400);
        let path = format!("/finds/{find}/images");
        let reply = photographer.upload(&path, &[("credit", &credit)], &[("file", "front.png", &plain(1))]).await;
        assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(reply.text(".field:has(#credit)").contains("This is 5999 characters long; 200 fit."), "{}", reply.text("main"));
        assert_eq!(reply.attributes("#credit", "value"), [credit.trim()]);
        assert!(kept(&lab.site, find).await.is_empty(), "nothing half-done is kept");
    }

    async fn the_same_form_sent_twice_counts_once(lab: Lab) {
        let find = lab.site.find("61").material("iron").add().await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        let file = picture("find.png");
        photograph(&lab, &mut photographer, find, &file).await;
        let again = send(&mut photographer, find, &[("copy.png", &file)]).await;
        let told = photographer.follow(&again).await.text(".notice");
        assert!(told.contains("copy.png: This photograph is among those of 61 already."), "{told}");
        assert_eq!(kept(&lab.site, find).await.len(), 1);
    }

    async fn one_submission_that_arrives_twice_adds_nothing_the_second_time(lab: Lab) {
        let find = lab.site.find("61").material("iron").add().await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        let page = photographer.page(&format!("/finds/{find}/images")).await;
        let (path, fields) = page.form("form[enctype]");
        let submission = fields.iter().find(|(name, _)| name == "submission").unwrap().1.clone();
        for file in [plain(1), plain(2)] {
            let sent = [("submission", submission.as_str())];
            let reply = photographer.upload(&path, &sent, &[("file", "a.png", &file)]).await;
            assert_eq!(reply.location(), path);
        }
        assert_eq!(kept(&lab.site, find).await.len(), 1);
    }

    async fn one_photograph_may_show_two_finds(lab: Lab) {
        let (nail, rivet) = (lab.site.find("61").material("iron").add().await, lab.site.find("62").material("iron").add().await);
        let mut photographer = lab.sign_in(Role::Photographer).await;
        let id = photograph(&lab, &mut photographer, nail, &picture("find.png")).await;
        let wrong = photographer.post(&format!("/images/{id}/finds"), &[("numbers", "62, 999")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        let right = photographer.post(&format!("/images/{id}/finds"), &[("numbers", "62")]).await;
        assert_eq!(right.status, StatusCode::SEE_OTHER);
        assert_eq!(kept(&lab.site, rivet).await[0].id, id);
        let page = photographer.page(&format!("/finds/{rivet}/images")).await;
        assert!(page.text(".plates").contains("Shows also 61"));
        photographer.post(&format!("/images/{id}/finds/{nail}/removal"), &[]).await;
        assert!(kept(&lab.site, nail).await.is_empty());
        let last = photographer.post(&format!("/images/{id}/finds/{rivet}/removal"), &[]).await;
        assert_eq!(last.status, StatusCode::UNPROCESSABLE_ENTITY, "the last find stays");
    }

    async fn buttons_change_the_order(lab: Lab) {
        let find = lab.site.find("61").material("iron").add().await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        let first = photograph(&lab, &mut photographer, find, &plain(1)).await;
        let second = photograph(&lab, &mut photographer, find, &plain(2)).await;
        let fields = [("image", &*second.to_string()), ("to", "forward")].map(|(n, v)| (n, v.to_owned()));
        let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (*n, v.as_str())).collect();
        photographer.post(&format!("/finds/{find}/images/order"), &fields).await;
        let order: Vec<_> = kept(&lab.site, find).await.into_iter().map(|image| image.id).collect();
        assert_eq!(order, [second, first]);
    }

    async fn who_may_not_upload_is_refused(lab: Lab) {
        let foreign = Site::named(&lab.site.db, FOREIGN).await;
        let find = lab.site.find("61").material("iron").add().await;
        lab.site.assign(&[find]).await;
        for (mut visitor, expected) in [
            (lab.sign_in(Role::Specialist).await, StatusCode::FORBIDDEN),
            (lab.sign_in(Role::Manager).await, StatusCode::FORBIDDEN),
            (lab.sign_in_as(foreign.person(Role::Lead)).await, StatusCode::NOT_FOUND),
        ] {
            assert_eq!(send(&mut visitor, find, &[("a.png", &plain(1))]).await.status, expected);
        }
        assert!(kept(&lab.site, find).await.is_empty());
    }

    async fn a_form_with_a_foreign_token_leaves_nothing(lab: Lab) {
        let find = lab.site.find("61").material("iron").add().await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        photographer.token = "not-the-token".into();
        assert_eq!(send(&mut photographer, find, &[("a.png", &plain(1))]).await.status, StatusCode::FORBIDDEN);
        assert!(kept(&lab.site, find).await.is_empty());
    }
}

/// On SQLite, where one writer keeps others waiting.
#[test]
fn an_upload_does_not_hold_up_other_requests() {
    engines::run(Engine::Sqlite, async |lab: Lab| {
        let find = lab.site.find("61").material("iron").add().await;
        let mut photographer = lab.sign_in(Role::Photographer).await;
        let row: Vec<u8> = (0..6000).flat_map(|x| [(x % 251) as u8, (x % 241) as u8, 60]).collect();
        let large = Picture { width: 6000, height: 4000, rgb: row.repeat(4000) };
        let file = pictures::jpeg(&large, 75, None);
        let upload =
            tokio::spawn(async move { send(&mut photographer, find, &[("large.jpg", &file)]).await });
        let mut conservator = lab.sign_in(Role::Conservator).await;
        let mut slowest = Duration::ZERO;
        let mut asked = 0;
        while !upload.is_finished() && asked < 200 {
            let begun = Instant::now();
            conservator.page(&format!("/finds/{find}")).await;
            slowest = slowest.max(begun.elapsed());
            asked += 1;
            tokio::time::sleep(Duration::from_millis(10)).await;
        }
        assert_eq!(upload.await.unwrap().status, StatusCode::SEE_OTHER);
        assert!(asked > 1, "the upload was over at once");
        assert!(slowest < Duration::from_secs(2), "a page took {slowest:?} beside an upload");
    });
}
