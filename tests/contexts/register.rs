//! A register of contexts through the pages: tried, applied with how they lie upon each other, undone.
use super::above;
use axum::http::StatusCode;
use domain::permission::Role;
use std::collections::BTreeSet;
use tests::on_both_engines;
use tests::support::Lab;
use tests::support::http::{Reply, Visitor};
use web::links;

/// As a unit keeps it: 214 is there already, 215 and 216 are new; 214 lies above 215, which 216 cuts.
const REGISTER: &str = "Ctx;Type;Interpretation;Above;Cut by\n214;fill;fill of the pit;215;\n\
    215;cut;pit by the quay wall;;216\n216;trench;robber trench;;\n";

async fn send(bea: &mut Visitor, lab: &Lab, text: &str) -> Reply {
    let path = links::imports(lab.site.code);
    let files = [("file", "contexts.csv", text.as_bytes())];
    let reply = bea.upload(&path, &[("kind", "contexts")], &files).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
    bea.follow(&reply).await
}

/// The contexts of the project in their order: number, kind, interpretation.
async fn kept(lab: &Lab) -> Vec<(String, String, String)> {
    let mut tx = lab.site.db.read().await.unwrap();
    let all = store::contexts::list(&mut tx, lab.site.project, "", 1_000).await.unwrap();
    all.into_iter().map(|context| (context.number, context.kind, context.interpretation)).collect()
}

async fn numbers(lab: &Lab) -> Vec<String> {
    kept(lab).await.into_iter().map(|(number, ..)| number).collect()
}

/// How they lie, in words: later, kind, earlier.
async fn relations(lab: &Lab) -> BTreeSet<String> {
    let mut tx = lab.site.db.read().await.unwrap();
    let all = store::contexts::list_relations(&mut tx, lab.site.project).await.unwrap();
    let mut told = BTreeSet::new();
    for (later, earlier, kind) in all {
        let later = store::contexts::find(&mut tx, later).await.unwrap().unwrap().number;
        let earlier = store::contexts::find(&mut tx, earlier).await.unwrap().unwrap().number;
        told.insert(format!("{later} {kind} {earlier}"));
    }
    told
}

fn words(wanted: &[&str]) -> BTreeSet<String> {
    wanted.iter().map(|&words| words.to_owned()).collect()
}

on_both_engines! {
    async fn a_register_of_contexts_is_tried_applied_with_its_relations_and_undone(lab: Lab) {
        above(&lab.site, "214", "213").await;
        let before = kept(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = send(&mut bea, &lab, REGISTER).await;
        let said = page.text("main");
        assert!(said.contains("3 rows read: 2 new, 1 changed, 0 as they are"), "{said}");
        assert_eq!(kept(&lab).await, before, "a try keeps nothing");
        assert_eq!(relations(&lab).await, words(&["214 above 213"]));

        let applied = bea.submit(&page, "form[action$=application]", &[]).await;
        assert_eq!(applied.status, StatusCode::SEE_OTHER);
        let page = bea.follow(&applied).await;
        assert!(page.text("main").contains("2 added, 1 changed"), "{}", page.text("main"));
        let wanted = [
            ("213", "fill", ""),
            ("214", "fill", "fill of the pit"),
            ("215", "cut", "pit by the quay wall"),
            ("216", "trench", "robber trench"),
        ];
        let wanted = wanted.map(|(number, kind, words)| (number.to_owned(), kind.to_owned(), words.to_owned()));
        assert_eq!(kept(&lab).await, wanted);
        assert_eq!(relations(&lab).await, words(&["214 above 213", "214 above 215", "216 cuts 215"]));
        let pit = lab.site.context("215").await;
        let shown = bea.page(&links::context(pit)).await;
        let neighbours = shown.attributes("dl.facts a", "href");
        for number in ["214", "216"] {
            let neighbour = links::context(lab.site.context(number).await);
            assert!(neighbours.contains(&neighbour), "the page of 215 leads to {number}: {neighbours:?}");
        }

        let again = send(&mut bea, &lab, REGISTER).await;
        let said = again.text("main");
        assert!(said.contains("3 rows read: 0 new, 0 changed, 3 as they are"), "{said}");

        let undone = bea.submit(&page, "form[action$=undoing]", &[]).await;
        let page = bea.follow(&undone).await;
        assert!(page.text("main").contains("Undone 15 Sep 2031"), "{}", page.text("main"));
        assert_eq!(kept(&lab).await, before, "the added ones are gone, 214 is as it was");
        assert_eq!(relations(&lab).await, words(&["214 above 213"]));
        assert_eq!(page.count("form[action$=undoing]"), 0, "once is enough");
    }

    async fn contexts_that_finds_were_laid_to_since_are_not_taken_away_again(lab: Lab) {
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = send(&mut bea, &lab, REGISTER).await;
        let applied = bea.submit(&page, "form[action$=application]", &[]).await;
        let page = bea.follow(&applied).await;
        let pit = lab.site.context("215").await;
        lab.site.find("1").material("iron").object("nail").in_context(pit).add().await;
        let refused = bea.submit(&page, "form[action$=undoing]", &[]).await;
        let page = bea.follow(&refused).await;
        assert!(page.text("main").contains("cannot be undone"), "{}", page.text("main"));
        assert_eq!(numbers(&lab).await, ["214", "215", "216"], "all of it or nothing");
        assert_eq!(relations(&lab).await, words(&["214 above 215", "216 cuts 215"]));
    }

    async fn a_context_that_is_only_named_stops_the_import_until_it_may_be_made(lab: Lab) {
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = send(&mut bea, &lab, "Ctx;Type;Above\n214;fill;217\n").await;
        assert!(page.text("main").contains("There is no context 217"), "{}", page.text("main"));
        assert_eq!(page.count("form[action$=application]"), 0, "nothing may be applied yet");
        let tried = bea.submit(&page, "form:has(#header_row)", &[("create_contexts", "yes")]).await;
        let page = bea.follow(&tried).await;
        let applied = bea.submit(&page, "form[action$=application]", &[]).await;
        assert_eq!(applied.status, StatusCode::SEE_OTHER);
        assert_eq!(numbers(&lab).await, ["214", "217"]);
        assert_eq!(relations(&lab).await, words(&["214 above 217"]));
        let page = bea.follow(&applied).await;
        let undone = bea.submit(&page, "form[action$=undoing]", &[]).await;
        assert_eq!(undone.status, StatusCode::SEE_OTHER);
        assert!(numbers(&lab).await.is_empty(), "the one that was only named goes too");
    }

    async fn two_rows_that_lay_a_context_above_and_below_another_stop_the_import(lab: Lab) {
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = send(&mut bea, &lab, "Ctx;Type;Above\n214;fill;215\n215;cut;214\n").await;
        let said = page.text("main");
        assert!(said.contains("row 2 says the opposite"), "{said}");
        assert_eq!(page.count("form[action$=application]"), 0, "nothing may be applied");
        assert!(numbers(&lab).await.is_empty());
    }

    async fn relations_between_contexts_that_were_there_are_as_before_when_the_import_is_undone(lab: Lab) {
        above(&lab.site, "214", "213").await;
        lab.site.context("215").await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = send(&mut bea, &lab, "Ctx;Above;Cuts\n214;;213\n215;214;\n").await;
        let applied = bea.submit(&page, "form[action$=application]", &[]).await;
        assert_eq!(relations(&lab).await, words(&["214 cuts 213", "215 above 214"]));
        let page = bea.follow(&applied).await;
        bea.submit(&page, "form[action$=undoing]", &[]).await;
        assert_eq!(relations(&lab).await, words(&["214 above 213"]));
    }
}
