//! What has to be on record before anything leaves, and who may see what left.
use super::{counted, glass, line, send, sent};
use axum::http::StatusCode;
use domain::dispatch::Way;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::http::Lab;
use web::links;

on_both_engines! {
    async fn a_single_find_needs_count_mass_condition_and_a_photograph(lab: Lab) {
        let brooch = lab.site.find("2").material("copper_alloy").object("brooch").add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let refused = send(&mut bea, &lab, &[brooch], &[("condition", "")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let words = refused.text(".wrong");
        for says in ["2: it is not weighed", "2: its condition as it leaves", "2: there is no photograph"] {
            assert!(words.contains(says), "{says}: {words}");
        }
        assert!(refused.text("#lifted").contains("A lead may let it go"), "the way out is named");
        assert_eq!(refused.attributes("#purpose", "value"), ["identification and date"], "what was typed stays");

        let reason = ("lifted", "the courier waits; photographed by Ansel on film");
        let refused = send(&mut bea, &lab, &[brooch], &[("mass_g", "11.2"), reason]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "a finds officer does not lift");
        let mut tomas = lab.sign_in(Role::Lead).await;
        let dispatch = sent(&mut tomas, &lab, &[brooch], &[("mass_g", "11.2"), reason]).await;
        let page = bea.page(&links::dispatch(dispatch)).await;
        assert!(page.text("main").contains("the courier waits"), "the reason stays on the record");
        let find = bea.page(&links::find(brooch)).await;
        assert!(find.text(".journal").contains("sent although something was lacking: the courier waits"));
        assert!(find.text("main").contains("11.2 g after: counted and weighed before it was dispatched"), "the register is weighed too");
    }

    async fn nothing_leaves_twice_and_nothing_that_is_held_or_void(lab: Lab) {
        let find = glass(&lab).await;
        let held = lab.site.find("4").bulk(3).add().await;
        let mut tx = lab.site.db.write().await.unwrap();
        let odile = lab.site.person(Role::Conservator);
        store::work::holds::insert(&mut tx, held, "under study", odile, tests::support::noon()).await.unwrap();
        tx.commit().await.unwrap();
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        sent(&mut bea, &lab, &[find], &[]).await;
        assert!(send(&mut bea, &lab, &[find], &[]).await.text(".wrong").contains("3 is out already"));
        assert!(send(&mut bea, &lab, &[held], &[]).await.text(".wrong").contains("4 is on hold"));
        let void = bea.page(&links::find_void(find)).await;
        let refused = bea.submit(&void, "main form", &[("reason", "typing error")]).await;
        assert!(refused.text(".wrong").contains("is out, or some of it, on dispatch D1"), "{}", refused.text(".wrong"));
        let list = bea.page(&links::finds(lab.site.code)).await;
        assert!(list.text("table").contains("out"), "the list says so");
    }

    async fn what_is_here_is_not_joined_with_what_is_out(lab: Lab) {
        let (find, other) = (glass(&lab).await, lab.site.find("5").material("glass").bulk(2).add().await);
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        sent(&mut bea, &lab, &[find], &[]).await;
        for (into, others) in [(find, "5"), (other, "3")] {
            let join = bea.page(&links::find_join(into)).await;
            let refused = bea.submit(&join, "main form", &[("others", others), ("quantity", "1"), ("reason", "fits")]).await;
            assert!(refused.text(".wrong").contains("on dispatch D1"), "{}", refused.text(".wrong"));
        }
    }

    async fn a_specialist_opens_what_was_sent_to_them_and_nothing_else(lab: Lab) {
        let colleague = lab.site.another(Role::Specialist, "Maren Ash").await;
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let dispatch = sent(&mut bea, &lab, &[find], &[]).await;
        let (mut sabine, mut maren) = (lab.sign_in(Role::Specialist).await, lab.sign_in_as(colleague).await);
        let page = sabine.page(&links::dispatch(dispatch)).await;
        assert_eq!(page.attributes("tbody th a", "href"), Vec::<String>::new(), "the find itself was not assigned");
        assert_eq!(sabine.get(&links::dispatch_note(dispatch)).await.status, StatusCode::OK);
        for path in [
            links::dispatch(dispatch),
            links::dispatch_note(dispatch),
            links::receipt_new(dispatch, Way::There),
            links::explanation_new(line(&lab, dispatch).await.id),
        ] {
            assert_eq!(maren.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
        assert_eq!(sabine.get(&links::receipt_new(dispatch, Way::Back)).await.status, StatusCode::FORBIDDEN);
    }

    async fn restricted_lines_are_counted_but_not_shown_without_the_clearance(lab: Lab) {
        lab.site.clear(Role::FindsOfficer).await;
        let urn = lab.site.find("95").material("cremated_bone").object("urn spit").restricted().bulk(40).add().await;
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let changes = [("condition", "stable"), ("condition", "as lifted"), ("restricted", "yes")];
        let unasked = send(&mut bea, &lab, &[find, urn], &changes[..2]).await;
        assert!(unasked.text(".wrong").contains("One find is restricted. Tick that the recipient may have them"));
        let dispatch = sent(&mut bea, &lab, &[find, urn], &changes).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        for path in [links::dispatch(dispatch), links::dispatches(lab.site.code)] {
            let page = odile.page(&path).await;
            assert!(!page.source().contains("urn spit"), "{path}");
        }
        assert!(odile.page(&links::dispatch(dispatch)).await.text("main").contains("And 1 that you may not see"));
        assert!(bea.page(&links::dispatch(dispatch)).await.source().contains("urn spit"));
    }

    async fn the_same_form_sent_twice_is_one_dispatch_and_numbers_follow_each_other(lab: Lab) {
        let finds = [glass(&lab).await, lab.site.find("6").bulk(2).add().await];
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let form = bea.page(&format!("{}?find={}", links::dispatch_new(lab.site.code), finds[0])).await;
        let specialist = lab.site.person(Role::Specialist).to_string();
        let fields = [("recipient", specialist.as_str()), ("purpose", "date"), ("packing", "foam"), ("carrier", "by hand"), ("condition", "stable")];
        let first = bea.submit(&form, "main form", &fields).await.location();
        assert_eq!(bea.submit(&form, "main form", &fields).await.location(), first);
        sent(&mut bea, &lab, &[finds[1]], &[]).await;
        let page = bea.page(&links::dispatches(lab.site.code)).await;
        assert_eq!(page.texts("tbody th"), ["D2", "D1"]);
    }

    async fn somebody_without_an_account_is_named_and_the_officer_records_what_they_say(lab: Lab) {
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let dispatch = sent(&mut bea, &lab, &[find], &[("recipient", ""), ("name", "Harbour Laboratory")]).await;
        counted(&mut bea, &links::receipt_new(dispatch, Way::There), ("17", "41.2")).await;
        let page = bea.page(&links::dispatch(dispatch)).await;
        assert!(page.text(".next").contains("With Harbour Laboratory"), "{}", page.text(".next"));
    }
}
