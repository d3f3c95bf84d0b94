//! Ilka Varnsted compares the rings of a mirror with a page of a book; Petra Dunmoor reads that nothing is proved by it.
//! Numbers: case H7_ring_mould_match.o01 of tests/cases/rings.json, by SciPy's multivariate normal.
use super::as_person;
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::Lab;

at_a_desk! {
    async fn two_moulds_fit_about_as_well_and_the_report_says_so(lab: Lab, browser: &Browser) {
        let mirror = lab.site.find("12").material("copper_alloy").object("mirror").add().await;
        lab.site.assign(&[mirror]).await;
        let ilka = browser;
        let petra = Browser::open(&lab).await;
        as_person(&lab, ilka, lab.site.person(Role::Specialist)).await;
        as_person(&lab, &petra, lab.site.person(Role::Manager)).await;
        ilka.follow("12").await;
        ilka.follow("Ring diameters, compared with moulds").await;
        ilka.assert_page("Rings of 12").await;
        ilka.follow("Enter a list of moulds").await;
        ilka.fill("Name", "Casts").await;
        ilka.fill("Moulds", "A;12;24;38;52\nB;25;11\nC;14;22;40;51").await;
        ilka.press("Keep the list").await;
        ilka.assert_says("Row 2").await;
        ilka.assert_page("Enter a list of moulds").await;
        ilka.fill("Source", "Lund 1998, pl. 4").await;
        ilka.fill("Moulds", "A;12;24;38;52\nB;11;25;37;54\nC;14;22;40;51\nE;12,2;24,5;38,6;52,4").await;
        ilka.press("Keep the list").await;
        ilka.assert_says("with 4 moulds").await;
        ilka.assert_page("Casts").await;
        ilka.go("My finds").await;
        ilka.follow("12").await;
        ilka.follow("Ring diameters, compared with moulds").await;
        ilka.follow("Measure").await;
        ilka.fill("Ring diameters in mm", "11,83; 23,68; 37,31, 50,7 wide").await;
        ilka.press("Keep the diameters").await;
        ilka.assert_says("“wide” is no number").await;
        ilka.assert_page("Measure the rings of 12").await;
        ilka.fill("Ring diameters in mm", "11,83; 23,68; 37,31, 50,7").await;
        ilka.press("Keep the diameters").await;
        ilka.assert_says("These diameters cannot separate A and E: a tie.").await;
        ilka.assert_says("56.0 %").await;
        ilka.assert_page("Rings of 12").await;

        petra.go("Report").await;
        petra.assert_says("These diameters cannot separate A and E: a tie.").await;
        petra.assert_says("A, 56.0 % of the weight, scale 0.980; E, 44.0 % of the weight, scale 0.969").await;
        petra.close().await;
    }
}
