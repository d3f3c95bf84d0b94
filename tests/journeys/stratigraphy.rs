//! Bea Lisle-Okoro judges what the finds say of their contexts: a late tile that contradicts a dated floor, and the coin of
//! story 10 while Petra Dunmoor looks on.
use super::as_person;
use crate::contexts::{above, date, dated};
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::{Lab, Site};

/// Finds of context 214 as story 10 has them: pottery 120–160, glass 70–130, coin 270–273.
async fn fill_of_the_pit(site: &Site) {
    let pit = site.context("214").await;
    for (number, material, object, years) in [
        ("4", "ceramic", "jar", (120, 160)),
        ("5", "glass", "beaker", (70, 130)),
        ("6", "coin", "coin", (270, 273)),
    ] {
        let find = site.find(number).material(material).object(object).in_context(pit).add().await;
        date(site, find, years).await;
    }
}

at_a_desk! {
    async fn the_coin_dates_the_pit_until_it_is_judged_intrusive(lab: Lab, browser: &Browser) {
        fill_of_the_pit(&lab.site).await;
        let petra = browser;
        let bea = Browser::open(&lab).await;
        as_person(&lab, petra, lab.site.person(Role::Manager)).await;
        as_person(&lab, &bea, lab.site.person(Role::FindsOfficer)).await;
        for each in [petra, &bea] {
            each.go("Contexts").await;
            each.follow("214").await;
            each.assert_says("AD 270").await;
            each.assert_says("find 6, coin, AD 270 to AD 273").await;
        }
        petra.assert_says("Without that find\nAD 120").await;

        bea.follow("Judge find 6").await;
        bea.tick("Intrusive: later, got in afterwards").await;
        bea.fill("Reason", "in the fill of a root hole").await;
        bea.press("Record the judgement").await;
        bea.assert_says("find 4, jar, AD 120 to AD 160").await;

        petra.go("Contexts").await;
        petra.follow("214").await;
        petra.assert_says("find 4, jar, AD 120 to AD 160").await;
        petra.assert_says("No, intrusive. finds officer, 15 Sep 2031: in the fill of a root hole").await;
        petra.assert_says("Without that find\nAD 70").await;
        petra.go("Report").await;
        petra.assert_says("4, jar, AD 120 to AD 160").await;
        petra.assert_says("Find 6 in context 214: intrusive. finds officer, 15 Sep 2031: in the fill of a root hole.").await;
        bea.close().await;
    }

    async fn a_late_tile_is_judged_intrusive_and_the_conflict_is_gone(lab: Lab, browser: &Browser) {
        let site = &lab.site;
        above(site, "206", "207").await;
        above(site, "207", "208").await;
        let below = site.context("208").await;
        dated(site, "88", below, (1368, 1467)).await;
        dated(site, "442", below, (1450, 1500)).await;
        as_person(&lab, browser, site.person(Role::FindsOfficer)).await;
        browser.go("Contexts").await;
        browser.follow("206").await;
        browser.assert_page("Context 206").await;
        browser.follow("Fix a year by which it was there").await;
        browser.assert_page("Fix a year for context 206").await;
        browser.press("Fix the year").await;
        browser.assert_says("This cannot be saved yet").await;
        browser.fill("There by", "AD 1430").await;
        browser.fill("How it is known", "harbour accounts, folio 12").await;
        browser.press("Fix the year").await;
        browser.assert_says("Conflict.").await;
        browser.assert_page("Context 206").await;

        browser.follow("In the stratigraphic diagram").await;
        browser.assert_says("Find 442 from context 208 asks for AD 1450 or later").await;
        browser.assert_page("Stratigraphic diagram").await;
        browser.follow("150 %").await;
        browser.assert_page("Stratigraphic diagram").await;
        browser.follow("208").await;
        browser.assert_page("Context 208").await;
        browser.assert_says("possibly intrusive: it begins after AD 1430").await;
        browser.follow("Judge find 442").await;
        browser.assert_page("Judge 442 in context 208").await;
        browser.tick("Intrusive: later, got in afterwards").await;
        browser.fill("Reason", "pressed down into the make-up").await;
        browser.press("Record the judgement").await;
        browser.assert_says("No, intrusive.").await;
        browser.assert_says("AD 1368").await;
        browser.assert_silent("Conflict.").await;
        browser.assert_page("Context 208").await;
    }
}

without_scripts!(a_late_tile_is_judged_intrusive_and_the_conflict_is_gone);
