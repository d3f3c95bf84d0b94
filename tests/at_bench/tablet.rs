//! A tablet that several people share: two taps and a PIN, the bench and nothing else, locked when nobody is there.
use axum::http::StatusCode;
use chrono::Duration;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::site::PASSWORD;
use tests::support::{FOREIGN, Lab, Reply, Site, Visitor, noon};

const PIN: &str = "4071";

/// Sets a PIN by the page of the own account.
async fn set_pin(visitor: &mut Visitor, pin: &str) -> Reply {
    visitor.post("/account/pin", &[("pin_password", PASSWORD), ("pin", pin), ("pin_again", pin)]).await
}

/// A tablet shared by the lead, on which the conservator and the finds officer have PINs; locked.
async fn tablet(lab: &Lab) -> Visitor {
    for role in [Role::Conservator, Role::FindsOfficer] {
        assert_eq!(set_pin(&mut lab.sign_in(role).await, PIN).await.status, StatusCode::SEE_OTHER);
    }
    let mut tablet = lab.sign_in(Role::Lead).await;
    let reply = tablet.post("/bench/tablets", &[("name", "Wet bench")]).await;
    assert_eq!(reply.location(), "/bench", "{}", reply.text("main"));
    let bench = tablet.follow(&reply).await;
    let locked = tablet.submit(&bench, "form.lock", &[]).await;
    assert_eq!(locked.location(), "/bench/locked");
    tablet
}

/// Opens the bench by a PIN; the token of its forms is read from a page.
async fn by_pin(tablet: &mut Visitor, lab: &Lab, role: Role, pin: &str) -> Reply {
    let path = format!("/bench/locked/{}", lab.site.person(role));
    let reply = tablet.post_bare(&path, &[("pin", pin), ("next", "/bench")]).await;
    if reply.status == StatusCode::SEE_OTHER && reply.location() == "/bench" {
        let page = tablet.page("/bench").await;
        tablet.token = page.attributes("form.lock input[name=_token]", "value")[0].clone();
    }
    reply
}

on_both_engines! {
    async fn two_taps_and_a_pin_change_the_person_for_the_bench_alone(lab: Lab) {
        let find = lab.site.find("1").material("stone").add().await;
        let mut tablet = tablet(&lab).await;
        let page = tablet.page("/bench/locked").await;
        assert_eq!(page.texts(".hands a"), ["conservator", "finds officer"], "who has a PIN and works at the bench");
        assert_eq!(tablet.get("/bench").await.location(), "/bench/locked?next=%2Fbench", "nobody is signed in");
        assert_eq!(by_pin(&mut tablet, &lab, Role::Conservator, PIN).await.location(), "/bench");

        // Reached: the bench, its records, finds and their photographs.
        for path in ["/bench", "/rounds", "/today", "/projects/VSQ31/finds", &format!("/finds/{find}"), &format!("/projects/VSQ31/work/first_aid/new?find={find}")] {
            let page = tablet.page(path).await;
            assert_eq!(page.texts(".lock button"), ["Change person"], "{path}");
        }
        let id = find.to_string();
        let record = [("find", id.as_str()), ("quantity", ""), ("done_by", "O. Marchbank"), ("done_on", "2031-09-15"), ("finished", "yes"), ("container", "box")];
        let reply = tablet.post("/projects/VSQ31/work/first_aid/new", &record).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        let mut tx = lab.site.db.read().await.unwrap();
        let kept = store::work::records::list_of_find(&mut tx, find).await.unwrap();
        assert_eq!(kept[0].recorded_by, "conservator", "recorded by whose PIN it was");
        drop(tx);

        // Everything else asks for the password.
        for path in ["/account", "/projects", "/backlog", "/projects/VSQ31", "/projects/VSQ31/report", "/bench/tablets", &format!("/finds/{find}/holds/new"), "/projects/VSQ31/contexts"] {
            let reply = tablet.get(path).await;
            assert!(reply.location().starts_with("/sign-in?next=") && reply.location().ends_with("ended=bench"), "{path}: {} {}", reply.status, reply.location());
        }
        let page = tablet.page("/sign-in?next=%2Faccount&ended=bench").await;
        assert!(page.text(".notice").contains("asks for your password"));
        for (path, fields) in [("/account/pin", vec![("pin", "9999")]), ("/account/sessions/removal", vec![]), ("/bench/tablets", vec![("name", "mine")]), (&*format!("/finds/{find}/holds/new"), vec![("reason", "x")])] {
            let reply = tablet.post(path, &fields).await;
            assert!(reply.location().starts_with("/sign-in"), "{path}: {}", reply.status);
        }
    }

    async fn a_lead_by_pin_authorises_nothing(lab: Lab) {
        set_pin(&mut lab.sign_in(Role::Lead).await, PIN).await;
        let mut tablet = tablet(&lab).await;
        assert_eq!(by_pin(&mut tablet, &lab, Role::Lead, PIN).await.location(), "/bench");
        for path in ["/projects/VSQ31/standing", "/projects/VSQ31/materials", "/projects/VSQ31/clocks/rule?kind=wet&material=iron"] {
            assert!(tablet.get(path).await.location().starts_with("/sign-in"), "{path}");
        }
    }

    async fn the_tablet_locks_when_nobody_is_there(lab: Lab) {
        let mut tablet = tablet(&lab).await;
        by_pin(&mut tablet, &lab, Role::Conservator, PIN).await;
        let at = |minutes: i64, seconds: i64| lab.later(noon() + Duration::minutes(minutes) + Duration::seconds(seconds));
        let same = |lab: &Lab| { let mut visitor = lab.stranger(); visitor.clone_cookies(&tablet); visitor.token.clone_from(&tablet.token); visitor };
        assert_eq!(same(&at(4, 50)).get("/bench/awake").await.status, StatusCode::NO_CONTENT);
        assert_eq!(same(&at(9, 45)).get("/rounds").await.status, StatusCode::OK, "every use begins the minutes anew");
        let mut gone = same(&at(14, 50));
        let reply = gone.get("/rounds?kind=wet").await;
        assert_eq!(reply.location(), "/bench/locked?next=%2Frounds%3Fkind%3Dwet");
        let page = gone.follow(&reply).await;
        assert!(page.text("h1").contains("Locked"));
        assert!(page.attributes(".hands a", "href")[0].contains("next=%2Frounds"), "it leads on to where one was");
        let form = gone.post("/bench/tray/emptying", &[]).await;
        assert!(form.location().starts_with("/bench/locked"), "a form is not taken either");
        // The password opens it too, bound to the tablet: it locks all the same.
        let mut signed = same(&at(20, 0));
        signed.sign_in(&lab.site.email(Role::Lead), PASSWORD).await;
        assert_eq!(signed.get("/account").await.status, StatusCode::OK);
        let mut later = at(26, 0).stranger();
        later.clone_cookies(&signed);
        assert_eq!(later.get("/account").await.location(), "/bench/locked?next=%2Faccount");
    }

    async fn a_pin_is_tried_a_few_times_and_closes_after_ten(lab: Lab) {
        let mut tablet = tablet(&lab).await;
        for attempt in 0..5 {
            let reply = by_pin(&mut tablet, &lab, Role::Conservator, "0000").await;
            assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY, "{attempt}");
            assert!(!reply.source().contains("0000"), "a PIN is not shown again");
        }
        let reply = by_pin(&mut tablet, &lab, Role::Conservator, PIN).await;
        assert_eq!(reply.status, StatusCode::TOO_MANY_REQUESTS);
        assert_eq!(by_pin(&mut tablet, &lab, Role::FindsOfficer, PIN).await.status, StatusCode::SEE_OTHER, "others are not kept out");
        // Another program forgets the quick limit, the ten in a row stand in the database.
        let mut fresh = lab.later(noon() + Duration::minutes(1)).stranger();
        fresh.clone_cookies(&tablet);
        for _ in 0..5 {
            assert_eq!(by_pin(&mut fresh, &lab, Role::Conservator, "0000").await.status, StatusCode::UNPROCESSABLE_ENTITY);
        }
        let mut fresh = lab.later(noon() + Duration::minutes(2)).stranger();
        fresh.clone_cookies(&tablet);
        let reply = by_pin(&mut fresh, &lab, Role::Conservator, PIN).await;
        assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(reply.text("[role=alert]").contains("closed"), "{}", reply.text("main"));
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert!(odile.page("/account").await.text("main").contains("Your PIN is closed"));
        assert_eq!(set_pin(&mut odile, "2846").await.status, StatusCode::SEE_OTHER);
        assert_eq!(by_pin(&mut fresh, &lab, Role::Conservator, "2846").await.status, StatusCode::SEE_OTHER);
    }

    async fn a_pin_is_set_with_the_password_and_kept_as_a_hash(lab: Lab) {
        let mut odile = lab.sign_in(Role::Conservator).await;
        for (fields, sentence) in [
            ([("pin_password", "wrong"), ("pin", PIN), ("pin_again", PIN)], "not your present password"),
            ([("pin_password", PASSWORD), ("pin", "12"), ("pin_again", "12")], "4 to 8 digits"),
            ([("pin_password", PASSWORD), ("pin", "1234"), ("pin_again", "1234")], "in a row"),
            ([("pin_password", PASSWORD), ("pin", "7777"), ("pin_again", "7777")], "more than one different digit"),
            ([("pin_password", PASSWORD), ("pin", PIN), ("pin_again", "4072")], "not the same"),
        ] {
            let reply = odile.post("/account/pin", &fields).await;
            assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(reply.text("[role=alert]").contains(sentence), "{sentence}: {}", reply.text("[role=alert]"));
        }
        assert_eq!(set_pin(&mut odile, PIN).await.status, StatusCode::SEE_OTHER);
        let mut tx = lab.site.db.read().await.unwrap();
        let pin = store::pins::find(&mut tx, lab.site.person(Role::Conservator)).await.unwrap().unwrap();
        assert!(pin.pin_hash.unwrap().starts_with("$argon2id$"));
        drop(tx);
        assert_eq!(odile.post("/account/pin/removal", &[]).await.status, StatusCode::SEE_OTHER);
        let mut tx = lab.site.db.read().await.unwrap();
        assert!(store::pins::find(&mut tx, lab.site.person(Role::Conservator)).await.unwrap().unwrap().pin_hash.is_none());
    }

    async fn a_pin_opens_nothing_without_the_tablet_nor_on_one_that_was_ended(lab: Lab) {
        let second = Lab::of(Site::named(&lab.site.db, FOREIGN).await);
        set_pin(&mut second.sign_in(Role::Conservator).await, PIN).await;
        let mut tablet = tablet(&lab).await;
        let stranger = second.site.person(Role::Conservator);
        assert_eq!(tablet.page("/bench/locked").await.count(".hands a"), 2, "people of other projects are not named");
        assert_eq!(tablet.post_bare(&format!("/bench/locked/{stranger}"), &[("pin", PIN)]).await.location(), "/bench/locked");
        let mut elsewhere = lab.stranger();
        assert_eq!(by_pin(&mut elsewhere, &lab, Role::Conservator, PIN).await.location(), "/sign-in");
        assert_eq!(elsewhere.get("/bench/locked").await.location(), "/sign-in");

        let mut working = lab.stranger();
        working.clone_cookies(&tablet);
        by_pin(&mut working, &lab, Role::Conservator, PIN).await;
        let mut lead = lab.sign_in(Role::Lead).await;
        let page = lead.page("/bench/tablets").await;
        let ending = page.attributes("form[action$=ending]", "action")[0].clone();
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_eq!(odile.post(&ending, &[]).await.status, StatusCode::FORBIDDEN, "a conservator shares no tablets");
        let mut petra = lab.sign_in(Role::Manager).await;
        assert_eq!(petra.post(&ending, &[]).await.status, StatusCode::NOT_FOUND, "only who shared it ends it");
        assert_eq!(lead.post(&ending, &[]).await.status, StatusCode::SEE_OTHER);
        let reply = working.get("/bench").await;
        assert!(reply.status.is_redirection(), "who was signed in on it is signed out");
        assert_eq!(working.get("/bench/locked").await.location(), "/sign-in");
        let again = lead.post("/bench/tablets", &[("name", " ")]).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "a tablet needs a name");
    }

    async fn a_tablet_is_shared_by_leads_managers_and_administrators_alone(lab: Lab) {
        for role in Role::ALL {
            let mut visitor = lab.sign_in(*role).await;
            let may = matches!(role, Role::Lead | Role::Manager);
            let reply = visitor.get("/bench/tablets").await;
            assert_eq!(reply.status, if may { StatusCode::OK } else { StatusCode::FORBIDDEN }, "{role:?}");
            let account = visitor.page("/account").await;
            assert_eq!(account.count("a[href='/bench/tablets']"), usize::from(may), "{role:?}");
            let made = visitor.post("/bench/tablets", &[("name", "mine")]).await;
            assert_eq!(made.status, if may { StatusCode::SEE_OTHER } else { StatusCode::FORBIDDEN }, "{role:?}");
        }
        assert_eq!(lab.sign_in(Role::Conservator).await.page("/bench").await.count("a[href='/bench/tablets']"), 0);
        assert_eq!(lab.sign_in(Role::Lead).await.page("/bench").await.count("a[href='/bench/tablets']"), 1);
    }

    async fn an_administrators_tablet_is_for_every_bench_and_every_tablet_is_theirs_to_end(lab: Lab) {
        let second = Lab::of(Site::named(&lab.site.db, FOREIGN).await);
        let foreign = second.site.person(Role::FindsOfficer);
        set_pin(&mut second.sign_in(Role::FindsOfficer).await, PIN).await;
        let mut of_lead = tablet(&lab).await;
        let mut administrator = lab.sign_in_as(lab.site.administrator).await;
        let reply = administrator.post("/bench/tablets", &[("name", "Hall")]).await;
        assert_eq!(reply.location(), "/bench/tablets", "no bench of their own");
        let page = administrator.page("/bench/tablets").await;
        assert_eq!(page.count("form[action$=ending]"), 2);
        assert!(page.text("main").contains("by lead conservator"), "{}", page.text("main"));
        let mut hall = lab.stranger();
        hall.clone_cookies(&administrator);
        hall.post_bare("/bench/lock", &[("_token", administrator.token.as_str())]).await;
        let names = hall.page("/bench/locked").await;
        assert!(names.attributes(".hands a", "href").iter().any(|href| href.contains(&foreign.to_string())), "{}", names.text("main"));
        let mut administrator = lab.sign_in_as(lab.site.administrator).await;
        let endings = administrator.page("/bench/tablets").await.attributes("form[action$=ending]", "action");
        for ending in endings {
            assert_eq!(administrator.post(&ending, &[]).await.status, StatusCode::SEE_OTHER);
        }
        assert_eq!(of_lead.get("/bench/locked").await.location(), "/sign-in");
    }

    async fn only_people_of_projects_where_the_sharer_may_share_are_named(lab: Lab) {
        let second = Lab::of(Site::named(&lab.site.db, FOREIGN).await);
        set_pin(&mut second.sign_in(Role::Conservator).await, PIN).await;
        let lead = lab.site.person(Role::Lead);
        let mut tx = lab.site.db.write().await.unwrap();
        let rights = store::members::Rights { roles: vec![Role::Reader], restricted: false, findspot: false };
        store::members::replace(&mut tx, second.site.project, lead, &rights).await.unwrap();
        tx.commit().await.unwrap();
        let mut tablet = tablet(&lab).await;
        assert_eq!(tablet.page("/bench/locked").await.count(".hands a"), 2, "a reader elsewhere names nobody there");
    }
}
