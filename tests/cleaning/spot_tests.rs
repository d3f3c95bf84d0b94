//! Spot tests: marked on a photograph, by parts, looked at again a day later, side by side.
use super::{assert_refused, assert_saved, send};
use axum::http::StatusCode;
use chrono::Duration;
use domain::ids::FindId;
use domain::permission::Role;
use store::work::spot_tests::{SpotTest, list_of_find};
use tests::on_both_engines;
use tests::support::{Lab, Visitor, noon};

const TEST: &[(&str, &str)] = &[
    ("part", "ethanol"),
    ("share", "50"),
    ("part", "water"),
    ("share", "50"),
    ("site", "underside, left"),
    ("carrier", "swab"),
    ("dwell_s", "20"),
    ("working_time_s", "35"),
    ("effect_on_soiling", "softens"),
    ("effect_on_original", "none"),
    ("residue", "none"),
    ("decision", "accepted"),
];

fn with<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = TEST.iter().filter(|(name, _)| changes.iter().all(|(changed, _)| changed != name));
    kept.chain(changes).copied().collect()
}

/// A whole wet cleaning with that mixture.
fn wet(mixture: &str) -> Vec<(&str, &str)> {
    super::steps::STEP.iter().copied().chain([("mixture", mixture)]).collect()
}

async fn tests_of(lab: &Lab, find: FindId) -> Vec<SpotTest> {
    list_of_find(&mut lab.site.db.read().await.unwrap(), find).await.unwrap()
}

/// A stone with a photograph, dry-cleaned.
async fn stone(lab: &Lab, odile: &mut Visitor) -> (FindId, String) {
    let find = lab.site.find("88").material("stone").object("panel").add().await;
    let file = crate::images::plain(120);
    let reply = odile.upload(&format!("/finds/{find}/images"), &[], &[("file", "IMG_1.png", &file)]).await;
    assert_saved(&reply);
    let images = store::images::list_of_find(&mut lab.site.db.read().await.unwrap(), find).await.unwrap();
    (find, images[0].id.to_string())
}

on_both_engines! {
    async fn a_test_is_kept_whole_and_shown_on_the_photograph(lab: Lab) {
        let mut odile = lab.sign_in(Role::Conservator).await;
        let (find, image) = stone(&lab, &mut odile).await;
        let marked = with(&[("site_image", &image), ("x_pct", "25"), ("y_pct", "60,5"), ("swabs", "2"), ("cleared_with", "dry swab")]);
        assert_saved(&send(&mut odile, &lab, "spot_test", find, &marked).await);
        let later = lab.later(noon() + Duration::minutes(5));
        let mut second = later.sign_in(Role::Conservator).await;
        assert_saved(&send(&mut second, &later, "spot_test", find, &with(&[("effect_on_soiling", ""), ("part", "white spirit, dearomatised"), ("share", "")])).await);
        let kept = tests_of(&lab, find).await;
        assert_eq!(kept.iter().map(|t| t.number).collect::<Vec<_>>(), [1, 2]);
        assert_eq!(kept[0].parts, [("ethanol".to_owned(), 50.0), ("water".to_owned(), 50.0)]);
        assert_eq!((kept[0].row.x_pct, kept[0].row.y_pct, kept[0].row.working_time_s), (Some(25.0), Some(60.5), Some(35)));
        assert_eq!(kept[1].row.effect_on_soiling, "", "a test without effect is kept");

        let page = odile.page(&format!("/finds/{find}/tests")).await;
        assert_eq!(page.texts("thead th[scope=col]").len(), 2, "side by side");
        assert_eq!(page.count("svg circle.ring"), 1);
        let map = page.attributes("svg circle.ring", "cx")[0].parse::<f64>().unwrap();
        let width: f64 = page.attributes(".over img", "width")[0].parse().unwrap();
        assert!((map / width - 0.25).abs() < 0.01, "{map} of {width}");
        let row = page.text("tbody");
        assert!(row.contains("ethanol: 12 °C") && row.contains("1000 ppm (1920 mg/m³) over 8 h") && row.contains("4th ed. 2020"), "{row}");
        let find_page = odile.page(&format!("/finds/{find}")).await.text("main");
        assert!(find_page.contains("25 % from the left, 60.5 % from the top") && find_page.contains("35 s"), "{find_page}");
    }

    async fn bad_input_is_refused_field_by_field_and_nothing_is_lost(lab: Lab) {
        let mut odile = lab.sign_in(Role::Conservator).await;
        let (find, image) = stone(&lab, &mut odile).await;
        let cases: &[(&[(&str, &str)], &str)] = &[
            (&[("share", "50"), ("share", "40")], "come to 90 %"),
            (&[("share", "-50"), ("share", "150")], "more than 0 %"),
            (&[("share", "half"), ("share", "50")], "no number"),
            (&[("part", ""), ("share", ""), ("mixture", "")], "Name the reagent"),
            (&[("part", "moonshine"), ("share", "")], "“moonshine” is not in the table"),
            (&[("part", ""), ("share", ""), ("mixture", "white spirit")], "Perhaps white spirit"),
            (&[("dwell_s", "-5")], "too small"),
            (&[("working_time_s", "soon")], "no whole number"),
            (&[("swabs", "0")], "too small"),
            (&[("ph", "15")], "outside what can be"),
            (&[("carrier", "bucket")], "Choose one of the list"),
            (&[("x_pct", "20"), ("y_pct", "30")], "Choose the photograph"),
            (&[("site_image", &image), ("x_pct", "20")], "how far from the top"),
            (&[("site_image", &image), ("x_pct", "20"), ("y_pct", "130")], "outside what can be"),
            (&[("effect_on_original", "colour_taken")], "cannot be accepted"),
        ];
        for (changes, words) in cases {
            let refused = send(&mut odile, &lab, "spot_test", find, &with(changes)).await;
            assert_refused(&refused, words);
            assert_eq!(refused.attributes("#site", "value"), ["underside, left"], "{words}: what was typed stays");
            for (name, value) in changes.iter().filter(|(name, _)| ["x_pct", "dwell_s", "ph", "share"].contains(name)) {
                let fields = refused.form("form[action*='/work/']").1;
                assert!(fields.iter().any(|(n, v)| n == name && v == value), "{name} is lost");
            }
        }
        assert!(tests_of(&lab, find).await.is_empty());
    }

    async fn the_mixture_of_an_accepted_test_opens_the_wet_cleaning_however_it_is_written(lab: Lab) {
        let mut odile = lab.sign_in(Role::Conservator).await;
        let (find, _) = stone(&lab, &mut odile).await;
        assert_saved(&send(&mut odile, &lab, "spot_test", find, TEST).await);
        let form = odile.page(&format!("/projects/{}/work/wet_clean/new?find={find}", lab.site.code)).await;
        assert_eq!(form.attributes("#mixture", "value"), ["ethanol 50 % + water 50 %"], "the accepted mixture is offered");
        let gates = |reply: &tests::support::Reply| reply.text(".wrong").contains("no accepted spot test");
        let fitting = wet("Ethanol 50 % in water");
        assert!(!gates(&send(&mut odile, &lab, "wet_clean", find, &fitting).await));
        assert!(gates(&send(&mut odile, &lab, "wet_clean", find, &wet("ethanol 70 % in water")).await));
    }

    async fn a_later_look_stands_on_today_until_it_is_recorded_and_harm_bars_the_mixture(lab: Lab) {
        let mut odile = lab.sign_in(Role::Conservator).await;
        let (find, _) = stone(&lab, &mut odile).await;
        assert_saved(&send(&mut odile, &lab, "spot_test", find, TEST).await);
        let today = odile.page("/today").await;
        assert!(today.text("main").contains("Spots to look at again"), "{}", today.text("main"));
        let test = tests_of(&lab, find).await[0].row.record_id;
        let path = format!("/tests/{test}/recheck");
        assert_eq!(today.attributes(".lines a", "href").iter().filter(|href| **href == path).count(), 1);
        let early = odile.post(&path, &[("effect_on_original", "none"), ("looked_by", "O. Marchbank")]).await;
        assert_refused(&early, "Look again then");

        let later = lab.later(noon() + Duration::hours(25));
        let mut tomas = later.sign_in(Role::Lead).await;
        assert!(tomas.page("/today").await.count(".lines .overdue") >= 1, "an hour late");
        let nothing = tomas.post(&path, &[("looked_by", "")]).await;
        assert_refused(&nothing, "Say who looked");
        let unsaid = tomas.post(&path, &[("effect_on_original", "dulled"), ("looked_by", "T. Reedling")]).await;
        assert_refused(&unsaid, "Say what is seen");
        let look = [("effect_on_original", "dulled"), ("seen", "pale ring"), ("looked_by", "T. Reedling")];
        assert_saved(&tomas.post(&path, &look).await);
        assert!(!tomas.page("/today").await.text("main").contains("Spots to look at again"));
        let page = tomas.page(&format!("/finds/{find}/tests")).await.text("main");
        assert!(page.contains("pale ring") && page.contains("Barred for this find"), "{page}");
        let refused = send(&mut tomas, &later, "wet_clean", find, &wet("ethanol 50 % in water")).await;
        assert!(refused.text(".wrong").contains("no accepted spot test"), "{}", refused.text(".wrong"));
        assert!(tomas.page(&format!("/finds/{find}")).await.text(".journal").contains("pale ring"));
    }

    async fn a_correction_keeps_number_looks_and_offers_every_word(lab: Lab) {
        let mut odile = lab.sign_in(Role::Conservator).await;
        let (find, image) = stone(&lab, &mut odile).await;
        assert_saved(&send(&mut odile, &lab, "spot_test", find, &with(&[("site_image", &image), ("x_pct", "10"), ("y_pct", "20")])).await);
        let first = tests_of(&lab, find).await[0].row.record_id;
        let path = format!("/projects/{}/work/spot_test/new?find={find}&supersedes={first}", lab.site.code);
        let form = odile.page(&path).await;
        let reply = odile.submit(&form, "form[action*='/work/']", &[("residue", "faint tide line")]).await;
        assert_saved(&reply);
        let kept = tests_of(&lab, find).await;
        assert_eq!(kept.iter().map(|t| t.number).collect::<Vec<_>>(), [1, 1]);
        assert!(kept[0].row.superseded_at.is_some() && kept[0].row.recheck_due_at.is_none());
        assert_eq!(kept[1].row.recheck_due_at, Some(noon() + Duration::hours(24)), "from the first wording on");
        assert_eq!((kept[1].parts.len(), kept[1].row.x_pct, kept[1].row.residue.as_str()), (2, Some(10.0), "faint tide line"));
    }

    async fn the_last_test_is_offered_again(lab: Lab) {
        let mut odile = lab.sign_in(Role::Conservator).await;
        let (find, _) = stone(&lab, &mut odile).await;
        assert_saved(&send(&mut odile, &lab, "spot_test", find, TEST).await);
        let next = lab.site.find("89").material("stone").add().await;
        let form = odile.page(&format!("/projects/{}/work/spot_test/new?find={next}", lab.site.code)).await;
        let again = odile.page(&form.link("Same as last time")).await;
        let fields = again.form("form[action*='/work/']").1;
        let has = |name: &str, value: &str| fields.iter().any(|(n, v)| n == name && v == value);
        assert!(has("part", "ethanol") && has("share", "50") && has("dwell_s", "20") && has("carrier", "swab"));
        assert!(has("site", "") && has("decision", ""), "what is only true of one spot is asked anew");
    }

    async fn solvents_stand_with_edition_and_source(lab: Lab) {
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page("/solvents").await;
        assert_eq!(page.count("tbody tr"), 31);
        assert!(page.text("dl").contains("EH40/2005 4th ed. 2020") && page.text(".caution").contains("Local rules"));
        let mut reader = lab.sign_in(Role::Reader).await;
        assert_eq!(reader.get("/solvents").await.status, StatusCode::FORBIDDEN);
    }
}
