//! Two stories from the trench to the bench as they are told: what came out of context 214, and how far a carving may be
//! cleaned.
use super::as_person;
use domain::ids::{FindId, PersonId};
use domain::permission::Role;
use domain::stages::Stage;
use tests::browser::Browser;
use tests::support::{Lab, noon};
use web::links;

async fn register(browser: &Browser, (material, object, state): (&str, &str, &str), heading: &str) {
    browser.choose("Material group", material).await;
    browser.fill("Object", object).await;
    browser.choose("State on recovery", state).await;
    browser.press("Register").await;
    browser.assert_page(heading).await;
}

/// A spot on the photograph, tested; `at` is in percent from the left and from the top.
async fn test_spot(
    browser: &Browser,
    form: &str,
    (part, share): (&str, &str),
    (at, effect): ((&str, &str), &str),
    decision: &str,
) {
    browser.goto(form).await;
    browser.assert_page("Record spot test").await;
    browser.choose("Part 1", part).await;
    if !share.is_empty() {
        browser.fill("Percent of part 1", share).await;
        browser.choose("Part 2", "water").await;
        browser.fill("Percent of part 2", share).await;
    }
    browser.fill("Site of the spot", "hem of the robe, 5 mm").await;
    browser.tick("Photograph 1").await;
    browser.fill("From the left", at.0).await;
    browser.fill("From the top", at.1).await;
    browser.fill("Effect on the soiling", "see the outcome").await;
    browser.choose("Effect on the original", effect).await;
    browser.choose("Decision", decision).await;
    browser.fill("Method", "cotton swab, rolled once").await;
    browser.fill("Outcome", "seen under the lens").await;
    browser.press("Save the record").await;
    browser.assert_page("88 panel").await;
}

/// What a step of cleaning asks, its mixture apart.
async fn clean(browser: &Browser, method: &str) {
    for (label, words) in [
        ("Aim", "loose soil off"),
        ("Area treated", "front, lower left"),
        ("Begun", "09:40"),
        ("Ended", "11:05"),
        ("Materials", "brush, cotton"),
        ("What was removed", "soil"),
        ("Method", method),
        ("Outcome", "clean"),
    ] {
        browser.fill(label, words).await;
    }
    browser.press("Save the record").await;
}

/// The panel with its photograph.
async fn panel(lab: &Lab, by: PersonId) -> FindId {
    let panel = lab.site.find("88").material("stone").object("panel, carved").add().await;
    for stage in [Stage::FirstAid, Stage::Condition, Stage::DryClean] {
        lab.site.mark(panel, stage, domain::stages::StageState::Done).await;
    }
    let mut visitor = lab.sign_in_as(by).await;
    let file = crate::images::plain(120);
    let path = format!("/finds/{panel}/images");
    let reply = visitor.upload(&path, &[], &[("file", "IMG_1.png", &file)]).await;
    assert_eq!(reply.status, axum::http::StatusCode::SEE_OTHER, "{}", reply.text("main"));
    panel
}

at_a_desk! {
    async fn iron_brooch_and_wet_glass_are_registered_and_the_glass_comes_first(lab: Lab, browser: &Browser) {
        as_person(&lab, browser, lab.site.person(Role::FindsOfficer)).await;
        browser.go("Contexts").await;
        browser.follow("Enter a context").await;
        browser.fill("Number", "214").await;
        browser.fill("Kind", "fill").await;
        browser.press("Save the context").await;
        browser.assert_page("Context 214").await;
        browser.follow("Register a find from here").await;
        register(browser, ("Iron", "strap hinge", "dry"), "1 strap hinge").await;
        browser.assert_says("X-ray").await;
        browser.follow("Register another").await;
        register(browser, ("Copper alloy", "brooch", "dry"), "2 brooch").await;
        browser.follow("Register another").await;
        register(browser, ("Glass", "rim", "wet"), "3 rim").await;
        // wet glass: 14 days to its treatment, a look every 7
        browser.assert_says("wet pack since 15 Sep 2031, limit 29 Sep 2031, next look 22 Sep 2031").await;
        browser.assert_says("Label").await;

        // the iron is locked until a plate
        as_person(&lab, browser, lab.site.person(Role::Conservator)).await;
        browser.goto(&links::record_of(lab.site.code, Stage::DryClean, number(&lab, "1").await)).await;
        clean(browser, "scalpel under the microscope").await;
        browser.assert_says("This find is X-rayed before it is cleaned").await;
        browser.assert_page("Record dry clean").await;

        // eight days on, what is due on the bench's list is the glass
        let later = lab.later(noon() + chrono::Duration::days(8));
        let mut odile = later.sign_in(Role::Conservator).await;
        let today = odile.page("/today").await;
        let lines = today.texts(".waiting .lines li");
        assert!(lines[0].starts_with('3') && lines[0].contains("look 1 day overdue"), "{lines:?}");
    }

    async fn a_carving_is_tested_on_four_spots_and_no_wider_cleaning_goes_without_a_level(lab: Lab, browser: &Browser) {
        let panel = panel(&lab, lab.site.person(Role::Conservator)).await;
        as_person(&lab, browser, lab.site.person(Role::Conservator)).await;
        browser.goto(&links::find(panel)).await;
        let form = links::record_of(lab.site.code, Stage::SpotTest, panel);
        let (accepted, refused) = ("accepted: may be used on this find", "refused: not on this find");
        test_spot(browser, &form, ("water", ""), (("20", "30"), "colour on the swab"), refused).await;
        test_spot(browser, &form, ("ethanol", "50"), (("40", "30"), "no visible effect"), accepted).await;
        test_spot(browser, &form, ("white spirit, dearomatised", ""), (("60", "30"), "no visible effect"), accepted).await;
        test_spot(browser, &form, ("dry swab, no liquid", ""), (("80", "30"), "no visible effect"), accepted).await;
        browser.follow("Spot tests side by side").await;
        browser.assert_page("Spot tests of 88").await;
        browser.assert_says("Barred for this find: water").await;
        browser.assert_says("Colour came away. Treat it as painted until shown otherwise").await;
        let marks = "return document.querySelectorAll('figure.marked text').length";
        assert_eq!(browser.driver.execute(marks, Vec::new()).await.unwrap().json(), &serde_json::json!(4), "four sites on the map");
        assert_eq!(browser.text("thead").await.matches("Test ").count(), 4, "tests without effect are kept");

        // wider cleaning asks for a level first
        browser.goto(&links::record_of(lab.site.code, Stage::WetClean, panel)).await;
        browser.fill("Mixture", "water").await;
        clean(browser, "swab").await;
        browser.assert_says("no accepted spot test").await;
        browser.fill("Mixture", "ethanol 50 % in water").await;
        browser.press("Save the record").await;
        browser.assert_silent("no accepted spot test").await;
        browser.follow("Record cleaning level").await;
        browser.assert_page("Record cleaning level").await;
        for (label, words) in [
            ("Level in words", "loose soil off, all colour kept"),
            ("Layers to keep", "red, its ground, the lime skin"),
            ("Stop-point", "first tint on the swab"),
            ("Decided by", "Odile Marchbank"),
            ("Consulted", "Prof. Ilka Varnsted"),
            ("Evidence", "water lifts the red; the others do nothing to it"),
        ] {
            browser.fill(label, words).await;
        }
        browser.press("Save the record").await;
        browser.assert_page("88 panel").await;

        as_person(&lab, browser, lab.site.person(Role::Lead)).await;
        browser.follow("88").await;
        browser.assert_page("Cleaning level for 88").await;
        browser.assert_says("water lifts the red").await;
        browser.press("Refuse it").await;
        browser.assert_says("Say why it is refused").await;
        browser.assert_page("Cleaning level for 88").await;
        browser.fill("Your words", "one square at a time").await;
        browser.press("Authorise this level").await;
        browser.assert_says("You authorised the cleaning level").await;

        as_person(&lab, browser, lab.site.person(Role::Conservator)).await;
        browser.assert_says("Cleaning levels answered").await;
        browser.assert_says("one square at a time").await;
        browser.goto(&links::record_of(lab.site.code, Stage::WetClean, panel)).await;
        browser.assert_says("Agreed level").await;
        browser.assert_says("first tint on the swab").await;
        browser.fill("Mixture", "ethanol 50 % in water").await;
        browser.tick("No, it went further").await;
        browser.fill("How it went further", "The lime skin came off one fold.").await;
        clean(browser, "swab, one pass").await;
        browser.assert_says("Beyond the agreed level").await;
        browser.follow("All steps beyond an agreed level").await;
        browser.assert_page("Steps beyond the agreed level").await;
        browser.assert_says("The lime skin came off one fold.").await;
    }
}

/// The find of that number.
async fn number(lab: &Lab, number: &str) -> FindId {
    let mut tx = lab.site.db.read().await.unwrap();
    store::finds::find_by_number(&mut tx, lab.site.project, number).await.unwrap().unwrap()
}
