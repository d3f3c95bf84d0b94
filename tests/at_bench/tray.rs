//! Scans and the tray.
use axum::http::StatusCode;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::{FOREIGN, Lab, Reply, Site, Visitor};

async fn scan(visitor: &mut Visitor, code: &str, mode: &str) -> Reply {
    visitor.post("/bench/scan", &[("code", code), ("mode", mode)]).await
}

on_both_engines! {
    async fn a_scan_opens_a_find_or_says_that_there_is_none(lab: Lab) {
        let find = lab.site.find("SF 12").material("stone").add().await;
        let foreign = Site::named(&lab.site.db, FOREIGN).await.find("99").add().await;
        let hidden = lab.site.find("66").restricted().add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        for code in [format!("http://127.0.0.1:8080/finds/{find}"), format!("HTTPS://OLD.EXAMPLE/FINDS/{}", find.to_string().to_uppercase()), "SF 12".into(), "sf 12".into(), " VSQ31 SF  12\t".into()] {
            assert_eq!(scan(&mut odile, &code, "open").await.location(), format!("/finds/{find}"), "{code}");
        }
        let huge = "9".repeat(5_000);
        for code in ["", "13", "99", "66", "é", huge.as_str(), &format!("/finds/{foreign}"), &format!("/finds/{hidden}"), "/finds/019a3b2c-0000-7000-8000-000000000000", "'; DROP TABLE find; --"] {
            for mode in ["open", "tray", "nonsense"] {
                let reply = scan(&mut odile, code, mode).await;
                assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY, "{code}");
                assert_eq!(reply.count("[role=alert]"), 1);
                assert_eq!(reply.attributes("#code", "value"), [code], "what was typed stays");
            }
        }
        let page = odile.page("/bench").await;
        assert_eq!(page.headers["permissions-policy"], "camera=(self), geolocation=(), microphone=()");
        assert_eq!(odile.page("/today").await.headers["permissions-policy"], "camera=(), geolocation=(), microphone=()");
    }

    async fn finds_on_the_tray_are_treated_in_one_entry_with_the_last_words(lab: Lab) {
        let mut finds = Vec::new();
        for number in ["1", "2", "3"] {
            let find = lab.site.find(number).material("stone").add().await;
            for stage in [Stage::FirstAid, Stage::Condition] {
                lab.site.mark(find, stage, StageState::Done).await;
            }
            finds.push(find);
        }
        let mut odile = lab.sign_in(Role::Conservator).await;
        let first = finds[0].to_string();
        let before = [("find", first.as_str()), ("quantity", ""), ("done_by", "O. Marchbank"), ("done_on", "2031-09-14"), ("finished", "yes"),
            ("method", "soft brush"), ("materials", "squirrel brush"), ("outcome", "loose soil off"), ("aim", "loose soil off"), ("area", "whole"), ("begun", "09:00"), ("ended", "09:30"), ("removed", "loose soil"), ("note", "chip at the left edge")];
        let reply = odile.post(&format!("/projects/{}/work/dry_clean/new", lab.site.code), &before).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));

        let laid = scan(&mut odile, "2", "tray").await;
        assert_eq!(laid.location(), "/bench?mode=tray");
        let laid = odile.follow(&laid).await;
        assert!(laid.text(".notice").contains("2 is on the tray"), "{}", laid.text(".notice"));
        assert_eq!(laid.count("#code[autofocus]"), 1, "ready for the next scan");
        let page = odile.page(&format!("/finds/{}", finds[2])).await;
        let reply = odile.submit(&page, "#to-tray", &[]).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER);
        let twice = scan(&mut odile, "3", "tray").await;
        assert!(odile.follow(&twice).await.text(".notice").contains("lay on the tray already"));
        let bench = odile.page("/bench").await;
        let mut lying = bench.texts(".tray .laid .number");
        lying.sort();
        assert_eq!(lying, ["2", "3"]);
        assert!(bench.text(".treat .primary").contains("Dry clean, as last time"), "{}", bench.text(".treat"));

        let form = bench.attributes(".treat .primary", "formaction")[0].clone();
        let entry = odile.page(&format!("{form}?find={}&find={}&from=bench&again=yes", finds[1], finds[2])).await;
        assert_eq!(entry.attributes("#method", "value"), ["soft brush"]);
        assert!(entry.text("#outcome").contains("loose soil off") && entry.text("#note").is_empty(), "what was seen on one find stays with it");
        let reply = odile.submit(&entry, "main form[action*='/work/']", &[]).await;
        assert_eq!(reply.location(), "/bench", "{}", reply.text(".wrong"));
        let bench = odile.follow(&reply).await;
        assert!(["covers 2 and 3", "covers 3 and 2"].iter().any(|words| bench.text(".notice").contains(words)), "{}", bench.text(".notice"));
        assert_eq!(bench.count(".tray"), 0, "the tray is empty again");
        let mut tx = lab.site.db.read().await.unwrap();
        for find in &finds[1..] {
            assert_eq!(store::work::records::list_of_find(&mut tx, *find).await.unwrap().len(), 1);
        }
    }

    async fn the_tray_is_ones_own_and_can_be_emptied(lab: Lab) {
        let find = lab.site.find("1").material("stone").add().await.to_string();
        let foreign = Site::named(&lab.site.db, FOREIGN).await.find("99").add().await.to_string();
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_eq!(odile.post("/bench/tray", &[("find", &find)]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(odile.post("/bench/tray", &[("find", &foreign)]).await.status, StatusCode::NOT_FOUND);
        assert_eq!(odile.post("/bench/tray", &[("find", "none")]).await.status, StatusCode::BAD_REQUEST);
        let mut lead = lab.sign_in(Role::Lead).await;
        assert_eq!(lead.page("/bench").await.count(".tray"), 0);
        lead.post("/bench/tray/removal", &[("find", &find)]).await;
        assert_eq!(odile.page("/bench").await.count(".laid li"), 1, "nobody else takes it off");
        odile.post("/bench/tray/removal", &[("find", &find)]).await;
        assert_eq!(odile.page("/bench").await.count(".laid li"), 0);
        odile.post("/bench/tray", &[("find", &find)]).await;
        odile.post("/bench/tray/emptying", &[]).await;
        assert_eq!(odile.page("/bench").await.count(".tray"), 0);
    }
}
