//! What a PIN on a shared tablet reaches, route by route, and that it reaches no further by staying.
use axum::http::{Method, StatusCode};
use chrono::Duration;
use domain::permission::{Action, Role, at_bench};
use tests::on_both_engines;
use tests::support::site::PASSWORD;
use tests::support::{Lab, Visitor, noon};

/// Every change that a PIN reaches: the recording of work at the bench, and leaving. A new one is thought over and added here.
const CHANGES: &[&str] = &[
    "/sign-out",
    "/bench/lock",
    "/bench/scan",
    "/bench/tray",
    "/bench/tray/removal",
    "/bench/tray/emptying",
    "/projects/{project}/condition/new",
    "/projects/{project}/examinations/{method}/new",
    "/projects/{project}/work/{stage}/new",
    "/projects/{project}/marks/new",
    "/tests/{test}/recheck",
    "/rounds",
    "/rounds/sheets",
    "/rounds/sheets/{sheet}",
    "/clocks/{clock}/looks",
    "/projects/{project}/runs/{kind}/new",
    "/runs/{run}/weighings",
    "/runs/{run}/pasted-weighings",
    "/weighings/{weighing}/withdrawal",
    "/runs/{run}/baths",
    "/baths/{bath}/withdrawal",
    "/runs/{run}/steps",
    "/runs/{run}/end",
    "/runs/{run}/reopening",
    "/projects/{project}/packing/new",
    "/boxes/{place}/sealings/new",
];

/// Every page that a PIN reaches: the bench with its forms, and what is read about a find.
const PAGES: &[&str] = &[
    "/",
    "/today",
    "/bench",
    "/bench/awake",
    "/projects/{project}/finds",
    "/projects/{project}/work/new",
    "/finds/{find}",
    "/finds/{find}/images",
    "/images/{image}",
    "/images/{image}/{size}",
    "/finds/{find}/attachments",
    "/attachments/{attachment}",
    "/finds/{find}/shots",
    "/finds/{find}/pairs",
    "/projects/{project}/condition/new",
    "/finds/{find}/condition",
    "/projects/{project}/examinations/new",
    "/projects/{project}/examinations/{method}/new",
    "/examinations/{examination}",
    "/projects/{project}/work/{stage}/new",
    "/projects/{project}/marks/new",
    "/finds/{find}/tests",
    "/tests/{test}/recheck",
    "/solvents",
    "/projects/{project}/beyond",
    "/rounds",
    "/rounds/sheets/{sheet}",
    "/rounds/sheets/{sheet}/sheet.pdf",
    "/projects/{project}/clocks",
    "/projects/{project}/runs",
    "/projects/{project}/runs/{kind}/new",
    "/runs/{run}",
    "/projects/{project}/packing/new",
    "/boxes/{place}",
    "/boxes/{place}/sealings/new",
    "/projects/{project}/places",
];

fn sorted<'a>(paths: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut paths: Vec<&str> = paths.collect();
    paths.sort_unstable();
    paths
}

on_both_engines! {
    async fn every_route_that_a_pin_reaches_is_named(lab: Lab) {
        let listed = web::routes::all(&lab.app).listed;
        let reached = |changes: bool| {
            let reached = listed.iter().filter(move |l| l.action != Action::Public && at_bench(l.action) && (l.method != Method::GET) == changes);
            sorted(reached.map(|l| l.path))
        };
        assert_eq!(reached(true), sorted(CHANGES.iter().copied()));
        assert_eq!(reached(false), sorted(PAGES.iter().copied()));
    }

    async fn a_pin_changes_nothing_of_the_account(lab: Lab) {
        let odile = lab.site.person(Role::Conservator);
        let elsewhere = lab.sign_in(Role::Conservator).await;
        let mut at_bench = lab.come_by_pin(odile).await;
        let before = store::people::find(&mut lab.site.db.read().await.unwrap(), odile).await.unwrap().unwrap();
        let fresh = "another long sentence, 62";
        for (path, fields) in [
            ("/account", vec![("name", "Somebody Else"), ("revision", "1")]),
            ("/account/password", vec![("old", PASSWORD), ("password", fresh), ("again", fresh)]),
            ("/account/pin", vec![("pin_password", PASSWORD), ("pin", "4071"), ("pin_again", "4071")]),
            ("/account/pin/removal", vec![]),
            (web::links::ACCOUNT_SESSIONS, vec![]),
            (web::links::ACCOUNT_LETTERS, vec![("hour", "6")]),
            ("/bench/tablets", vec![("name", "mine")]),
        ] {
            let reply = at_bench.post(path, &fields).await;
            assert!(reply.location().starts_with("/sign-in?"), "{path}: {} {}", reply.status, reply.location());
        }
        let after = store::people::find(&mut lab.site.db.read().await.unwrap(), odile).await.unwrap().unwrap();
        assert_eq!((after.name, after.password_hash, after.revision), (before.name, before.password_hash, before.revision));
        let mut elsewhere = elsewhere;
        assert_eq!(elsewhere.get("/account").await.status, StatusCode::OK, "other sessions live on");
    }

    async fn what_a_pin_opened_ends_after_twelve_hours_however_busy(lab: Lab) {
        let mut visitor = lab.sign_in(Role::Lead).await;
        visitor.post("/bench/tablets", &[("name", "Wet bench")]).await;
        visitor.post("/bench/lock", &[]).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        odile.post("/account/pin", &[("pin_password", PASSWORD), ("pin", "4071"), ("pin_again", "4071")]).await;
        let door = format!("/bench/locked/{}", lab.site.person(Role::Conservator));
        assert_eq!(visitor.post_bare(&door, &[("pin", "4071"), ("next", "/bench")]).await.location(), "/bench");
        let used_at = async |minutes: i64| {
            let at = noon() + Duration::minutes(minutes);
            let mut tx = lab.site.db.write().await.unwrap();
            store::sessions::update_seen(&mut tx, &visitor.token_hash(), at - Duration::minutes(1)).await.unwrap();
            tx.commit().await.unwrap();
            let mut same: Visitor = lab.later(at).stranger();
            same.clone_cookies(&visitor);
            same.get("/bench").await
        };
        assert_eq!(used_at(12 * 60 - 1).await.status, StatusCode::OK);
        assert!(used_at(12 * 60 + 1).await.location().starts_with("/bench/locked"));
    }

    async fn a_new_pin_ends_what_the_old_one_opened(lab: Lab) {
        let odile = lab.site.person(Role::Conservator);
        let mut owner = lab.sign_in(Role::Conservator).await;
        for (path, fields) in [
            ("/account/pin", vec![("pin_password", PASSWORD), ("pin", "4071"), ("pin_again", "4071")]),
            ("/account/pin/removal", vec![]),
        ] {
            let mut at_bench = lab.come_by_pin(odile).await;
            assert_eq!(at_bench.get("/bench").await.status, StatusCode::OK);
            assert_eq!(owner.post(path, &fields).await.status, StatusCode::SEE_OTHER);
            assert!(at_bench.get("/bench").await.location().starts_with("/sign-in"), "{path}");
            assert_eq!(owner.get("/account").await.status, StatusCode::OK);
        }
    }

    async fn a_pin_takes_no_list_away_and_sees_no_exact_findspot(lab: Lab) {
        let find = lab.site.find("1").with(|f| (f.easting_m, f.northing_m) = (Some(512_345.25), Some(180_004.5))).add().await;
        lab.site.clear(Role::Lead).await;
        let lead = lab.site.person(Role::Lead);
        let path = format!("/finds/{find}");
        let whole = lab.sign_in(Role::Lead).await.page(&path).await;
        let mut at_bench = lab.come_by_pin(lead).await;
        let page = at_bench.page(&path).await;
        let shows = |page: &tests::support::Reply| page.source().replace(['\u{a0}', '\u{202f}', ' ', ','], "").contains("512345.25");
        assert!(shows(&whole), "{}", whole.text("main"));
        assert!(!shows(&page));
        let list = at_bench.page("/projects/VSQ31/finds?q=1").await;
        assert_eq!((list.count("a[href*='finds.csv']"), list.count("form[action$=filters]")), (0, 0));
    }
}
