//! A drop of many files goes to the finds by the numbers in their names; the rest waits in the tray.
use super::{kept, plain};
use axum::http::StatusCode;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{Lab, Reply, Visitor};

async fn drop(visitor: &mut Visitor, lab: &Lab, typed: &[(&str, &str)], files: &[(&str, &[u8])]) -> Reply {
    let files: Vec<_> = files.iter().map(|(name, bytes)| ("file", *name, *bytes)).collect();
    visitor.upload(&format!("/projects/{}/images/new", lab.site.code), typed, &files).await
}

const PDF: &[u8] = b"%PDF-1.7 of no page";

on_both_engines! {
    async fn files_go_to_the_finds_their_names_tell_and_the_rest_to_the_tray(lab: Lab) {
        let (sheath, panel) = (lab.site.find("61").add().await, lab.site.find("88").add().await);
        let urn = lab.site.find("95").restricted().add().await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        let shades: Vec<Vec<u8>> = (0..8).map(plain).collect();
        let files: Vec<(&str, &[u8])> = vec![
            ("VSQ31_61_front_before.png", &shades[0]),
            ("vsq31-88-uv.png", &shades[1]),
            ("VSQ31_61+88_after_2.png", &shades[2]),
            ("IMG_0061.PNG", &shades[3]),
            ("VSQ31_95_front.png", &shades[4]),
            ("VSQ31_777_front.png", &shades[5]),
            ("VSQ31_61_copy.png", &shades[0]),
            ("VSQ31_88_drawing.pdf", PDF),
        ];
        let reply = drop(&mut ansel, &lab, &[("scale_mm", "50"), ("moment", "during")], &files).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        let tray = ansel.follow(&reply).await;
        let told = tray.text(".notice");
        assert!(told.contains("4 files sorted") && told.contains("3 wait in the tray"), "{told}");
        assert!(told.contains("VSQ31_61_copy.png: This file is among those of 61 already"), "a duplicate by checksum: {told}");
        let of_sheath = kept(&lab.site, sheath).await;
        assert_eq!(of_sheath.len(), 2);
        assert_eq!((of_sheath[0].view.as_str(), of_sheath[0].moment.as_str(), of_sheath[0].scale_mm), ("front", "before", Some(50)));
        let of_panel = kept(&lab.site, panel).await;
        assert_eq!((of_panel[0].light.as_str(), of_panel[0].moment.as_str()), ("ultraviolet", "during"), "what the name does not tell is taken from the form");
        assert_eq!(of_panel[1].id, of_sheath[1].id, "one photograph shows two finds");
        assert!(kept(&lab.site, urn).await.is_empty(), "whoever may not see a find does not learn of it by a name");
        assert_eq!(tray.count("ul.gallery li"), 3);
        let journal = ansel.page(&format!("/finds/{sheath}")).await;
        assert!(journal.text(".journal").contains("added the photograph VSQ31_61_front_before.png"));
        assert_eq!(ansel.page(&format!("/finds/{panel}/attachments")).await.count("a[download]"), 1, "a drawing is attached");
    }

    async fn a_number_of_one_find_among_unknown_ones_is_looked_at_by_a_person(lab: Lab) {
        let find = lab.site.find("61").add().await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        drop(&mut ansel, &lab, &[], &[("VSQ31_61+62.png", &plain(1))]).await;
        assert!(kept(&lab.site, find).await.is_empty());
    }

    async fn the_tray_lays_files_to_finds_all_or_none(lab: Lab) {
        let find = lab.site.find("61").add().await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        drop(&mut ansel, &lab, &[], &[("IMG_0001.PNG", &plain(1)), ("IMG_0002.PNG", &plain(2)), ("notes.pdf", PDF)]).await;
        let path = format!("/projects/{}/tray", lab.site.code);
        let page = ansel.page(&path).await;
        let ids = page.attributes("input[name=file]", "value");
        let fields = |numbers: [&'static str; 3]| -> Vec<(String, String)> {
            let pairs = ids.iter().zip(numbers);
            pairs.flat_map(|(id, number)| [("file".to_owned(), id.clone()), ("numbers".to_owned(), number.to_owned())]).collect()
        };
        for (numbers, sentence) in [(["61", "777", ""], "there is no find 777"), (["", "", ""], "at least one file")] {
            let fields = fields(numbers);
            let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
            let refused = ansel.post(&path, &fields).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(refused.text(".wrong").contains(sentence), "{}", refused.text(".wrong"));
            assert_eq!(refused.attributes("input[name=numbers]", "value")[0], numbers[0], "what was typed stays");
            assert!(kept(&lab.site, find).await.is_empty());
        }
        let fields = fields(["61", "", "61"]);
        let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
        assert_eq!(ansel.post(&path, &fields).await.status, StatusCode::SEE_OTHER);
        assert_eq!(kept(&lab.site, find).await.len(), 1);
        assert_eq!(ansel.page(&path).await.count("ul.gallery li"), 1);
        assert!(ansel.page(&format!("/finds/{find}")).await.text(".journal").contains("attached the file notes.pdf from the tray"));
    }

    async fn what_is_typed_beside_the_files_must_be_right_before_any_is_kept(lab: Lab) {
        let find = lab.site.find("61").add().await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        let long = "x".repeat(300);
        for (field, value, sentence) in [
            ("scale_mm", "5 cm", "no whole number"),
            ("scale_mm", "0", "too small"),
            ("scale_mm", "90000", "2000 at most"),
            ("moment", "later", "Choose one of the list"),
            ("view", &long, "300 characters"),
        ] {
            let refused = drop(&mut ansel, &lab, &[(field, value)], &[("61.png", &plain(1))]).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {value}");
            assert!(refused.text(".wrong").contains(sentence), "{field} {value}: {}", refused.text(".wrong"));
        }
        assert!(kept(&lab.site, find).await.is_empty());
        let refused = drop(&mut ansel, &lab, &[], &[("61.png", &plain(1)), ("61.txt", b"words")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text(".wrong").contains("61.txt"), "{}", refused.text(".wrong"));
        assert_eq!(kept(&lab.site, find).await.len(), 1, "the good one is kept");
        let none = drop(&mut ansel, &lab, &[], &[]).await;
        assert!(none.text(".wrong").contains("at least one file"));
    }

    async fn a_hundred_files_arrive_in_one_sending(lab: Lab) {
        let mut finds = Vec::new();
        for number in 1..=10 {
            finds.push(lab.site.find(&number.to_string()).add().await);
        }
        let mut ansel = lab.sign_in(Role::Photographer).await;
        let files: Vec<(String, Vec<u8>)> = (0..118u8).map(|n| (format!("VSQ31_{}_{n}.png", n % 10 + 1), plain(n))).collect();
        let files: Vec<(&str, &[u8])> = files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
        let reply = drop(&mut ansel, &lab, &[], &files).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        let mut all = 0;
        for find in finds {
            all += kept(&lab.site, find).await.len();
        }
        assert_eq!(all, 118);
    }
}
