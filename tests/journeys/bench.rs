//! At the bench on a tablet that several people share: change person, scan, treat what lies on the tray.
use chrono::Duration;
use domain::ids::FindId;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::browser::Browser;
use tests::support::{Engine, Lab, engines, noon};
use thirtyfour::WebElement;

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
        scan("61").await;
        browser.assert_comes("Ready for dry clean").await;
        assert_eq!(browser.path().await, web::links::find(finds[0]));
        browser.goto(&web::links::bench("tray")).await;
        scan(&format!("http://127.0.0.1:8080{}", web::links::find(finds[0]))).await;
        browser.assert_comes("61 is on the tray").await;
        scan("62").await;
        browser.assert_comes("62 is on the tray").await;
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

#[test]
fn a_scanner_presses_no_button_and_types_into_no_field() {
    engines::run(Engine::Sqlite, async |lab: Lab| {
        let wet = lab.site.find("23").material("wood_leather").object("shoe sole").wet();
        let wet = wet.with(|f| f.recovered_on = Some((noon() - Duration::days(23)).date_naive())).add().await;
        let find = lab.site.find("SF 61").material("stone").object("panel").add().await;
        let browser = Browser::open(&lab).await;
        browser.size(TABLET).await;
        browser.sign_in(&lab.site.email(Role::Conservator)).await;
        let at = async |element: WebElement, code: &str| {
            element.send_keys(format!("{code}\u{E007}")).await.unwrap()
        };
        let opened = async |find: FindId| {
            for _ in 0..100 {
                if browser.path().await == web::links::find(find) {
                    return;
                }
                tokio::time::sleep(std::time::Duration::from_millis(50)).await;
            }
            panic!("still at {}: {}", browser.path().await, browser.text("main").await);
        };
        let looks = async || {
            let mut tx = lab.site.db.read().await.unwrap();
            let clock = store::clocks::list_running(&mut tx, wet).await.unwrap()[0].id;
            store::clocks::looks::list(&mut tx, clock, 10).await.unwrap().len()
        };
        // The focus lies on "In order" of another find, a space stands in the code.
        browser.goto(web::links::BENCH).await;
        at(browser.one("button[aria-label='23: In order']").await, "SF 61").await;
        opened(find).await;
        assert_eq!(looks().await, 0, "the scan looked at nothing");
        // The focus lies on a choice, on the search, on the number itself.
        for selector in ["input[name=mode][value=open]", "#search", "#code", ".nav a"] {
            browser.goto(web::links::BENCH).await;
            at(browser.one(selector).await, "SF 61").await;
            opened(find).await;
        }
        // On the form of a record a scan neither types nor sends; it is said, and leads on.
        let form = format!("{}&from=bench", web::links::record_of("VSQ31", Stage::FirstAid, find));
        for field in ["#container", "main form button.primary", "#note"] {
            browser.goto(&form).await;
            let note = browser.one("#note").await;
            note.clear().await.unwrap();
            note.send_keys("chip at the ").await.unwrap();
            // A pause as between two keys of a hand.
            tokio::time::sleep(std::time::Duration::from_millis(120)).await;
            at(browser.one(field).await, "http://127.0.0.1:8080/finds/x").await;
            browser.assert_says("Nothing on this page was typed or pressed").await;
            assert!(browser.path().await.contains("/work/first_aid/new"), "{}", browser.path().await);
            assert_eq!(note.prop("value").await.unwrap().unwrap_or_default(), "chip at the ", "{field}");
            let other = browser.one("#container").await.prop("value").await.unwrap().unwrap_or_default();
            assert!(!other.contains("http"), "{other}");
        }
        let kept =
            store::work::records::list_of_find(&mut lab.site.db.read().await.unwrap(), find).await.unwrap();
        assert!(kept.is_empty(), "nothing was sent");
        browser.goto(&form).await;
        at(browser.one("main form button.primary").await, "SF 61").await;
        browser.follow("Open it at the bench").await;
        opened(find).await;
        // Words that come as fast (dictation, an expander) are nobody's code: they stay where they were put.
        browser.goto(&form).await;
        let note = browser.one("#note").await;
        note.clear().await.unwrap();
        note.send_keys("one opinion, final\u{E004}").await.unwrap();
        assert_eq!(note.prop("value").await.unwrap().unwrap_or_default(), "one opinion, final");
        browser.assert_silent("Scanned").await;
        // A hand that types and presses Enter is no scanner.
        browser.goto(web::links::BENCH).await;
        for key in ["2", "3", "\u{E007}"] {
            browser.one("#code").await.send_keys(key).await.unwrap();
            tokio::time::sleep(std::time::Duration::from_millis(90)).await;
        }
        opened(wet).await;
        browser.close().await;
    });
}

#[test]
fn a_repeat_step_is_a_scan_and_at_most_three_taps_without_typing() {
    engines::run(Engine::Sqlite, async |lab: Lab| {
        let mut finds = Vec::new();
        for number in ["61", "62"] {
            let find = lab.site.find(number).material("stone").object("panel").add().await;
            for stage in [Stage::FirstAid, Stage::Condition] {
                lab.site.mark(find, stage, StageState::Done).await;
            }
            finds.push(find);
        }
        // The last step of this kind, typed in full.
        let first = finds[0].to_string();
        let last = [
            ("find", first.as_str()),
            ("quantity", ""),
            ("done_by", "O. Marchbank"),
            ("done_on", "2031-09-15"),
            ("finished", "yes"),
            ("aim", "loose soil off"),
            ("area", "whole"),
            ("begun", "09:00"),
            ("ended", "09:30"),
            ("method", "soft brush"),
            ("materials", "squirrel brush"),
            ("removed", "loose soil"),
            ("outcome", "loose soil off, surface sound"),
        ];
        let mut odile = lab.sign_in(Role::Conservator).await;
        let reply = odile.post(&web::links::record_new("VSQ31", Stage::DryClean), &last).await;
        assert!(reply.status.is_redirection(), "{}", reply.text(".wrong"));

        let browser = Browser::open(&lab).await;
        browser.size(TABLET).await;
        browser.sign_in(&lab.site.email(Role::Conservator)).await;
        browser.goto(&web::links::bench("tray")).await;
        browser.one("body").await.send_keys("62\u{E007}").await.unwrap();
        browser.assert_comes("62 is on the tray").await;
        let taps = ["Dry clean, as last time", "Save the record"];
        assert!(taps.len() <= 3);
        for tap in taps {
            browser.press(tap).await;
        }
        browser.assert_says("The record of dry clean covers 62").await;
        assert_eq!(browser.path().await, web::links::BENCH);
        let kept = store::work::records::list_of_find(&mut lab.site.db.read().await.unwrap(), finds[1])
            .await
            .unwrap();
        assert_eq!((kept.len(), kept[0].method.as_str(), kept[0].finished), (1, "soft brush", true));
        browser.close().await;
    });
}
