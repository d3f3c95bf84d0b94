//! What an assignment keeps back is out of reach: by page, image address, search, export and link.
use axum::http::StatusCode;
use domain::examination::{Examination, Method, Verdict};
use domain::ids::{FindId, ImageId};
use domain::permission::Role;
use domain::review::share::{Share, Shares};
use domain::stages::Stage;
use domain::work::Detail;
use store::images::{ImageWords, NewImage};
use store::work::records::NewRecord;
use tests::on_both_engines;
use tests::support::http::{Lab, Visitor};
use tests::support::site::day;
use tests::support::{Site, noon};
use web::links;

/// A photograph, and the plate of an X-ray that was examined.
async fn pictures(site: &Site, find: FindId) -> (ImageId, ImageId) {
    let mut tx = site.db.write().await.unwrap();
    let mut made = Vec::new();
    for (at, light) in ["raking", ""].into_iter().enumerate() {
        let new = NewImage {
            project: site.project,
            sha256: at.to_string().repeat(64),
            file_name: format!("{at}.jpg"),
            media_type: "image/jpeg".into(),
            bytes: 1,
            width_px: 1,
            height_px: 1,
            taken_at: String::new(),
            camera: String::new(),
            has_position: false,
            words: ImageWords { light: light.into(), ..ImageWords::default() },
        };
        let by = site.person(Role::Photographer);
        let (id, _) = store::images::insert(&mut tx, &new, by, noon()).await.unwrap();
        store::images::insert_find(&mut tx, id, find).await.unwrap();
        made.push(id);
    }
    let seen = Examination {
        plate_image: Some(made[1]),
        seen: "a hidden inlay".into(),
        ..Examination::by(Method::Xray, Verdict::Positive)
    };
    let record = NewRecord {
        project: site.project,
        stage: Stage::Examination,
        done_by: "O. Marchbank".into(),
        done_on: day(9, 1),
        method: String::new(),
        materials: String::new(),
        outcome: String::new(),
        note: String::new(),
        finished: true,
        standing: None,
        supersedes: None,
        detail: Detail::Examination(Box::new(seen)),
        finds: vec![(find, None)],
    };
    store::work::records::insert(&mut tx, &record, site.person(Role::Conservator), noon()).await.unwrap();
    tx.commit().await.unwrap();
    (made[0], made[1])
}

async fn status(visitor: &mut Visitor, path: &str) -> StatusCode {
    visitor.get(path).await.status
}

on_both_engines! {
    async fn what_is_not_shared_is_out_of_reach(site: Site) {
        // no number: ids and tokens of a page hold any
        let context = site.context("Quay 7").await;
        let find = site.find("88").material("iron").object("knife").in_context(context)
            .with(|f| { f.length_mm = Some(187.5); f.weight_g = Some(41.2); f.condition_note = "flaking tang".into(); }).add().await;
        let (photo, plate) = pictures(&site, find).await;
        site.assign_sharing(&[find], Shares::default()).await;
        let lab = Lab::of(site);
        let mut ilka = lab.sign_in(Role::Specialist).await;

        let own = format!("/finds/{find}");
        for path in [own.clone(), format!("{own}/opinion")] {
            let page = ilka.page(&path).await;
            assert!(page.source().contains("41.2 g"), "what the register says goes with the find");
            for kept_back in ["187.5", "flaking tang", "Quay 7", "hidden inlay", &photo.to_string(), &plate.to_string()] {
                assert!(!page.source().contains(kept_back), "{path} shows {kept_back}");
            }
        }
        assert!(!ilka.page("/my-finds").await.source().contains("Quay 7"));
        let closed = ["condition", "tests", "shots", "attachments"].map(|part| format!("{own}/{part}"));
        for path in closed.iter().chain(&[format!("/images/{photo}"), format!("/images/{plate}/thumb"), format!("/images/{photo}/original")]) {
            assert_eq!(status(&mut ilka, path).await, StatusCode::NOT_FOUND, "{path}");
        }

        lab.site.assign_sharing(&[find], [Share::Images, Share::Contexts].into_iter().collect()).await;
        let page = ilka.page(&own).await;
        assert!(page.source().contains("Quay 7") && page.source().contains(&photo.to_string()));
        assert!(!page.source().contains(&plate.to_string()) && !page.source().contains("hidden inlay"));
        assert_eq!(status(&mut ilka, &format!("/images/{photo}")).await, StatusCode::OK);
        assert_eq!(status(&mut ilka, &format!("/images/{plate}")).await, StatusCode::NOT_FOUND, "an X-ray is no photograph");

        lab.site.assign_sharing(&[find], Shares::ALL).await;
        let page = ilka.page(&own).await;
        for shared in ["187.5", "flaking tang", "hidden inlay", &plate.to_string()] {
            assert!(page.source().contains(shared), "shared: {shared}");
        }
        for path in ["finds", "finds.csv", "contexts", "specialists", "report"] {
            let path = format!("/projects/{}/{path}", lab.site.code);
            assert_eq!(status(&mut ilka, &path).await, StatusCode::FORBIDDEN, "{path}");
        }
    }

    async fn restricted_finds_stay_restricted_and_an_ended_sharing_shows_nothing(site: Site) {
        let urn = site.find("95").material("cremated_bone").object("urn spit").restricted().add().await;
        let plain = site.find("96").material("ceramic").object("urn").add().await;
        site.clear(Role::Manager).await;
        let assignment = site.assign_sharing(&[urn, plain], Shares::USUAL).await;
        let lab = Lab::of(site);
        let mut joss = lab.sign_in(Role::Specialist).await;
        assert_eq!(status(&mut joss, &format!("/finds/{urn}")).await, StatusCode::NOT_FOUND);
        let opinion = joss.page(&format!("/finds/{plain}/opinion")).await;
        let desk = joss.page("/my-finds").await;
        assert!(!opinion.source().contains("urn spit") && !desk.source().contains("urn spit"));

        let mut petra = lab.sign_in(Role::Manager).await;
        let form = format!("/projects/{}/assignments/new", lab.site.code);
        let (find, who) = (urn.to_string(), lab.site.person(Role::Specialist).to_string());
        let fields = [
            ("find", find.as_str()), ("specialist", &who), ("question", "How many?"), ("due_on", "2031-10-15"),
            ("aims", "Who was buried here?"), ("share", "measurements"), ("days", "4,5"), ("fee", "380"), ("fee_for", "day"),
        ];
        let refused = petra.post(&form, &fields).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text("main").contains("restricted") && refused.text("main").contains("in which currency"));
        assert!(refused.source().contains("Who was buried here?"), "what was typed stays");
        let mut fields = fields.to_vec();
        fields.extend([("share", "restricted"), ("currency", "EUR")]);
        assert_eq!(petra.post(&form, &fields).await.status, StatusCode::SEE_OTHER);
        joss.page(&format!("/finds/{urn}")).await;
        let list = petra.page(&format!("/projects/{}/specialists", lab.site.code)).await;
        assert!(list.text("main").contains("4.5 days, 380.00 EUR for each day"), "{}", list.text("main"));
        let letter: String = letters(&lab).await;
        assert!(letter.contains("4.5 days") && letter.contains("Who was buried here?") && letter.contains("restricted finds"));

        let closing = format!("/assignments/{assignment}/closing");
        petra.post(&closing, &[("sharing", "hide")]).await;
        assert_eq!(status(&mut joss, &format!("/finds/{plain}")).await, StatusCode::NOT_FOUND);
        joss.page(&format!("/finds/{urn}")).await;
    }

    async fn a_whole_filter_is_sent_at_once(site: Site) {
        for number in ["1", "2", "3"] {
            site.find(number).material("ceramic").object("bowl").add().await;
        }
        site.find("4").material("iron").add().await;
        let lab = Lab::of(site);
        let mut petra = lab.sign_in(Role::Manager).await;
        let page = petra.page(&format!("/projects/{}/assignments/new?material=ceramic&all=filter", lab.site.code)).await;
        assert_eq!(page.attributes("input[name=find]", "value").len(), 3);
        let none = petra.get(&format!("/projects/{}/assignments/new?material=lead&all=filter", lab.site.code)).await;
        assert!(none.status.is_redirection(), "nothing to send leads back to the list");
    }
}

/// The words of every letter that waits.
async fn letters(lab: &Lab) -> String {
    let mut tx = lab.site.db.write().await.unwrap();
    let far = noon() + chrono::Duration::days(300);
    let mut all = String::new();
    while let Some(letter) =
        store::letters::take_due(&mut tx, far, far + chrono::Duration::days(1)).await.unwrap()
    {
        all += &letter.body;
    }
    all
}

on_both_engines! {
    async fn who_may_not_read_opinions_reads_none_in_the_journal(lab: Lab) {
        let panel = lab.site.find("88").material("stone").object("panel").add().await;
        lab.site.assign(&[panel]).await;
        let mut ilka = lab.sign_in(Role::Specialist).await;
        crate::review::opine(&mut ilka, panel, "altarpiece", "late C14–mid C15", "submit").await;
        let (mut ansel, mut odile) = (lab.sign_in(Role::Photographer).await, lab.sign_in(Role::Conservator).await);
        for page in [links::find(panel), links::project(lab.site.code)] {
            assert!(!ansel.page(&page).await.source().contains("altarpiece"), "{page}");
            assert!(odile.page(&page).await.source().contains("submitted a preliminary opinion: altarpiece"), "{page}");
        }
    }

    async fn a_reader_sees_the_photographs_of_the_report_and_no_others(lab: Lab) {
        let (open, urn) = (lab.site.find("88").add().await, lab.site.find("95").restricted().add().await);
        lab.site.clear(Role::Photographer).await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        for (find, grey) in [(open, 90), (urn, 160)] {
            let file = crate::images::plain(grey);
            let sent = ansel.upload(&links::images_of_find(find), &[], &[("file", "front.png", &file)]).await;
            assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text("main"));
        }
        let mut maud = lab.sign_in(Role::Reader).await;
        let report = maud.page(&links::report(lab.site.code)).await;
        let pictures = report.attributes("figure img", "src");
        assert_eq!(pictures.len(), 1, "{pictures:?}");
        let picture = maud.get(&pictures[0]).await;
        assert_eq!((picture.status, &picture.body[..2]), (StatusCode::OK, &[0xff, 0xd8][..]));
        let hidden = ansel.page(&links::images_of_find(urn)).await.attributes("img", "src").remove(0);
        let hidden = hidden.split('/').nth(2).unwrap().to_owned();
        let asked = links::report_photograph(lab.site.code, &hidden);
        assert_eq!(maud.get(&asked).await.status, StatusCode::NOT_FOUND);
    }
}
