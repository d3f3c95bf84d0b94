//! Bea Lisle-Okoro finds that a late tile contradicts a dated floor, and judges it intrusive.
use super::as_person;
use crate::contexts::{above, dated};
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::Lab;

at_a_desk! {
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
