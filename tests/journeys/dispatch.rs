//! Story 7: Bea Lisle-Okoro sends glass to Sabine and counts what comes back; both are signed in at once.
use super::as_person;
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::Lab;

async fn count(browser: &Browser, pieces: &str) {
    browser.fill("Pieces of 90", pieces).await;
    browser.fill("Mass of 90", "41.2").await;
    browser.press("Record it").await;
}

at_a_desk! {
    async fn seventeen_pieces_go_sixteen_come_back_and_two_joined_closes_it(lab: Lab, browser: &Browser) {
        let glass = lab.site.find("90").material("glass").object("window glass").bulk(17)
            .with(|find| find.weight_g = Some(41.2)).add().await;
        let sabine = lab.site.another(Role::Specialist, "Sabine Okafor-Lind").await;
        let bea = browser;
        let other = Browser::open(&lab).await;
        as_person(&lab, bea, lab.site.person(Role::FindsOfficer)).await;
        as_person(&lab, &other, sabine).await;

        bea.go("Finds").await;
        bea.tick("90").await;
        bea.press("Dispatch").await;
        bea.assert_page("Dispatch 90").await;
        bea.choose("Recipient", "Sabine Okafor-Lind").await;
        bea.press("Dispatch").await;
        bea.assert_says("This cannot be saved yet").await;
        bea.assert_page("Dispatch 90").await;
        bea.fill("Condition of 90 as it leaves", "stable, iridescent").await;
        bea.fill("What for", "joins").await;
        bea.fill("Packing", "foam cut-outs, one layer").await;
        bea.fill("Carrier", "by hand").await;
        bea.press("Dispatch").await;
        bea.assert_page("Dispatch VSQ31 D1").await;
        bea.assert_says("17 pieces, 41.2 g").await;
        let paper = bea.download("Print the note", lab.folder()).await;
        assert!(std::fs::read(&paper).unwrap().starts_with(b"%PDF-"));

        other.go("My finds").await;
        other.assert_says("Objects with you").await;
        other.follow("Say what arrived").await;
        other.assert_page("What arrived of VSQ31 D1").await;
        count(&other, "17").await;
        other.assert_says("Everything is there").await;
        other.assert_page("Dispatch VSQ31 D1").await;

        bea.go("Specialists").await;
        bea.follow("Dispatches").await;
        bea.assert_page("Dispatches").await;
        bea.follow("D1").await;
        bea.assert_says("With Sabine Okafor-Lind").await;
        bea.follow("Receive it back").await;
        bea.assert_page("What came back of VSQ31 D1").await;
        count(bea, "16").await;
        bea.assert_says("1 piece fewer came back than expected").await;
        bea.assert_page("Dispatch VSQ31 D1").await;
        bea.go("Today").await;
        bea.assert_says("Differences to be explained").await;
        bea.assert_page("Today").await;

        other.go("My finds").await;
        other.assert_says("a difference to be explained").await;
        other.follow("Explain the difference").await;
        other.assert_page("What became of 90").await;
        other.tick("joined").await;
        other.fill("So many pieces", "2").await;
        other.fill("became so many", "1").await;
        other.fill("In a sentence", "two joined").await;
        other.press("Record it").await;
        other.assert_says("Register and dispatch both say 16 pieces, 41.2 g").await;

        bea.go("Today").await;
        bea.assert_silent("Differences to be explained").await;
        bea.go("Finds").await;
        bea.assert_says("16 pieces, 41.2 g").await;
        bea.follow("90").await;
        bea.assert_page("90 window glass").await;
        bea.assert_says("17 pieces, 41.2 g before, 16 pieces, 41.2 g after: two joined").await;
        bea.goto(&web::links::report(lab.site.code)).await;
        let rows = bea.text("main").await;
        let glass_row = rows.lines().find(|row| row.starts_with("Glass ")).unwrap_or_else(|| panic!("{rows}")).to_owned();
        assert!(glass_row.contains("16") && glass_row.contains("41.2") && !glass_row.contains("17"), "{glass_row}");
        bea.goto(&web::links::find(glass)).await;
        bea.follow("D1, to Sabine Okafor-Lind, 15 Sep 2031: 17 pieces, 41.2 g; back 16 pieces, 41.2 g").await;
        bea.assert_says("two joined").await;
        bea.assert_says("Everything is back").await;
        other.close().await;
    }
}

without_scripts!(seventeen_pieces_go_sixteen_come_back_and_two_joined_closes_it);
