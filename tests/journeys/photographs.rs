//! Ansel Wrayburn sends his photographs (story 6): several at once, one of them as a telephone writes it.
use super::{as_person, lay_down};
use domain::permission::Role;
use std::path::{Path, PathBuf};
use tests::browser::Browser;
use tests::support::Lab;

/// A picture of the folder of media tests, under a camera's name.
fn photograph(lab: &Lab, name: &str, of: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("media/pictures").join(of);
    lay_down(lab, name, &std::fs::read(path).unwrap())
}

at_both_widths! {
    async fn photographs_are_sent_together_captioned_and_put_in_order(lab: Lab, browser: &Browser) {
        lab.site.find("61").material("iron").object("key").add().await;
        let files = [
            photograph(&lab, "front.jpg", "phone.jpg"),
            photograph(&lab, "back.png", "find.png"),
            photograph(&lab, "side.tif", "find.tif"),
        ];
        let foreign = lay_down(&lab, "IMG_2.HEIC", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic");
        as_person(&lab, browser, lab.site.person(Role::Photographer)).await;
        browser.go("Finds").await;
        browser.follow("61").await;
        browser.assert_page("61 key").await;
        browser.follow("Add photographs").await;
        browser.assert_page("Photographs of 61").await;
        browser.press("Add photographs").await;
        browser.assert_says("Choose at least one file").await;
        browser.fill("Photographer", "Ansel Wrayburn").await;
        browser.attach("Photographs", &[files[0].clone(), foreign]).await;
        browser.press("Add photographs").await;
        browser.assert_says("IMG_2.HEIC: HEIC pictures cannot be opened here.").await;
        browser.assert_says("export as JPEG").await;
        browser.assert_says("Added and safe: front.jpg").await;
        browser.assert_page("Photographs of 61").await;
        browser.attach("Photographs", &files[1..]).await;
        browser.press("Add photographs").await;
        browser.assert_page("Photographs of 61").await;
        let shown = browser.driver.find_all(tests::browser::By::Css(".plates img")).await.unwrap();
        assert_eq!(shown.len(), 3);

        browser.follow("Write a caption").await;
        browser.assert_page("Photograph of 61").await;
        browser.fill("Caption", "Front, with the bit to the right").await;
        browser.fill("View", "front").await;
        browser.press("Save the words").await;
        browser.assert_says("Front, with the bit to the right").await;
        browser.assert_page("Photograph of 61").await;
        browser.follow("Photographs").await;
        browser.press("Move back").await;
        browser.assert_page("Photographs of 61").await;
        assert!(browser.text(".plates > li:nth-child(2)").await.contains("Front, with the bit"));
        browser.go("Finds").await;
        browser.follow("61").await;
        browser.assert_says("Front, with the bit to the right").await;
        browser.assert_page("61 key").await;
    }
}

without_scripts!(photographs_are_sent_together_captioned_and_put_in_order);
