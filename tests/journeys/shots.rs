//! Story 6: Ansel Wrayburn opens the shot list of forty finds and sends 118 photographs and twelve drawings.
use super::{as_person, lay_down};
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use std::path::PathBuf;
use tests::browser::{Browser, By};
use tests::support::Lab;

/// Small finds 60 to 99, cleaned dry: each wants its photograph before and after.
const NUMBERS: std::ops::RangeInclusive<u32> = 60..=99;
/// Finds whose detail is photographed without a scale.
const WITHOUT_SCALE: [u32; 3] = [70, 71, 72];

/// 118 files: 40 before, 39 after (none of 61), the back of 88 in ultraviolet alone, 36 details, two that are there already.
struct Sending {
    /// 113 photographs that are new, and two of them once more under other names.
    with_scale: Vec<PathBuf>,
    without_scale: Vec<PathBuf>,
    drawings: Vec<PathBuf>,
}

fn photographs(lab: &Lab) -> Sending {
    let phone = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("media/pictures/phone.jpg");
    let phone = std::fs::read(phone).unwrap();
    let mut shades = 0..=u8::MAX;
    let mut photograph = |name: String| lay_down(lab, &name, &crate::images::plain(shades.next().unwrap()));
    let mut with_scale = vec![lay_down(lab, "VSQ31_60_front_before.jpg", &phone)];
    with_scale.extend(NUMBERS.skip(1).map(|n| photograph(format!("VSQ31_{n}_front_before.png"))));
    with_scale.extend(NUMBERS.filter(|n| *n != 61).map(|n| photograph(format!("VSQ31_{n}_front_after.png"))));
    with_scale.push(photograph("VSQ31_88_back_uv_before.png".into()));
    let details = NUMBERS.filter(|n| *n >= 64);
    let (bare, scaled): (Vec<u32>, Vec<u32>) = details.partition(|n| WITHOUT_SCALE.contains(n));
    with_scale.extend(scaled.iter().map(|n| photograph(format!("VSQ31_{n}_detail_before.png"))));
    let without_scale = bare.iter().map(|n| photograph(format!("VSQ31_{n}_detail_before.png"))).collect();
    for (copy, of) in [("VSQ31_60_copy.jpg", 0), ("VSQ31_75_front_again.png", 15)] {
        let bytes = std::fs::read(&with_scale[of]).unwrap();
        with_scale.push(lay_down(lab, copy, &bytes));
    }
    let drawings = NUMBERS.take(12).enumerate().map(|(at, n)| match at % 2 {
        0 => lay_down(lab, &format!("VSQ31_{n}_drawing.pdf"), format!("%PDF-1.7 drawing of {n}").as_bytes()),
        _ => {
            let svg = format!("<svg xmlns=\"http://www.w3.org/2000/svg\"><title>{n}</title></svg>");
            lay_down(lab, &format!("VSQ31_{n}_drawing.svg"), svg.as_bytes())
        }
    });
    Sending { drawings: drawings.collect(), with_scale, without_scale }
}

async fn rows(browser: &Browser) -> Vec<String> {
    let mut rows = Vec::new();
    for row in browser.driver.find_all(By::Css("table tbody tr")).await.unwrap() {
        rows.push(row.text().await.unwrap().split_whitespace().collect::<Vec<_>>().join(" "));
    }
    rows
}

at_a_desk! {
    async fn the_shot_list_of_forty_finds_knows_what_is_missing(lab: Lab, browser: &Browser) {
        for number in NUMBERS {
            let find = lab.site.find(&number.to_string()).material("ceramic").object("jug").add().await;
            lab.site.mark(find, Stage::DryClean, StageState::Done).await;
        }
        let sending = photographs(&lab);
        assert_eq!((sending.with_scale.len() + sending.without_scale.len(), sending.drawings.len()), (118, 12));
        as_person(&lab, browser, lab.site.person(Role::Photographer)).await;
        browser.goto(&web::links::shots("VSQ31")).await;
        browser.assert_page("Shot list").await;
        browser.assert_says("finds 60 to 99: 40 of 40 lack something").await;

        browser.follow("Add photographs").await;
        browser.assert_page("Add photographs and drawings").await;
        browser.fill("Photographer", "Ansel Wrayburn").await;
        browser.fill("Scale in the picture", "50").await;
        let all: Vec<PathBuf> = sending.with_scale.iter().chain(&sending.drawings).cloned().collect();
        browser.attach("Files", &all).await;
        browser.press("Add the files").await;
        browser.assert_comes("The tray is empty").await;
        browser.assert_page("Tray").await;
        // 115 photographs, two of them known by their checksum, and twelve drawings
        browser.assert_says("125 files sorted to finds by their names").await;
        browser.assert_says("2 were in the project already and are kept once: VSQ31_60_copy.jpg, VSQ31_75_front_again.png").await;
        browser.follow("Add photographs").await;
        browser.attach("Files", &sending.without_scale).await;
        browser.press("Add the files").await;
        browser.assert_comes("3 files sorted to finds by their names").await;

        browser.goto(&web::links::shots("VSQ31")).await;
        browser.assert_page("Shot list").await;
        browser.assert_says("finds 60 to 99: 5 of 40 lack something").await;
        let rows = rows(browser).await;
        assert_eq!(rows.len(), 5, "{rows:?}");
        assert!(rows[0].contains("61") && rows[0].contains("after: front, visible light"), "{rows:?}");
        for (row, number) in rows[1..4].iter().zip(WITHOUT_SCALE) {
            assert!(row.contains(&number.to_string()) && row.contains("no scale noted"), "{row}");
        }
        assert!(rows[4].contains("88") && rows[4].contains("ultraviolet without the same view in visible light"), "{rows:?}");
        assert_eq!(rows.iter().filter(|row| row.contains("no scale noted")).count(), 3, "{rows:?}");

        // the camera's date stands beside the photograph, the drawing with the find
        let mut tx = lab.site.db.read().await.unwrap();
        let find = store::finds::find_by_number(&mut tx, lab.site.project, "60").await.unwrap().unwrap();
        drop(tx);
        browser.goto(&web::links::images_of_find(find)).await;
        browser.assert_page("Photographs of 60").await;
        browser.follow("Write a caption").await;
        // DateTimeOriginal as tests/media/pictures/make.py writes it
        browser.assert_says("14 Jun 2026, 10:32, by the camera’s clock").await;
        browser.goto(&web::links::attachments(find)).await;
        browser.assert_page("Attachments of 60").await;
        browser.assert_says("VSQ31_60_drawing.pdf").await;
    }
}
