//! Baths.
use super::{BATHS, begin, begun, column, end, iron, pot, read, state, with};
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use domain::runs::RunKind::Desalination;
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::{Lab, Visitor};

const READINGS: &[(&str, &str)] = &[
    ("2031-08-03 08:30", "310"),
    ("2031-08-06 08:30", "140"),
    ("2031-08-10 08:30", "66"),
    ("2031-08-15 08:30", "31"),
    ("2031-08-21 08:30", "15"),
];

on_both_engines! {
    /// Story 5: 850 g in 2.5 L, blank 4, readings 310, 140, 66, 31, 15 µS/cm: normalised 900, 400, 182, 79, 32.
    async fn a_pot_gives_what_the_story_tells_and_is_not_finished_without_a_reason(lab: Lab) {
        let find = pot(&lab, "7").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Desalination, find), BATHS).await;
        for reading in READINGS {
            let reply = read(&mut odile, &run, *reading).await;
            assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        }
        let page = odile.page(&run).await;
        assert_eq!(column(&page, "µS/cm · L/kg"), ["900", "400", "182", "79", "32"]);
        assert_eq!(column(&page, "Rule"), ["", "", "", "", "clean"]);
        assert_eq!(page.text("#verdict"), "In baths");
        assert!(page.text("main").contains("one more clean bath asked for"), "{}", page.text("main"));
        assert_eq!(page.count("svg[role=img]"), 2, "readings, and release against √t");
        let words = page.texts("figcaption");
        assert!(words[0].contains("900, 400, 182, 79, 32"), "{words:?}");
        assert!(words[1].contains("per √day"), "{words:?}");
        assert_eq!(page.attributes("#volume_l", "value"), ["2.5"], "the last values are offered");
        assert_eq!(page.attributes("#blank_us_cm", "value"), ["4"]);

        let met = read(&mut odile, &run, ("2031-08-28 08:30", "14")).await;
        assert_eq!(odile.follow(&met).await.text("#verdict"), "Rule met");
        let refused = end(&mut odile, &run, "done", "").await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text("#end_words-error").contains("not finished without a reason"), "{}", refused.text(".wrong"));
        let ended = end(&mut odile, &run, "done", "two baths below a clean sherd, T. Reedling agrees").await;
        assert_eq!(ended.status, StatusCode::SEE_OTHER);
        assert_eq!(state(&lab, find, Stage::Desalination).await, StageState::Done);
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.text("main").contains("finished, end rule met; two baths"), "{}", page.text("main"));
    }

    /// The sum by hand: conductivity less blank times the factor of NaCl is what the page calls chloride; here the meter
    /// for chloride itself is read, so that 2.5 L of 40, 20 and 10 mg/L over water of 0 are 100, 150, 175 mg.
    async fn chloride_that_was_measured_is_summed_as_it_was(lab: Lab) {
        let find = pot(&lab, "7").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Desalination, find), BATHS).await;
        for (at, chloride) in [("2031-08-03 08:30", "40"), ("2031-08-06 08:30", "20 mg/L"), ("2031-08-10 08:30", "0.01 g/L")] {
            let fields = [("read_at", at), ("reading_us_cm", "100"), ("blank_us_cm", "0"), ("volume_l", "2500 mL"), ("chloride_mg_l", chloride)];
            let reply = odile.post(&format!("{run}/baths"), &fields).await;
            assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        }
        assert_eq!(column(&odile.page(&run).await, "Out so far, mg"), ["100", "150", "175"]);
    }

    async fn a_bath_that_cannot_be_is_refused_beside_its_field(lab: Lab) {
        let find = pot(&lab, "7").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Desalination, find), BATHS).await;
        read(&mut odile, &run, READINGS[0]).await;
        let whole = [("read_at", "2031-08-06T08:30"), ("reading_us_cm", "140"), ("blank_us_cm", "4"), ("volume_l", "2.5")];
        let cases: &[(&str, &str, &str)] = &[
            ("volume_l", "-2.5", ""),
            ("volume_l", "", "how much water"),
            ("volume_l", "2 gallons", "no unit known here"),
            ("reading_us_cm", "-1", ""),
            ("reading_us_cm", "140 ppm", "no unit known here"),
            ("blank_us_cm", "", "the water alone"),
            ("t_c", "warm", "is no number"),
            ("chloride_mg_l", "-4", ""),
            ("read_at", "2031-08-03T08:30", "has to be later"),
            ("read_at", "2031-07-03T08:30", "The run began on"),
        ];
        for (field, typed, sentence) in cases {
            let refused = odile.post(&format!("{run}/baths"), &with(&whole, &[(field, typed)])).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {typed}");
            let told = refused.text(&format!("#{field}-error"));
            assert!(!told.is_empty() && told.contains(sentence), "{field} “{typed}”: {}", refused.text(".wrong"));
            assert_eq!(refused.attributes(&format!("#{field}"), "value"), [*typed], "what was typed stays");
        }
        let milli = with(&whole, &[("reading_us_cm", "0.14 mS/cm")]);
        assert_eq!(odile.post(&format!("{run}/baths"), &milli).await.status, StatusCode::SEE_OTHER);
        assert_eq!(column(&odile.page(&run).await, "Reading"), ["310", "140"]);
    }

    async fn baths_begin_with_an_end_rule_and_its_reason(lab: Lab) {
        let find = pot(&lab, "7").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        for (field, typed, sentence) in [
            ("threshold", "", "no value holds for all"),
            ("threshold_reason", " ", "why this threshold"),
            ("mass_g", "0", ""),
            ("baths_in_row", "0", ""),
            ("carry_over_l", "-1", ""),
        ] {
            let refused = begin(&mut odile, &lab, (Desalination, find), &with(BATHS, &[(field, typed)])).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {typed}");
            let told = refused.text(&format!("#{field}-error"));
            assert!(!told.is_empty() && told.contains(sentence), "{field} “{typed}”: {}", refused.text(".wrong"));
        }
    }

    async fn different_metals_never_share_a_bath(lab: Lab) {
        let (nail, pin) = (iron(&lab, "61").await, lab.site.find("62").material("copper_alloy").add().await);
        let second = iron(&lab, "63").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let path = web::links::run_new(lab.site.code, Desalination);
        let together = async |odile: &mut Visitor, finds: [FindId; 2]| {
            let ids = finds.map(|find| find.to_string());
            let mut fields: Vec<(&str, &str)> = BATHS.to_vec();
            for id in &ids {
                fields.extend([("find", id.as_str()), ("quantity", "")]);
            }
            odile.post(&path, &fields).await
        };
        let refused = together(&mut odile, [nail, pin]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text(".wrong").contains("61 and 62 are of different metals"), "{}", refused.text(".wrong"));
        assert_eq!(refused.attributes("#threshold", "value"), ["40"], "what was typed stays");
        assert_eq!(together(&mut odile, [nail, second]).await.status, StatusCode::SEE_OTHER);
    }

    async fn a_wrong_bath_is_withdrawn_with_a_reason(lab: Lab) {
        let find = pot(&lab, "7").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let run = begun(&mut odile, &lab, (Desalination, find), BATHS).await;
        read(&mut odile, &run, READINGS[0]).await;
        let path = odile.page(&run).await.attributes("form[action$=withdrawal]", "action")[0].clone();
        let refused = odile.post(&path, &[("reason", "")]).await;
        assert!(refused.text(".wrong").contains("Say why"), "{}", refused.text(".wrong"));
        odile.post(&path, &[("reason", "meter not calibrated")]).await;
        let page = odile.page(&run).await;
        assert!(page.text("tr.superseded").contains("meter not calibrated"));
        assert!(column(&page, "Reading").is_empty());
    }
}
