//! Odile Marchbank at the bench: stages with their records, gates that refuse, a lead who answers (stories 2 and 3).
use super::as_person;
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::Lab;
use web::links;

/// Fills what every record asks.
async fn work(browser: &Browser, method: &str, outcome: &str) {
    browser.fill("Method", method).await;
    browser.fill("Outcome", outcome).await;
    browser.press("Save the record").await;
}

/// Fills what a record of cleaning asks as well.
async fn clean(browser: &Browser, method: &str, outcome: &str) {
    for (label, words) in [
        ("Aim", "loose soil off"),
        ("Area treated", "whole"),
        ("Begun", "09:40"),
        ("Ended", "11:05"),
        ("Materials", "brush, cotton"),
        ("What was removed", "soil"),
    ] {
        browser.fill(label, words).await;
    }
    work(browser, method, outcome).await;
}

/// Condition and stability, each by its own scale, with something seen.
async fn assess(browser: &Browser) {
    for (label, words) in [
        ("Reason", "on arrival"),
        ("Light used", "daylight, raking"),
        ("Extent examined", "front and edges"),
        ("Recommendation", "dry clean, then test the hem"),
        ("Look at it again on", "2031-09-29"),
    ] {
        browser.fill(label, words).await;
    }
    for (cell, words) in
        [("Seen, row 1", "deposit"), ("Where, row 1", "folds"), ("Extent in percent, row 1", "40")]
    {
        browser.one(&format!("[aria-label='{cell}']")).await.send_keys(words).await.unwrap();
    }
    browser.tick("fair").await;
    browser.tick("stable").await;
    browser.press("Save the assessment").await;
    browser.assert_page("88 panel").await;
}

async fn test_spot(browser: &Browser, mixture: &str, effect: &str, decision: &str) {
    browser.fill("Site of the spot", "hem of the robe, lower edge, 5 mm").await;
    browser.fill("Or written out", mixture).await;
    browser.choose("Effect on the original", effect).await;
    browser.choose("Decision", decision).await;
    work(browser, "cotton swab, rolled once", "seen under the lens").await;
}

at_both_widths! {
    async fn a_carving_is_cleaned_only_with_what_was_tested_and_authorised(lab: Lab, browser: &Browser) {
        let panel = lab.site.find("88").material("stone").object("panel, carved").add().await;
        as_person(&lab, browser, lab.site.person(Role::Conservator)).await;
        browser.go("Finds").await;
        browser.follow("88").await;
        browser.assert_page("88 panel").await;
        browser.follow("Record first-aid packing").await;
        browser.assert_page("Record first-aid packing").await;
        browser.press("Save the record").await;
        browser.assert_says("Say in what it is packed").await;
        browser.assert_page("Record first-aid packing").await;
        browser.fill("Container", "crate, foam bed").await;
        browser.press("Save the record").await;
        browser.assert_says("The record of first-aid packing is on 88’s page").await;
        browser.follow("Assess the condition").await;
        assess(browser).await;
        browser.follow("Record dry clean").await;
        clean(browser, "soft brush, small scoop", "loose soil off, kept in bag 4").await;

        // water lifts red and dulls: kept as a result, never accepted
        browser.follow("Record spot test").await;
        browser.assert_page("Record spot test").await;
        test_spot(browser, "water", "colour on the swab", "accepted: may be used on this find").await;
        browser.assert_says("A mixture that changed the original cannot be accepted").await;
        browser.assert_page("Record spot test").await;
        browser.choose("Decision", "refused: not on this find").await;
        browser.press("Save the record").await;
        browser.follow("Record spot test").await;
        test_spot(browser, "ethanol 50 % in water", "no visible effect", "accepted: may be used on this find").await;
        browser.assert_page("88 panel").await;

        // straight to the wet cleaning from the list: refused, with the way on
        browser.goto(&format!("{}?find={panel}", links::record_new(lab.site.code, domain::stages::Stage::WetClean))).await;
        browser.fill("Mixture", "water").await;
        clean(browser, "swab", "clean").await;
        browser.assert_says("Stopped, and nothing was saved").await;
        browser.assert_says("no accepted spot test").await;
        browser.assert_page("Record wet clean").await;
        browser.follow("Record cleaning level").await;
        browser.assert_page("Record cleaning level").await;
        browser.fill("Level in words", "loose soil off, red kept").await;
        browser.fill("Stop-point", "first tint on the swab").await;
        browser.fill("Layers to keep", "all paint").await;
        browser.fill("Decided by", "T. Reedling, O. Marchbank").await;
        browser.fill("Consulted", "nobody").await;
        browser.press("Save the record").await;
        browser.assert_says("waits for the lead’s answer").await;

        as_person(&lab, browser, lab.site.person(Role::Lead)).await;
        browser.assert_page("Today").await;
        browser.assert_says("Cleaning levels waiting for your answer").await;
        browser.follow("88").await;
        browser.press("Authorise this level").await;
        browser.assert_says("You authorised the cleaning level").await;
        as_person(&lab, browser, lab.site.person(Role::Conservator)).await;
        browser.go("Finds").await;
        browser.follow("88").await;
        browser.follow("Record wet clean").await;
        browser.fill("Mixture", "Ethanol 50 % in water").await;
        clean(browser, "swab, one pass", "soil off, no colour on the swab").await;
        browser.assert_says("Ready for drying").await;
        browser.assert_page("88 panel").await;
    }

    async fn iron_waits_for_its_plate_until_a_lead_lifts_the_gate_and_may_go_its_own_way(lab: Lab, browser: &Browser) {
        let nail = lab.site.find("61").material("iron").object("nail").add().await;
        as_person(&lab, browser, lab.site.person(Role::Conservator)).await;
        let dry_clean = links::record_of(lab.site.code, domain::stages::Stage::DryClean, nail);
        browser.goto(&dry_clean).await;
        clean(browser, "scalpel under the microscope", "crust off").await;
        browser.assert_says("This find is X-rayed before it is cleaned").await;
        browser.assert_silent("lift the gate").await;
        browser.assert_page("Record dry clean").await;

        as_person(&lab, browser, lab.site.person(Role::Lead)).await;
        browser.goto(&dry_clean).await;
        clean(browser, "scalpel under the microscope", "crust off").await;
        browser.follow("lift the gate with a reason").await;
        browser.assert_page("Lift the gate").await;
        browser.press("Lift the gate").await;
        browser.assert_says("A gate is lifted with a reason only").await;
        browser.fill("Reason", "fragments without a core, plate 4 shows nothing").await;
        browser.press("Lift the gate").await;
        browser.assert_says("Gate lifted: X-ray first, because fragments without a core").await;
        browser.assert_page("61 nail").await;

        browser.follow("Change the route").await;
        browser.assert_page("Route of 61").await;
        browser.tick("desalination").await;
        browser.press("Save the route").await;
        browser.assert_says("This cannot be saved yet").await;
        browser.assert_page("Route of 61").await;
        browser.fill("Reason", "no core left to desalinate").await;
        browser.press("Save the route").await;
        browser.assert_says("A route of its own: no core left to desalinate").await;
        assert!(!browser.text(".route").await.contains("desalination"));

        as_person(&lab, browser, lab.site.person(Role::Conservator)).await;
        browser.goto(&dry_clean).await;
        clean(browser, "scalpel under the microscope", "crust off").await;
        browser.assert_says("The record of dry clean is on 61’s page").await;
    }

    async fn a_standing_authorisation_lets_plain_sherds_be_washed(lab: Lab, browser: &Browser) {
        let sherds = lab.site.find("3").material("ceramic").object("sherds").bulk(40).add().await;
        as_person(&lab, browser, lab.site.person(Role::Lead)).await;
        browser.unfold("Project").await;
        browser.follow("VSQ31 Site VSQ31").await;
        browser.assert_page("Site VSQ31").await;
        browser.follow("Standing authorisations").await;
        browser.assert_page("Standing authorisations").await;
        browser.choose("Material group", "Ceramic").await;
        browser.fill("Class of finds", "sound unpainted ceramic").await;
        browser.fill("With what", "water").await;
        browser.press("Give the authorisation").await;
        browser.assert_says("Say where to stop").await;
        browser.fill("Stop-point", "at the slip").await;
        browser.press("Give the authorisation").await;
        browser.assert_says("in force").await;
        browser.assert_page("Standing authorisations").await;

        as_person(&lab, browser, lab.site.person(Role::FindsOfficer)).await;
        browser.goto(&links::record_of(lab.site.code, domain::stages::Stage::DryClean, sherds)).await;
        clean(browser, "brush", "loose soil off").await;
        browser.goto(&links::record_of(lab.site.code, domain::stages::Stage::WetClean, sherds)).await;
        browser.fill("Mixture", "water").await;
        clean(browser, "soft brush in a bowl", "clean").await;
        browser.assert_says("Stopped, and nothing was saved").await;
        browser.choose("Under a standing authorisation", "sound unpainted ceramic: water, stop-point: at the slip").await;
        browser.fill("Pieces of 3, of 40", "15").await;
        browser.press("Save the record").await;
        browser.assert_says("15 of 40 pieces").await;
        browser.assert_page("3 sherds").await;
    }
}
