//! Due now, in hand, waiting for authorisation, next: across all projects of a person.
use axum::http::StatusCode;
use chrono::Duration;
use domain::clocks::{ClockKind, Rule};
use domain::ids::FindId;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::{FOREIGN, Lab, Reply, Site, noon};

/// The numbers of a group, by its title.
fn numbers(page: &Reply, group: usize) -> Vec<String> {
    page.texts(&format!("[aria-labelledby=group-{group}] .number"))
}

async fn give(lab: &Lab, find: FindId, role: Role) {
    let mut tx = lab.site.db.write().await.unwrap();
    store::finds::update_assignee(&mut tx, find, Some(lab.site.person(role))).await.unwrap();
    tx.commit().await.unwrap();
}

on_both_engines! {
    async fn each_find_stands_in_the_group_where_it_waits(lab: Lab) {
        let wet = lab.site.find("23").material("wood_leather").wet()
            .with(|f| f.recovered_on = Some((noon() - Duration::days(23)).date_naive())).add().await;
        let begun = lab.site.find("4").material("stone").add().await;
        let ready = lab.site.find("5").material("stone").add().await;
        let stopped = lab.site.find("6").material("iron").add().await;
        let others = lab.site.find("7").material("stone").add().await;
        for find in [begun, ready, stopped] {
            give(&lab, find, Role::Conservator).await;
        }
        give(&lab, others, Role::Lead).await;
        for find in [begun, ready, stopped] {
            for stage in [Stage::FirstAid, Stage::Condition] {
                lab.site.mark(find, stage, StageState::Done).await;
            }
        }
        lab.site.mark(stopped, Stage::Xray, StageState::NotNeeded).await;
        lab.site.mark(begun, Stage::DryClean, StageState::InHand).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page("/bench").await;
        assert_eq!((numbers(&page, 1), numbers(&page, 2), numbers(&page, 3)), (vec!["23".into()], vec!["4".into()], vec![]));
        let mut next = numbers(&page, 4);
        next.sort();
        assert_eq!(next, ["5", "6"], "what is given to others is not on this bench");
        let _ = wet;
        let way_on = page.attributes("[aria-labelledby=group-4] a.button", "href");
        assert!(way_on.iter().any(|href| href.contains(&format!("/work/dry_clean/new?find={ready}"))), "{way_on:?}");

        let level = [("find", ready.to_string()), ("quantity", String::new()), ("done_by", "O. Marchbank".into()), ("done_on", "2031-09-14".into()),
            ("finished", "yes".into()), ("level", "loose soil off".into()), ("stop_point", "first tint".into()), ("decided_by", "O. Marchbank".into()),
            ("layers_to_keep", "the gilding".into()), ("evidence", "the test window".into()), ("consulted", "nobody".into())];
        let level: Vec<(&str, &str)> = level.iter().map(|(n, v)| (*n, v.as_str())).collect();
        for stage in [Stage::DryClean, Stage::SpotTest] {
            lab.site.mark(ready, stage, StageState::Done).await;
        }
        let reply = odile.post(&format!("/projects/{}/work/cleaning_level/new", lab.site.code), &level).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        let page = odile.page("/bench").await;
        assert_eq!((numbers(&page, 3), numbers(&page, 4)), (vec!["5".to_owned()], vec!["6".to_owned()]));

        let look = odile.submit(&page, "[aria-labelledby=group-1] form", &[]).await;
        assert_eq!(look.location(), "/bench");
        let page = odile.follow(&look).await;
        assert!(page.text(".notice").contains("23 looked at"), "{}", page.text(".notice"));
    }

    async fn a_second_project_is_on_the_same_bench(lab: Lab) {
        let second = Site::named(&lab.site.db, FOREIGN).await;
        let mut tx = lab.site.db.write().await.unwrap();
        let odile = lab.site.person(Role::Conservator);
        store::people::insert_role(&mut tx, second.project, odile, Role::Conservator).await.unwrap();
        tx.commit().await.unwrap();
        let [here, there] = [lab.site.find("61").material("stone").add().await, second.find("61").material("stone").add().await];
        for find in [here, there] {
            give(&lab, find, Role::Conservator).await;
        }
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page("/bench").await;
        assert_eq!(numbers(&page, 4), ["61", "61"]);
        // The same number in two projects: asked about, and the answer opens the one.
        let asked = odile.submit(&page, "form.scan", &[("code", "61")]).await;
        assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(asked.count(".wrong form"), 2, "{}", asked.text("main"));
        let chosen = odile.submit(&asked, &format!(".wrong form:has(input[value='{there}'])"), &[]).await;
        assert_eq!(chosen.location(), format!("/finds/{there}"));
        let named = odile.submit(&page, "form.scan", &[("code", "nbr32-61")]).await;
        assert_eq!(named.location(), format!("/finds/{there}"), "the code of the project before the number tells them apart");
    }

    async fn a_condition_review_leads_to_an_assessment_and_is_not_tapped_away(lab: Lab) {
        let find = lab.site.find("8").material("stone").add().await;
        let mut tx = lab.site.db.write().await.unwrap();
        let rule = Rule { limit_days: None, warn_days: 0, look_days: 30 };
        let since = noon() - Duration::days(31);
        store::clocks::start(&mut tx, find, ClockKind::Review, rule, (since, since)).await.unwrap();
        tx.commit().await.unwrap();
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page("/bench").await;
        let due = "[aria-labelledby=group-1]";
        assert_eq!((numbers(&page, 1), page.count(&format!("{due} form"))), (vec!["8".to_owned()], 0), "nothing to tap");
        assert!(!page.text(due).contains("Go round"), "no round passes it");
        let way = page.attributes(&format!("{due} a.button"), "href");
        assert_eq!(way, [format!("/projects/VSQ31/condition/new?find={find}")]);
        assert_eq!(odile.page(&way[0]).await.texts("h1").len(), 1);
    }

    async fn a_number_of_another_project_is_warned_of(lab: Lab) {
        let second = Site::named(&lab.site.db, FOREIGN).await;
        let mut tx = lab.site.db.write().await.unwrap();
        let odile = lab.site.person(Role::Conservator);
        store::people::insert_role(&mut tx, second.project, odile, Role::Conservator).await.unwrap();
        tx.commit().await.unwrap();
        let (here, there) = (lab.site.find("61").add().await, second.find("62").add().await);
        let mut odile = lab.sign_in(Role::Conservator).await;
        odile.page("/projects/VSQ31/finds").await;
        let own = odile.post("/bench/scan", &[("code", "61")]).await;
        assert!(own.location() == format!("/finds/{here}") && odile.follow(&own).await.count(".notice") == 0);
        let other = odile.post("/bench/scan", &[("code", "62")]).await;
        assert_eq!(other.location(), format!("/finds/{there}"));
        assert_eq!(odile.follow(&other).await.text(".notice"), "Mind the project: 62 belongs to NBR32, and you were in VSQ31.");
        odile.post("/bench/scan", &[("code", "61"), ("mode", "tray")]).await;
        let both = odile.post("/bench/scan", &[("code", "62"), ("mode", "tray")]).await;
        let told = odile.follow(&both).await.text(".notice");
        assert!(told.contains("62 belongs to NBR32, other finds on the tray to VSQ31"), "{told}");
        // Read but not worked on there: told apart from a number that is nowhere.
        let mut petra = lab.sign_in(Role::Lead).await;
        let mut tx = lab.site.db.write().await.unwrap();
        store::people::insert_role(&mut tx, second.project, lab.site.person(Role::Lead), Role::Manager).await.unwrap();
        tx.commit().await.unwrap();
        let told = petra.post("/bench/scan", &[("code", "62")]).await.text("[role=alert]");
        assert!(told.contains("“62” belongs to NBR32, where you record no work"), "{told}");
        let opened = odile.get("/bench?code=61").await;
        assert_eq!(opened.location(), format!("/finds/{here}"), "what was scanned on another page");
        assert_eq!(odile.get("/bench?code=nothing").await.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
}
