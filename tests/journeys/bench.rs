//! At the bench on a tablet that several people share: change person, scan, treat what lies on the tray.
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::browser::Browser;
use tests::support::{Engine, Lab, engines};

const TABLET: (u32, u32) = (820, 1180);

#[test]
fn a_shared_tablet_changes_person_and_a_scan_is_caught_wherever_one_is() {
    engines::run(Engine::Sqlite, async |lab: Lab| {
        let mut finds = Vec::new();
        for number in ["61", "62"] {
            let find = lab.site.find(number).material("stone").object("panel").add().await;
            for stage in [Stage::FirstAid, Stage::Condition] {
                lab.site.mark(find, stage, StageState::Done).await;
            }
            finds.push(find);
        }
        let hash = lab.app.passwords.hash("4071".into()).await.unwrap();
        let mut tx = lab.site.db.write().await.unwrap();
        store::pins::update(&mut tx, lab.site.person(Role::Conservator), Some(&hash)).await.unwrap();
        tx.commit().await.unwrap();

        let browser = Browser::open(&lab).await;
        browser.size(TABLET).await;
        browser.sign_in(&lab.site.email(Role::Lead)).await;
        browser.goto(web::links::TABLETS).await;
        browser.assert_accessible().await;
        browser.fill("Name of the tablet", "Wet bench").await;
        browser.press("Share this tablet").await;
        browser.press("Change person").await;
        assert!(browser.text("h1").await.contains("Locked"));
        browser.assert_accessible().await;
        browser.follow("conservator").await;
        browser.assert_accessible().await;
        browser.fill("PIN", "4071").await;
        browser.press("Open the bench").await;
        assert_eq!(browser.path().await, web::links::BENCH);
        browser.assert_accessible().await;

        // A wedge scanner types into nothing in particular.
        let scan =
            async |code: &str| browser.one("body").await.send_keys(format!("{code}\u{E007}")).await.unwrap();
        // The page changes under the words while a scan leads on: they are read whole, again and again.
        let read = async || {
            let read = browser.driver.execute("return document.body.innerText", Vec::new()).await;
            read.ok().and_then(|words| words.convert::<String>().ok()).unwrap_or_default()
        };
        let shows = async |words: &str| {
            for _ in 0..100 {
                if read().await.contains(words) {
                    return;
                }
                tokio::time::sleep(std::time::Duration::from_millis(50)).await;
            }
            panic!("{words} is missing in {}", read().await);
        };
        scan("61").await;
        shows("Ready for dry clean").await;
        assert_eq!(browser.path().await, web::links::find(finds[0]));
        browser.goto(&web::links::bench("tray")).await;
        scan(&format!("http://127.0.0.1:8080{}", web::links::find(finds[0]))).await;
        shows("61 is on the tray").await;
        scan("62").await;
        shows("62 is on the tray").await;
        assert!(browser.text(".laid").await.contains("61"));
        browser.assert_accessible().await;
        assert_eq!(browser.overflow().await, 0);
        browser.press("Dry clean").await;
        assert!(browser.text("main").await.contains("2 finds treated together"));
        browser.fill("Aim", "loose soil off").await;
        browser.fill("Area treated", "whole").await;
        browser.fill("What was removed", "loose soil").await;
        browser.fill("Begun", "09:00").await;
        browser.fill("Ended", "09:30").await;
        browser.fill("Method", "soft brush").await;
        browser.fill("Materials", "squirrel brush").await;
        browser.fill("Outcome", "loose soil off").await;
        browser.press("Save the record").await;
        assert_eq!(browser.path().await, web::links::BENCH, "{}", browser.text("main").await);
        let told = browser.text(".notice").await;
        assert!(told.contains("61") && told.contains("62"), "{told}");
        browser.assert_accessible().await;
        browser.close().await;
    });
}
