//! Boxes as they are packed, sealed and labelled.
use super::{IRON_BOX, dry, pack, packed, with};
use axum::http::StatusCode;
use domain::clocks::ClockKind;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::{Lab, noon};

on_both_engines! {
    /// By hand: 20 °C air holds 17.3 g/m³ (handbook table of saturated vapour), so that τ = (0.3 · 1.5 + 0.012 · 0.173) /
    /// (0.012 · 0.4 · 0.173) = 544 d and from 10 % under 60 % to the 12 % of the band −544 · ln(48/50) = 22.2 d.
    async fn iron_is_packed_with_its_climate_its_gel_and_its_next_look(lab: Lab) {
        let find = dry(&lab, "61", "iron").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let form = odile.page(&web::links::packing_of(lab.site.code, find)).await;
        assert!(form.text("#band option[selected]").contains("at or below 12 % RH"), "the usual climate is offered");
        let at = packed(&mut odile, &lab, find, IRON_BOX).await;
        let page = odile.page(&at).await;
        let main = page.text("main");
        assert!(main.contains("within 12 % for about 22 days"), "{main}");
        assert!(main.contains("Look at its indicator on 7 Oct 2031"), "before the gel is exhausted: {main}");
        assert!(main.contains("8.2 kg. Close to the body"), "{main}");
        assert_eq!(page.count("svg[role=img]"), 1);
        for part in ["Formula", "Holds for", "Source"] {
            assert!(page.texts("details.source dt").iter().any(|dt| dt == part), "every figure opens: {part}");
        }
        let mut tx = lab.site.db.read().await.unwrap();
        let progress = store::finds::progress::find_progress(&mut tx, find).await.unwrap();
        assert_eq!(progress.state(Stage::Packing), StageState::Done);
        let clocks = store::clocks::list_running(&mut tx, find).await.unwrap();
        let clock = clocks.iter().find(|clock| clock.kind == ClockKind::Indicator).unwrap();
        assert_eq!(clock.next_check_at.unwrap().date_naive().to_string(), "2031-10-07");
        drop(tx);
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.text("main").contains("Iron 3"), "it is in the box now");
        assert_eq!(page.link("Open the box"), at);
        let label = odile.get(&format!("{at}/label.pdf")).await;
        assert_eq!(label.status, StatusCode::OK);
    }

    async fn what_is_only_worked_out_is_not_saved(lab: Lab) {
        let find = dry(&lab, "61", "iron").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let asked = with(IRON_BOX, &[("only", "work_out"), ("sorbent_g", ""), ("name", ""), ("container", ""), ("wanted_days", "90")]);
        let reply = pack(&mut odile, &lab, &[(find, "")], &asked).await;
        assert_eq!(reply.status, StatusCode::OK, "{}", reply.text(".wrong"));
        // linear rule by hand: 17.3 g/m³ · 0.5 · 0.4 · 90 / (1.5 · 2) = 103.8 kg/m³, in 12 L 1246 g
        let told = reply.text("#worked-out");
        assert!(told.contains("1245 g") || told.contains("1246 g"), "{told}");
        assert_eq!(reply.attributes("#volume_l", "value"), ["12"], "what was typed stays");
        let mut tx = lab.site.db.read().await.unwrap();
        assert!(store::places::list(&mut tx, lab.site.project).await.unwrap().is_empty(), "no box was made");
        let wrong = with(&asked, &[("start_pct", "150")]);
        drop(tx);
        assert_eq!(pack(&mut odile, &lab, &[(find, "")], &wrong).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    }

    async fn what_cannot_be_is_refused_beside_its_field(lab: Lab) {
        let find = dry(&lab, "61", "iron").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let cases: &[(&str, &str, &str)] = &[
            ("name", "", "Choose a box, or give a new one its name"),
            ("container", " ", "Say in what it is packed"),
            ("done_by", "", "Say who packed it"),
            ("volume_l", "-3", ""),
            ("volume_l", "2 gallons", "no unit known here"),
            ("sorbent_g", "-1", ""),
            ("air_per_day", "0", ""),
            ("reservoir", "0", ""),
            ("start_pct", "101", ""),
            ("gross_kg", "0", ""),
            ("gross_kg", "20 lb", "no unit known here"),
            ("sealed_on", "2031-09-16", "still to come"),
            ("next_check_on", "2031-09-01", "comes after the sealing"),
            ("reservoir_words", "", "Say where it is from"),
        ];
        for (field, typed, sentence) in cases {
            let refused = pack(&mut odile, &lab, &[(find, "")], &with(IRON_BOX, &[(field, typed)])).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {typed}");
            let told = refused.text(&format!("#{field}-error"));
            assert!(!told.is_empty() && told.contains(sentence), "{field} “{typed}”: {}", refused.text(".wrong"));
            assert_eq!(refused.attributes(&format!("#{field}"), "value"), [*typed], "what was typed stays");
        }
        let unknown = pack(&mut odile, &lab, &[(find, "")], &with(IRON_BOX, &[("band", "dry")])).await;
        assert!(unknown.text("#band-error").contains("of the list"));
        for (decay, sentence) in [("0 1400\n24", "Line 2"), ("0 1400\n24 300\n48 350", "not above the background"), ("0 400", "")] {
            let fields = with(IRON_BOX, &[("air_per_day", ""), ("decay", decay), ("background", "390")]);
            let refused = pack(&mut odile, &lab, &[(find, "")], &fields).await;
            let told = refused.text("#decay-error");
            assert!(!told.is_empty() && told.contains(sentence), "{decay}: {}", refused.text(".wrong"));
            assert_eq!(refused.text("#decay"), decay.replace('\n', " "), "what was typed stays");
        }
    }

    async fn glass_and_organic_finds_do_not_go_into_a_desiccated_box(lab: Lab) {
        let (nail, bead, comb) = (dry(&lab, "61", "iron").await, dry(&lab, "4", "glass").await, dry(&lab, "5", "worked_bone").await);
        let mut odile = lab.sign_in(Role::Conservator).await;
        let refused = pack(&mut odile, &lab, &[(nail, ""), (bead, "")], IRON_BOX).await;
        assert!(refused.text("#band-error").contains("never go into a desiccated box"), "{}", refused.text(".wrong"));
        let at = packed(&mut odile, &lab, nail, IRON_BOX).await;
        let place = at.rsplit('/').next().unwrap();
        let into = with(IRON_BOX, &[("place", place), ("name", "")]);
        let refused = pack(&mut odile, &lab, &[(comb, "")], &into).await;
        assert!(refused.text("#band-error").contains("pack them apart"), "{}", refused.text(".wrong"));
        let mild = with(&into, &[("band", ""), ("sorbent_g", "")]);
        let beside = pack(&mut odile, &lab, &[(comb, "")], &mild).await;
        assert_eq!(beside.status, StatusCode::SEE_OTHER, "without a climate it is the packer’s choice");
    }

    async fn what_came_damp_waits_and_no_box_is_left_behind(lab: Lab) {
        let damp = |find: &mut store::finds::NewFind| find.recovered_state = domain::finds::RecoveredState::Damp;
        let find = lab.site.find("61").material("iron").with(damp).add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let refused = pack(&mut odile, &lab, &[(find, "")], IRON_BOX).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text(".wrong").contains("finish its drying"), "{}", refused.text(".wrong"));
        let mut tx = lab.site.db.read().await.unwrap();
        assert!(store::places::list(&mut tx, lab.site.project).await.unwrap().is_empty());
    }

    async fn a_bulk_find_lies_in_several_boxes_and_never_more_than_there_is(lab: Lab) {
        let sherds = lab.site.find("7").material("ceramic").bulk(40).with(|f| f.recovered_state = domain::finds::RecoveredState::Dry).add().await;
        let mut bea = lab.sign_in(Role::Conservator).await;
        let plain = [("container", "carton"), ("sealed_on", "2031-09-15"), ("done_by", "B. Lisle-Okoro")];
        let first = pack(&mut bea, &lab, &[(sherds, "25")], &with(&plain, &[("name", "Box 1")])).await;
        assert_eq!(first.status, StatusCode::SEE_OTHER, "{}", first.text(".wrong"));
        let refused = pack(&mut bea, &lab, &[(sherds, "20")], &with(&plain, &[("name", "Box 2")])).await;
        assert!(refused.text(".wrong").contains("15 pieces that are in no box yet"), "{}", refused.text(".wrong"));
        let second = pack(&mut bea, &lab, &[(sherds, "15")], &with(&plain, &[("name", "Box 2")])).await;
        assert_eq!(second.status, StatusCode::SEE_OTHER, "{}", second.text(".wrong"));
        assert!(bea.follow(&second).await.text("#contents ~ ul").contains("15 pieces"));
        let mut tx = lab.site.db.read().await.unwrap();
        let progress = store::finds::progress::find_progress(&mut tx, sherds).await.unwrap();
        assert_eq!(progress.state(Stage::Packing), StageState::Done, "25 and 15 are all");
    }

    async fn a_box_is_sealed_anew_and_what_was_before_stays(lab: Lab) {
        let find = dry(&lab, "61", "iron").await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let at = packed(&mut odile, &lab, find, IRON_BOX).await;
        let later = lab.later(tests::support::noon() + chrono::Duration::days(30));
        let mut odile = later.sign_in(Role::Conservator).await;
        let page = odile.page(&at).await;
        assert_eq!(page.text("#check"), "Look at it now");
        assert!(page.text("main").contains("8 days overdue"), "{}", page.text("main"));
        let form = odile.page(&format!("{at}/sealings/new")).await;
        assert_eq!(form.attributes("#sorbent_g", "value"), ["300"], "the last values are offered");
        assert_eq!(form.attributes("#start_pct", "value"), [""], "what is read each time is not");
        let early = odile.submit(&form, "main form", &[("sealed_on", "2031-09-01")]).await;
        assert!(early.text("#sealed_on-error").contains("this is before it"), "{}", early.text(".wrong"));
        let measured = [("air_per_day", ""), ("decay", "0 1400\n24 900\n48 650"), ("background", "400"), ("start_pct", "5"), ("sorbent_g", "600")];
        let reply = odile.submit(&form, "main form", &measured).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        let page = odile.follow(&reply).await;
        // half of the tracer is lost each day: ln 2 changes
        assert!(page.text("main").contains("0.69 a day, measured"), "{}", page.text("main"));
        assert!(page.text("#earlier ~ ul").contains("300 g silica gel"), "{}", page.text("main"));
        let mut tx = lab.site.db.read().await.unwrap();
        let clocks = store::clocks::list_running(&mut tx, find).await.unwrap();
        let clock = clocks.iter().find(|clock| clock.kind == ClockKind::Indicator).unwrap();
        assert_eq!(clock.started_at.date_naive().to_string(), "2031-10-15", "the clock begins again");
        let journal = store::journal::list_of_find(&mut tx, find, store::journal::Told::ALL, 10).await.unwrap();
        assert!(journal.iter().any(|line| line.words.contains("sealed Iron 3 anew")), "{journal:?}");
    }

    async fn a_find_that_is_moved_leaves_its_box_and_a_restricted_one_is_not_named(lab: Lab) {
        let (nail, urn) = (dry(&lab, "61", "iron").await, lab.site.find("9").material("iron").restricted().add().await);
        let shelf = lab.site.place("Shelf 2").await;
        lab.site.clear(Role::Lead).await;
        let mut lead = lab.sign_in(Role::Lead).await;
        let reply = pack(&mut lead, &lab, &[(nail, ""), (urn, "")], IRON_BOX).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
        let at = reply.location();
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page(&at).await;
        assert_eq!(page.count("#contents ~ ul li"), 1);
        assert!(page.text("main").contains("And 1 that you may not see"), "{}", page.text("main"));
        let (id, to) = (nail.to_string(), shelf.to_string());
        let move_it = [("find", id.as_str()), ("place", to.as_str()), ("moved_by", "O. Marchbank")];
        assert_eq!(odile.post(&web::links::move_new(lab.site.code), &move_it).await.status, StatusCode::SEE_OTHER);
        assert_eq!(odile.page(&at).await.count("#contents ~ ul li"), 0);
        let mut tx = lab.site.db.read().await.unwrap();
        assert!(store::boxes::list_of_find(&mut tx, nail).await.unwrap()[0].left_at.is_some(), "it lay there, and left");
        assert_eq!(lead.page(&at).await.count("#contents ~ ul li"), 1);
    }

    async fn pieces_are_taken_out_of_a_box_and_packed_again(lab: Lab) {
        let sherds = lab.site.find("7").material("ceramic").bulk(40).with(|f| f.recovered_state = domain::finds::RecoveredState::Dry).add().await;
        let table = {
            let mut tx = lab.site.db.write().await.unwrap();
            let new = store::places::NewPlace { project: lab.site.project, parent: None, kind: "room".into(), name: "Drawing room".into() };
            let id = store::places::insert(&mut tx, &new, noon()).await.unwrap();
            tx.commit().await.unwrap();
            id.to_string()
        };
        let mut bea = lab.sign_in(Role::Conservator).await;
        let plain = [("container", "carton"), ("sealed_on", "2031-09-15"), ("done_by", "B. Lisle-Okoro")];
        let packed = pack(&mut bea, &lab, &[(sherds, "")], &with(&plain, &[("name", "Box 1")])).await;
        let at = packed.location();
        let page = bea.page(&at).await;
        let form = page.attributes("a[href*=takings]", "href")[0].clone();
        let form = bea.page(&form).await;
        assert!(form.text("main").contains("40 pieces lie in it"), "{}", form.text("main"));
        let good = [("pieces", "15"), ("place", table.as_str()), ("taken_by", "Bea"), ("reason", "to be drawn")];
        for (field, typed, sentence) in [
            ("pieces", "", "how many pieces"),
            ("pieces", "0", "too small"),
            ("pieces", "-3", "too small"),
            ("pieces", "41", "40 pieces lie in Box 1"),
            ("pieces", "a few", "no whole number"),
            ("place", "", "where they go"),
            ("taken_by", " ", "who took them"),
            ("reason", "", "what for"),
        ] {
            let refused = bea.submit(&form, "main form", &with(&good, &[(field, typed)])).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {typed}");
            assert!(refused.text(&format!("#{field}-error")).contains(sentence), "{field} “{typed}”: {}", refused.text(".wrong"));
            let kept = if field == "reason" { ("#taken_by", "Bea") } else { ("#reason", "to be drawn") };
            assert_eq!(refused.attributes(kept.0, "value"), [kept.1], "what was typed stays");
        }
        let taken = bea.submit(&form, "main form", &good).await;
        assert_eq!(taken.location(), at, "{}", taken.text(".wrong"));
        assert!(bea.follow(&taken).await.text("#contents ~ ul").contains("25 pieces"));
        let progress = async || {
            let mut tx = lab.site.db.read().await.unwrap();
            store::finds::progress::find_progress(&mut tx, sherds).await.unwrap().state(Stage::Packing)
        };
        assert_eq!(progress().await, StageState::InHand, "15 pieces are unpacked");
        let page = bea.page(&format!("/finds/{sherds}")).await;
        assert!(page.text(".journal").contains("took 15 pieces out of Box 1, to Drawing room: to be drawn"), "{}", page.text(".journal"));
        let again = pack(&mut bea, &lab, &[(sherds, "15")], &with(&plain, &[("name", "Box 2")])).await;
        assert_eq!(again.status, StatusCode::SEE_OTHER, "{}", again.text(".wrong"));
        assert_eq!(progress().await, StageState::Done, "25 and 15 are all");
        let form = bea.page(&format!("{at}/takings/new?find={sherds}")).await;
        let rest = bea.submit(&form, "main form", &with(&good, &[("pieces", "25")])).await;
        assert_eq!(bea.follow(&rest).await.count("a[href*=takings]"), 0, "nothing is left in it");
        let none = bea.get(&format!("{at}/takings/new?find={sherds}")).await;
        assert_eq!(none.location(), at);
    }

    async fn the_indicator_of_a_box_is_passed_once_and_read_for_all_in_it(lab: Lab) {
        let (first, second) = (dry(&lab, "61", "iron").await, dry(&lab, "62", "iron").await);
        let urn = lab.site.find("63").material("iron").restricted().with(|f| f.recovered_state = domain::finds::RecoveredState::Dry).add().await;
        lab.site.mark(urn, Stage::Xray, StageState::Done).await;
        lab.site.clear(Role::Lead).await;
        let mut lead = lab.sign_in(Role::Lead).await;
        let at = pack(&mut lead, &lab, &[(urn, ""), (first, ""), (second, "")], IRON_BOX).await;
        assert_eq!(at.status, StatusCode::SEE_OTHER, "{}", at.text(".wrong"));
        let rounds = format!("{}?kind=indicator", web::links::ROUNDS);
        let page = lead.page(&rounds).await;
        assert_eq!(page.count(".pack"), 1, "one indicator, three finds");
        assert!(page.text(".pack").contains("and 2 more finds in Iron 3"), "{}", page.text(".pack"));
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page(&rounds).await;
        assert_eq!(page.count(".pack"), 1, "whoever may not see one find still passes the box");
        assert!(page.text(".pack").contains("and 1 more find in Iron 3"), "{}", page.text(".pack"));
        let clock = page.attributes("input[name=clock]", "value")[0].clone();
        let seen = odile.submit(&page, "form.round", &[("well", &clock), ("reading", "9")]).await;
        assert_eq!(seen.status, StatusCode::SEE_OTHER, "{}", seen.text(".wrong"));
        assert!(odile.follow(&seen).await.text(".notice").contains("1 in order, 0 not"), "counted once");
        for find in [first, second, urn] {
            let mut tx = lab.site.db.read().await.unwrap();
            let clock = store::clocks::list_running(&mut tx, find).await.unwrap().into_iter().find(|c| c.kind == ClockKind::Indicator).unwrap();
            let looks = store::clocks::looks::list(&mut tx, clock.id, 5).await.unwrap();
            assert_eq!((looks.len(), looks[0].indicator_rh), (1, Some(9.0)), "read for each");
            let journal = store::journal::list_of_find(&mut tx, find, store::journal::Told::ALL, 10).await.unwrap();
            let read = journal.iter().filter(|line| line.words.contains("read the indicator") && line.words.contains("9 % RH"));
            assert_eq!(read.count(), 1, "{journal:?}");
        }
        // One that goes elsewhere is not read there any more.
        let shelf = lab.site.place("Shelf 2").await.to_string();
        let id = first.to_string();
        let move_it = [("find", id.as_str()), ("place", shelf.as_str()), ("moved_by", "O. Marchbank")];
        assert_eq!(odile.post(&web::links::move_new(lab.site.code), &move_it).await.status, StatusCode::SEE_OTHER);
        let mut tx = lab.site.db.read().await.unwrap();
        assert!(store::clocks::list_running(&mut tx, first).await.unwrap().iter().all(|c| c.kind != ClockKind::Indicator));
        drop(tx);
        let page = odile.page(&rounds).await;
        assert_eq!(page.count(".pack"), 1);
        assert!(page.text(".pack").contains("62") && !page.text(".pack").contains("more find"), "{}", page.text(".pack"));
    }
}
