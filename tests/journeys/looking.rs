//! The condition of a find is assessed on a telephone; its photographs are compared at a desk.
use domain::ids::FindId;
use domain::permission::Role;
use tests::browser::{Browser, DESKTOP, PHONE};
use tests::support::{Engine, Lab, engines};

#[test]
fn a_condition_is_assessed_on_a_telephone_and_stands_on_the_find() {
    engines::run(Engine::Sqlite, async |lab: Lab| {
        let find = lab.site.find("61").material("wood_leather").object("knife sheath").add().await;
        let browser = Browser::open(&lab).await;
        browser.size(PHONE).await;
        browser.sign_in(&lab.site.email(Role::Conservator)).await;
        browser.goto(&web::links::find(find)).await;
        browser.follow("Assess the condition").await;
        for (label, words) in [
            ("Reason", "on arrival"),
            ("Light used", "daylight"),
            ("Extent examined", "all sides"),
            ("Recommendation", "keep wet, dark and cool"),
            ("Look at it again on", "2031-09-29"),
        ] {
            browser.fill(label, words).await;
        }
        for (cell, words) in
            [("Seen, row 1", "distortion"), ("Where, row 1", "edges"), ("Extent in percent, row 1", "10")]
        {
            browser.one(&format!("[aria-label='{cell}']")).await.send_keys(words).await.unwrap();
        }
        browser.tick("poor weak, damaged or obscured; needs work before it is studied or shown").await;
        browser.tick("unstable will change before the next look unless something is done").await;
        browser.assert_accessible().await;
        browser.press("Save the assessment").await;
        assert_eq!(browser.path().await, web::links::find(find));
        browser.assert_says("distortion, edges, 10 %").await;
        browser.close().await;
    });
}

/// Sends two photographs of the same view, before and after, by their names.
async fn photographs(lab: &Lab, find: FindId) {
    let mut ansel = lab.sign_in(Role::Photographer).await;
    let picture =
        |name: &str| std::fs::read(format!("{}/media/pictures/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let (before, after) = (picture("phone.jpg"), picture("find.png"));
    let files =
        [("file", "VSQ31_61_front_before.jpg", &*before), ("file", "VSQ31_61_front_after.png", &*after)];
    ansel.upload(&web::links::drop(lab.site.code), &[], &files).await;
    let mut tx = lab.site.db.read().await.unwrap();
    assert_eq!(store::images::list_of_find(&mut tx, find).await.unwrap().len(), 2);
}

#[test]
fn before_and_after_are_compared_by_a_slider_or_side_by_side() {
    engines::run(Engine::Sqlite, async |lab: Lab| {
        let find = lab.site.find("61").material("wood_leather").add().await;
        photographs(&lab, find).await;
        let browser = Browser::open(&lab).await;
        browser.size(DESKTOP).await;
        browser.sign_in(&lab.site.email(Role::Photographer)).await;
        browser.goto(&web::links::pairs(find)).await;
        let slider = browser.one("input[type=range]").await;
        let shown =
            async || browser.one(".pair figure:last-child img").await.css_value("clip-path").await.unwrap();
        assert!(shown().await.contains("50%"), "{}", shown().await);
        slider.send_keys("\u{e012}").await.unwrap();
        assert!(shown().await.contains("49%"), "the keyboard moves it: {}", shown().await);
        browser.assert_accessible().await;
        browser.scripts(false).await;
        browser.goto(&web::links::pairs(find)).await;
        assert_eq!(shown().await, "none", "without script both are whole");
        browser.close().await;
    });
}
