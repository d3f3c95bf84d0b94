//! Treatment steps: what they must hold to be closed, what is refused, hours, repeats, and steps beyond the level.
use super::levels::LEVEL;
use super::{assert_refused, assert_saved, send};
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use domain::treatment::Basis;
use tests::on_both_engines;
use tests::support::{Lab, Visitor, noon};

pub(crate) const STEP: &[(&str, &str)] = &[
    ("aim", "loose soil off"),
    ("area", "front"),
    ("area_cm2", "120"),
    ("begun", "09:40"),
    ("ended", "11:05"),
    ("mass_before_g", "0,4125 kg"),
    ("mass_after_g", "398"),
    ("removed", "soil, 14 g"),
    ("kept", "bag 4"),
    ("material", "acrylic copolymer"),
    ("batch", "jar 4"),
    ("concentration", "5"),
    ("basis", "w/v"),
    ("method", "soft brush"),
    ("outcome", "clean"),
];

fn with<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = STEP.iter().filter(|(name, _)| changes.iter().all(|(changed, _)| changed != name));
    kept.chain(changes).copied().collect()
}

async fn stone(lab: &Lab, number: &str) -> FindId {
    lab.site.find(number).material("stone").object("panel").add().await
}

async fn find_page(visitor: &mut Visitor, find: FindId) -> String {
    visitor.page(&format!("/finds/{find}")).await.text("main")
}

on_both_engines! {
    async fn a_step_is_kept_whole_and_its_hours_are_counted_from_its_times(lab: Lab) {
        let find = stone(&lab, "88").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_saved(&send(&mut odile, &lab, "dry_clean", find, &with(&[("done_by", "O. Marchbank, T. Reedling")])).await);
        let steps = store::work::treatments::list_of_find(&mut lab.site.db.read().await.unwrap(), find).await.unwrap();
        let step = &steps[0].1;
        // 09:40 to 11:05 is 1 h 25 min; two people
        assert_eq!((step.minutes(), step.people), (Some(170), 2));
        assert_eq!((step.mass_before_g, step.mass_after_g, step.area_cm2), (Some(412.5), Some(398.0), Some(120.0)));
        assert_eq!(step.materials[0].concentration, Some((5.0, Basis::WeightPerVolume)));
        let page = find_page(&mut odile, find).await;
        for words in ["09:40 to 11:05, 2 people, 2 h 50 min", "acrylic copolymer 5 % w/v, batch jar 4", "412.5 g", "bag 4", "Hours at the bench: 2 h 50 min"] {
            assert!(page.contains(words), "{words}: {page}");
        }
    }

    async fn what_cannot_be_is_refused_field_by_field_and_nothing_is_lost(lab: Lab) {
        let find = stone(&lab, "88").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let cases: &[(&[(&str, &str)], &str)] = &[
            (&[("begun", "11:05"), ("ended", "09:40")], "ended before it began"),
            (&[("begun", "11:05"), ("ended", "11:05")], "ended before it began"),
            (&[("begun", "25:00")], "no time of day"),
            (&[("begun", "9:75")], "no time of day"),
            (&[("begun", "soon")], "no time of day"),
            (&[("begun", "")], "Say when it began"),
            (&[("mass_after_g", "500")], "cannot be heavier"),
            (&[("mass_before_g", "-3")], "outside what can be"),
            (&[("mass_before_g", "9000000")], "outside what can be"),
            (&[("mass_before_g", "412 lb")], "“lb” is no unit known here; write g, kg, mg"),
            (&[("area_cm2", "2 sq ft")], "no unit known here; write cm²"),
            (&[("concentration", "5 ppm")], "no unit known here"),
            (&[("area_cm2", "-1")], "outside what can be"),
            (&[("concentration", "120")], "outside what can be"),
            (&[("concentration", "-5")], "outside what can be"),
            (&[("material", "")], "without its material"),
            (&[("basis", "v/m")], "Choose one of the list"),
            (&[("within", "no")], "how the step went beyond"),
            (&[("beyond", "the crust came away")], "Choose so here"),
            (&[("aim", "")], "what was aimed at"),
            (&[("area", "")], "which part"),
            (&[("ended", "")], "when it began and ended"),
            (&[("removed", " ")], "what came off"),
            (&[("method", "")], "how it was done"),
            (&[("outcome", "")], "what came of it"),
            (&[("material", ""), ("batch", ""), ("concentration", "")], "with what"),
        ];
        for (changes, words) in cases {
            let refused = send(&mut odile, &lab, "dry_clean", find, &with(changes)).await;
            assert_refused(&refused, words);
            let fields = refused.form("form[action*='/work/']").1;
            for (name, value) in with(changes).into_iter().filter(|(name, _)| *name != "basis") {
                assert!(fields.iter().any(|(n, v)| n == name && v == value), "{words}: {name} “{value}” is lost");
            }
            let lost: Vec<String> = refused.attributes(".wrong a", "href").into_iter().filter(|a| refused.count(a) == 0).collect();
            assert!(lost.is_empty(), "{lost:?} lead nowhere");
        }
        let wet = with(&[("mixture", "water"), ("mass_after_g", "900")]);
        assert_refused(&send(&mut odile, &lab, "wet_clean", find, &wet).await, "more than twice");
    }

    async fn an_open_record_lists_what_it_lacks_and_is_completed(lab: Lab) {
        let find = stone(&lab, "88").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_saved(&send(&mut odile, &lab, "dry_clean", find, &[("finished", "no"), ("begun", "9.40"), ("aim", "soil off")]).await);
        let today = odile.page("/today").await.text("main");
        assert!(today.contains("lacks method, materials, area, times, outcome, what was removed, a photograph"), "{today}");
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.text("main").contains("Still lacks: method, materials"), "{}", page.text("main"));
        let form = odile.page(&page.link("Complete this record")).await;
        assert_eq!(form.attributes("#begun", "value"), ["09:40"]);
        assert_saved(&odile.submit(&form, "form[action*='/work/']", STEP).await);
        assert!(!odile.page("/today").await.text("main").contains("Your open records"));
    }

    async fn a_find_taken_in_hand_offers_its_hours(lab: Lab) {
        let find = stone(&lab, "88").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let form = odile.page(&format!("/projects/{}/marks/new?find={find}&stage=dry_clean", lab.site.code)).await;
        assert_saved(&odile.submit(&form, "form[action*='/marks/']", &[("state", "in_hand")]).await);
        // 95 minutes after noon, the moment of every test
        let lab = lab.later(noon() + chrono::Duration::minutes(95));
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page(&format!("/projects/{}/work/dry_clean/new?find={find}", lab.site.code)).await;
        assert_eq!((page.attributes("#begun", "value"), page.attributes("#ended", "value")), (vec!["12:00".into()], vec!["13:35".into()]));
    }

    async fn a_repeat_is_three_taps_and_no_typing(lab: Lab) {
        let (first, next) = (stone(&lab, "88").await, stone(&lab, "89").await);
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_saved(&send(&mut odile, &lab, "dry_clean", first, STEP).await);
        let page = odile.page(&format!("/projects/{}/work/dry_clean/new?find={next}", lab.site.code)).await;
        let again = odile.page(&page.link("Same as last time")).await;
        // noon, the moment of every test, less the 1 h 25 min of the last step
        assert_eq!((again.attributes("#begun", "value"), again.attributes("#ended", "value")), (vec!["10:35".into()], vec!["12:00".into()]));
        assert_eq!(again.attributes("#mass_before_g", "value"), [""], "a mass is never offered");
        assert_saved(&odile.submit(&again, "form[action*='/work/']", &[]).await);
        let steps = store::work::treatments::list_of_find(&mut lab.site.db.read().await.unwrap(), next).await.unwrap();
        assert_eq!((steps[0].1.minutes(), steps[0].1.removed.as_str(), steps[0].1.materials.len()), (Some(85), "soil, 14 g", 1));
    }

    async fn a_step_beyond_the_level_is_named_in_words(lab: Lab) {
        let find = stone(&lab, "88").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_saved(&send(&mut odile, &lab, "dry_clean", find, &with(&[("within", "no"), ("beyond", "The crust under the hem came away.")])).await);
        let page = find_page(&mut odile, find).await;
        assert!(page.contains("Beyond the agreed level. dry clean") && page.contains("The crust under the hem came away."), "{page}");

        let mut tomas = lab.sign_in(Role::Lead).await;
        for gate in ["tested_mixture", "authorised_level"] {
            assert_saved(&tomas.post(&format!("/finds/{find}/lifts/{gate}/new"), &[("reason", "flood in the store")]).await);
        }
        assert_saved(&send(&mut odile, &lab, "wet_clean", find, &with(&[("mixture", "water")])).await);
        let page = odile.page(&format!("/projects/{}/beyond", lab.site.code)).await;
        assert_eq!(page.count("tbody tr"), 2);
        let said = page.text("tbody");
        assert!(said.contains("No cleaning level was authorised") && said.contains("no accepted test on this find"), "{said}");
        assert!(odile.page(&format!("/finds/{find}")).await.text(".journal").contains("went beyond the agreed level"));
    }

    async fn a_step_within_an_authorised_level_goes_beyond_nothing(lab: Lab) {
        let find = stone(&lab, "88").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_saved(&send(&mut odile, &lab, "dry_clean", find, STEP).await);
        let test = [("part", "water"), ("site", "hem"), ("effect_on_original", "none"), ("decision", "accepted")];
        assert_saved(&send(&mut odile, &lab, "spot_test", find, &test).await);
        assert_saved(&send(&mut odile, &lab, "cleaning_level", find, LEVEL).await);
        let mut tomas = lab.sign_in(Role::Lead).await;
        let today = tomas.page("/today").await;
        let reply = tomas.submit(&today, "form[action*='authorisation']", &[]).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER);
        let form = odile.page(&format!("/projects/{}/work/wet_clean/new?find={find}", lab.site.code)).await;
        let agreed = form.text("section[aria-labelledby=agreed]");
        assert!(agreed.contains("loose soil off, red kept") && agreed.contains("first tint on the swab"), "{agreed}");
        assert_saved(&send(&mut odile, &lab, "wet_clean", find, &with(&[("mixture", "water"), ("mass_after_g", "420")])).await);
        assert!(!find_page(&mut odile, find).await.contains("Beyond the agreed level."));
    }
}
