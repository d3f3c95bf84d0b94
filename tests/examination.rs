//! Examinations: a question, an answer of four, measures by method, plates that show many finds.
use axum::http::StatusCode;
use domain::ids::{FindId, ImageId};
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::{Lab, Reply, Visitor, noon};

/// A method, fields changed, the sentence that answers.
type Case<'a> = (&'a str, Vec<(&'a str, &'a str)>, &'a str);

async fn examine(
    visitor: &mut Visitor,
    lab: &Lab,
    method: &str,
    finds: &[FindId],
    changes: &[(&str, &str)],
) -> Reply {
    let ids: Vec<String> = finds.iter().map(ToString::to_string).collect();
    let mut fields = vec![
        ("question", "Is there a core?"),
        ("area", "whole"),
        ("verdict", "positive"),
        ("seen", "a core"),
        ("plate_number", "4"),
        ("wavelength_nm", "365"),
        ("done_by", "O. Marchbank"),
        ("done_on", "2031-09-14"),
        ("finished", "yes"),
    ];
    for (name, _) in changes {
        fields.retain(|(known, _)| known != name);
    }
    fields.extend(ids.iter().map(|id| ("find", id.as_str())));
    fields.extend(changes);
    visitor.post(&format!("/projects/{}/examinations/{method}/new", lab.site.code), &fields).await
}

async fn state(lab: &Lab, find: FindId) -> StageState {
    let mut tx = lab.site.db.read().await.unwrap();
    store::finds::progress::find_progress(&mut tx, find).await.unwrap().state(Stage::Xray)
}

async fn picture(lab: &Lab, find: FindId) -> ImageId {
    let mut tx = lab.site.db.write().await.unwrap();
    let new = store::images::NewImage {
        project: lab.site.project,
        sha256: "1".repeat(64),
        file_name: "plate.jpg".into(),
        media_type: "image/jpeg".into(),
        bytes: 1,
        width_px: 2000,
        height_px: 1000,
        taken_at: String::new(),
        camera: String::new(),
        has_position: false,
        words: store::images::ImageWords::default(),
    };
    let (id, _) =
        store::images::insert(&mut tx, &new, lab.site.person(Role::Photographer), noon()).await.unwrap();
    store::images::insert_find(&mut tx, id, find).await.unwrap();
    tx.commit().await.unwrap();
    id
}

on_both_engines! {
    async fn a_plate_shows_many_finds_each_in_its_region_and_opens_their_gate(lab: Lab) {
        let hasp = lab.site.find("1").material("iron").add().await;
        let nails = lab.site.find("91").material("iron").bulk(24).add().await;
        let sherd = lab.site.find("4").material("ceramic").add().await;
        let image = picture(&lab, hasp).await.to_string();
        let mut odile = lab.sign_in(Role::Conservator).await;
        let regions = [
            ("quantity", ""), ("quantity", "6"), ("quantity", ""),
            ("left_pct", "10"), ("left_pct", "50"), ("left_pct", ""),
            ("top_pct", "20"), ("top_pct", "0"), ("top_pct", ""),
            ("width_pct", "25"), ("width_pct", "50"), ("width_pct", ""),
            ("height_pct", "30"), ("height_pct", "100"), ("height_pct", ""),
            ("region_seen", "no break"), ("region_seen", "six nails"), ("region_seen", ""),
            ("plate_image", &image),
        ];
        let saved = examine(&mut odile, &lab, "xray", &[hasp, nails, sherd], &regions).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text(".wrong"));
        assert_eq!(state(&lab, hasp).await, StageState::Done, "the gate of X-ray first opens");
        assert_eq!(state(&lab, nails).await, StageState::InHand, "six of 24 are on the plate");
        assert_eq!(state(&lab, sherd).await, StageState::NotNeeded, "its route has no X-ray, the record stands all the same");
        let page = odile.page(&saved.location()).await;
        // worked by hand on a print of 1600 × 800 pixels or less, the sides keep their share: 10 % and 20 %
        let sides = page.attributes("svg", "viewBox")[0].split(' ').map(|n| n.parse::<f64>().unwrap()).collect::<Vec<_>>();
        let x: f64 = page.attributes("rect", "x")[0].parse().unwrap();
        let height: f64 = page.attributes("rect", "height")[1].parse().unwrap();
        assert!((x / sides[2] - 0.10).abs() < 0.001 && (height / sides[3] - 1.0).abs() < 0.001);
        assert_eq!(page.texts("svg text"), ["1", "91"]);
        assert!(page.text("section[aria-labelledby=finds]").contains("50 % from the left"), "the regions can be read too");
        let of_sherd = odile.page(&format!("/finds/{sherd}/images")).await;
        assert_eq!(of_sherd.count("ol.plates li"), 1, "the plate is among the photographs of every find on it");
    }

    async fn what_was_not_possible_is_a_result_but_opens_no_gate(lab: Lab) {
        let find = lab.site.find("1").material("iron").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let saved = examine(&mut odile, &lab, "xray", &[find], &[("verdict", "not_possible"), ("plate_number", ""), ("seen", "block too thick")]).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text(".wrong"));
        assert_eq!(state(&lab, find).await, StageState::InHand);
        for verdict in ["negative", "inconclusive"] {
            let other = lab.site.find(verdict).material("iron").add().await;
            examine(&mut odile, &lab, "xray", &[other], &[("verdict", verdict)]).await;
            assert_eq!(state(&lab, other).await, StageState::Done, "{verdict} is a result");
        }
    }

    async fn looking_by_other_means_is_open_at_any_time_and_moves_no_stage(lab: Lab) {
        let find = lab.site.find("1").material("ceramic").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        for method in ["visible", "raking", "uv", "microscopy"] {
            let saved = examine(&mut odile, &lab, method, &[find], &[("verdict", "negative"), ("seen", "none seen")]).await;
            assert_eq!(saved.status, StatusCode::SEE_OTHER, "{method}: {}", saved.text(".wrong"));
        }
        let page = odile.page(&format!("/finds/{find}")).await;
        assert_eq!(page.texts(".body li strong").into_iter().filter(|words| words.starts_with("negative")).count(), 4, "negative results are results");
        assert!(page.text("section.next").contains("first-aid"), "{}", page.text("section.next"));
        let form = odile.page(&format!("/projects/{}/examinations/uv/new?find={find}", lab.site.code)).await;
        assert!(form.texts(".caution").join(" ").contains("eyes and skin"), "the caution stands where the lamp is used");
    }

    async fn each_bad_field_is_refused_with_a_sentence_and_nothing_is_lost(lab: Lab) {
        let find = lab.site.find("1").material("iron").bulk(5).add().await;
        let image = picture(&lab, find).await.to_string();
        let mut odile = lab.sign_in(Role::Conservator).await;
        let nobody = uuid::Uuid::nil().to_string();
        let region = |left: &'static str, width: &'static str| vec![("left_pct", left), ("top_pct", "0"), ("width_pct", width), ("height_pct", "10"), ("plate_image", image.as_str())];
        let cases: Vec<Case> = vec![
            ("xray", vec![("question", "")], "the question"),
            ("xray", vec![("area", "")], "which part"),
            ("xray", vec![("seen", "")], "what was seen"),
            ("xray", vec![("verdict", "maybe")], "Choose one of the list"),
            ("xray", vec![("plate_number", "")], "number of the plate"),
            ("xray", vec![("done_on", "2032-01-01")], "still to come"),
            ("xray", vec![("tube_kv", "100000")], "5 to 600"),
            ("xray", vec![("tube_ma", "-3")], "outside what can be"),
            ("xray", vec![("exposure_s", "two minutes")], "no number"),
            ("xray", vec![("tube_ma", "3"), ("exposure_s", "100"), ("exposure_mas", "30")], "another figure"),
            ("xray", vec![("distance_mm", "0")], "10 to 10000"),
            ("xray", region("60", "50"), "beyond the picture"),
            ("xray", region("60", "0"), "a width and a height"),
            ("xray", region("", "50"), "all four"),
            ("xray", region("left", "50"), "no number"),
            ("xray", region("120", "50"), "0 to 100"),
            ("xray", vec![("region_seen", "a core")], "where on the picture"),
            ("xray", vec![("left_pct", "0"), ("top_pct", "0"), ("width_pct", "9"), ("height_pct", "9")], "picture of the plate"),
            ("xray", vec![("plate_image", &nobody)], "photograph of one of these"),
            ("xray", vec![("quantity", "6")], "holds 5 pieces"),
            ("uv", vec![("wavelength_nm", "")], "wavelength of the lamp"),
            ("uv", vec![("wavelength_nm", "550")], "100 to 400"),
            ("raking", vec![("azimuth_deg", "400")], "0 to 360"),
            ("raking", vec![("elevation_deg", "95")], "0 to 90"),
            ("microscopy", vec![("magnification", "0")], "outside what can be"),
            ("microscopy", vec![("scale_um", "wide")], "no number"),
        ];
        for (method, changes, sentence) in &cases {
            let mut all = vec![("note", "kept note")];
            all.extend(changes);
            let refused = examine(&mut odile, &lab, method, &[find], &all).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{method} {changes:?}");
            assert!(refused.text(".wrong").contains(sentence), "{method} {changes:?}: {}", refused.text(".wrong"));
            assert_eq!(refused.text("#note"), "kept note", "what was typed stays");
        }
        assert_eq!(state(&lab, find).await, StageState::Waiting, "nothing was saved");
        assert_eq!(odile.get(&format!("/projects/{}/examinations/smell/new?find={find}", lab.site.code)).await.status, StatusCode::NOT_FOUND);
    }

    async fn further_finds_are_laid_on_the_plate_by_their_numbers(lab: Lab) {
        let (one, two) = (lab.site.find("1").material("iron").add().await, lab.site.find("2").material("iron").add().await);
        let mut odile = lab.sign_in(Role::Conservator).await;
        let more = examine(&mut odile, &lab, "xray", &[one], &[("add", "yes"), ("also", "2, 1")]).await;
        assert_eq!(more.status, StatusCode::OK);
        assert_eq!(more.attributes("table input[name=find]", "value"), [one.to_string(), two.to_string()]);
        let none = examine(&mut odile, &lab, "xray", &[one], &[("add", "yes"), ("also", "777")]).await;
        assert!(none.text(".wrong").contains("no find 777"), "{}", none.text(".wrong"));
        assert_eq!(state(&lab, one).await, StageState::Waiting);
    }

    async fn an_examination_is_corrected_and_the_first_version_kept(lab: Lab) {
        let find = lab.site.find("1").material("iron").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let saved = examine(&mut odile, &lab, "xray", &[find], &[]).await;
        let first = saved.location();
        let whole = odile.page(&first).await;
        let form = odile.page(&whole.link("Correct it")).await;
        assert_eq!(form.attributes("#plate_number", "value"), ["4"]);
        let again = odile.submit(&form, "main form", &[("verdict", "inconclusive"), ("plate_number", "5")]).await;
        assert_eq!(again.status, StatusCode::SEE_OTHER, "{}", again.text(".wrong"));
        assert!(odile.page(&first).await.text("main").contains("Corrected later"));
        assert_eq!(odile.get(&first.replace("/examinations/", "/records/")).await.status, StatusCode::NOT_FOUND);
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.source().contains("X-ray, plate 5") && page.source().contains("corrected later"));
    }

    async fn whoever_may_not_see_a_find_does_not_read_it_from_the_plate(lab: Lab) {
        let open = lab.site.find("1").material("iron").add().await;
        let urn = lab.site.find("95").material("iron").restricted().add().await;
        lab.site.clear(Role::Conservator).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let saved = examine(&mut odile, &lab, "xray", &[open, urn], &[]).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text(".wrong"));
        let mut ansel = lab.sign_in(Role::Photographer).await;
        let page = ansel.page(&saved.location()).await;
        assert_eq!(page.texts("section[aria-labelledby=finds] tbody th"), ["1"], "{}", page.text("main"));
        let alone = examine(&mut odile, &lab, "xray", &[urn], &[]).await;
        assert_eq!(ansel.get(&alone.location()).await.status, StatusCode::NOT_FOUND);
    }
}
