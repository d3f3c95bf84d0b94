//! Finds go to Dr Joss Penhallick with what was agreed (story 9, second half of 10); she goes through them by keyboard on a train,
//! asks Odile Marchbank for a measurement and takes her days and opinions away.
use super::as_person;
use domain::ids::{FindId, ImageId};
use domain::permission::Role;
use serde_json::{Value, json};
use store::images::{ImageWords, NewImage};
use tests::browser::Browser;
use tests::support::{Engine, Lab, engines, noon};
use thirtyfour::Key;
use web::links;

/// What the issue asks of a slow line: readable within this.
const READABLE_MS: f64 = 2_500.0;

/// Keys pressed wherever the cursor is.
async fn keys(browser: &Browser, key: Key) {
    let chain = browser.driver.action_chain().key_down(Key::Alt).send_keys(key).key_up(Key::Alt);
    chain.perform().await.unwrap();
}

async fn line(browser: &Browser, offline: bool) {
    let conditions = json!({ "offline": offline, "latency": 200, "downloadThroughput": 125_000, "uploadThroughput": 125_000 });
    browser.driver.cdp().send_raw("Network.enable", json!({})).await.unwrap();
    browser.driver.cdp().send_raw("Network.emulateNetworkConditions", conditions).await.unwrap();
}

async fn ask(browser: &Browser, script: &str) -> Value {
    browser.driver.execute(script, Vec::new()).await.unwrap().json().clone()
}

at_a_desk! {
    async fn a_specialist_goes_through_the_desk_and_is_answered(lab: Lab, browser: &Browser) {
        for number in ["95", "96"] {
            lab.site.find(number).material("cremated_bone").object("urn spit").restricted().add().await;
        }
        lab.site.clear(Role::Manager).await;
        lab.site.clear(Role::Conservator).await;
        as_person(&lab, browser, lab.site.person(Role::Manager)).await;
        browser.goto(&format!("{}?material=cremated_bone", links::finds("VSQ31"))).await;
        browser.follow("Send all finds of this list to a specialist").await;
        browser.assert_page("Send 2 finds to a specialist").await;
        browser.choose("Specialist", "specialist").await;
        browser.fill("Question", "How many individuals?").await;
        browser.fill("Until", "2031-10-15").await;
        browser.fill("Days", "1.5").await;
        browser.press("Send").await;
        browser.assert_says("are restricted").await;
        browser.assert_page("Send 2 finds to a specialist").await;
        browser.tick("restricted finds").await;
        browser.press("Send").await;
        browser.assert_says("2 finds are with specialist").await;
        browser.assert_page("With specialists").await;

        as_person(&lab, browser, lab.site.person(Role::Specialist)).await;
        browser.assert_page("My finds").await;
        browser.follow("Write an opinion").await;
        browser.assert_page("Opinion on 95").await;
        browser.fill("Identification", "human, adult").await;
        browser.assert_comes("Draft kept").await;
        keys(browser, Key::PageDown).await;
        browser.assert_comes("Opinion on 96").await;
        keys(browser, Key::PageUp).await;
        browser.assert_comes("Opinion on 95").await;
        assert_eq!(browser.field("Identification").await.value().await.unwrap().unwrap(), "human, adult");
        browser.choose("Ask the project", "a measurement asked for").await;
        browser.fill("In your words", "Weight before sieving, please.").await;
        browser.press("Send the question").await;
        browser.assert_says("It is on its way").await;

        as_person(&lab, browser, lab.site.person(Role::Conservator)).await;
        browser.assert_says("Weight before sieving, please.").await;
        browser.follow("Answer").await;
        browser.assert_page("Questions about 95").await;
        browser.fill("Answer", "212 g").await;
        browser.press("Answer").await;
        browser.assert_says("a letter is on its way").await;

        as_person(&lab, browser, lab.site.person(Role::Specialist)).await;
        browser.assert_says("answer received").await;
        browser.follow("Go on with the draft").await;
        browser.assert_says("212 g").await;
        browser.goto(links::MY_FINDS).await;
        browser.follow("Days: 0 of 1.5 days for Site VSQ31 (VSQ31), due 15 Oct 2031").await;
        browser.fill("Day", "2031-09-14").await;
        browser.fill("Days", "0.5").await;
        browser.fill("What was done", "first look at both").await;
        browser.press("Log it").await;
        browser.assert_says("0.5 of 1.5 days worked, 1 left").await;
        browser.assert_page("Days for Site VSQ31").await;
        browser.follow("Statement to invoice from").await;
        browser.assert_says("Together 0.5 days").await;
        browser.assert_page("Statement of work").await;
    }
}

/// A photograph whose print for the screen weighs as much as that of a busy surface.
async fn heavy_picture(lab: &Lab, find: FindId) -> ImageId {
    let (width, height) = (1_600, 1_200);
    let mut noise: u32 = 31;
    let picture = image::RgbImage::from_fn(width, height, |_, _| {
        noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        image::Rgb([(noise >> 24) as u8, (noise >> 16) as u8, (noise >> 8) as u8])
    });
    let mut jpeg = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut jpeg, 80).encode_image(&picture).unwrap();
    assert!(jpeg.len() > 500_000, "{}", jpeg.len());
    let sha256 = "7".repeat(64);
    let files = &lab.app.files;
    files.put_derived(sha256.parse().unwrap(), media::Variant::Screen, jpeg).await.unwrap();
    let mut tx = lab.site.db.write().await.unwrap();
    let new = NewImage {
        project: lab.site.project,
        sha256,
        file_name: "88-front.jpg".into(),
        media_type: "image/jpeg".into(),
        bytes: 1,
        width_px: width.into(),
        height_px: height.into(),
        taken_at: String::new(),
        camera: String::new(),
        has_position: false,
        words: ImageWords { caption: "Front".into(), ..ImageWords::default() },
    };
    let (id, _) =
        store::images::insert(&mut tx, &new, lab.site.person(Role::Photographer), noon()).await.unwrap();
    store::images::insert_find(&mut tx, id, find).await.unwrap();
    tx.commit().await.unwrap();
    id
}

/// 1 Mbit/s with 200 ms of delay, nothing in the cache: the page is read and written on while its picture is still coming.
#[test]
fn on_a_slow_line_the_form_does_not_wait_for_pictures_and_a_lost_line_loses_nothing() {
    engines::run(Engine::Sqlite, async |lab: Lab| {
        let context = lab.site.context("214").await;
        let find =
            lab.site.find("88").material("stone").object("panel, carved").in_context(context).add().await;
        lab.site.find("89").material("stone").add().await;
        lab.site.assign(&[find]).await;
        heavy_picture(&lab, find).await;
        let browser = Browser::open_watched(&lab).await;
        browser.go_on_as(&lab.sign_in(Role::Specialist).await).await;
        line(&browser, false).await;
        browser.driver.cdp().send_raw("Network.clearBrowserCache", json!({})).await.unwrap();
        browser.goto(&links::opinion(find)).await;

        let picture = "return document.querySelector('.beside img').complete && document.querySelector('.beside img').naturalWidth > 0";
        assert_eq!(ask(&browser, picture).await, json!(false), "the picture is still coming");
        browser.fill("Identification", "altarpiece").await;
        assert_eq!(ask(&browser, picture).await, json!(false), "and the form was not kept waiting");
        let seen = "const page = performance.getEntriesByType('navigation')[0];
            const paint = performance.getEntriesByName('first-contentful-paint')[0];
            return [paint.startTime, page.domInteractive, page.loadEventEnd];";
        let seen: Vec<f64> = serde_json::from_value(ask(&browser, seen).await).unwrap();
        println!(
            "first words after {:.0} ms, form after {:.0} ms, loaded after {:.0} ms",
            seen[0], seen[1], seen[2]
        );
        assert!(seen.iter().all(|ms| *ms > 0.0 && *ms <= READABLE_MS), "{seen:?}");
        browser.assert_comes("Draft kept").await;

        line(&browser, true).await;
        browser.fill("Identification", "altarpiece, typed in the tunnel").await;
        browser.assert_comes("The line is away").await;
        browser.complaints().await;
        line(&browser, false).await;
        browser.assert_comes("Draft kept").await;
        let mut tx = lab.site.db.read().await.unwrap();
        let by = lab.site.person(Role::Specialist);
        let draft = store::review::opinions::find_draft(&mut tx, find, by).await.unwrap().unwrap();
        assert!(draft.contains("typed in the tunnel"), "{draft}");
        drop(tx);
        browser.complaints().await;
        browser.close().await;
    });
}
