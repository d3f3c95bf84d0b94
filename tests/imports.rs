//! A register through the pages: read, matched, tried, applied, brought again, undone.
use axum::http::StatusCode;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::Site;
use tests::support::http::{Lab, Reply, Visitor};

/// As a unit keeps it: a title line, a semicolon, decimal commas, an unknown material, a context that does not exist yet.
const MESSY: &str = "Vessenholt Quay, small finds;;;;;\n;;;;;\nSF No;Ctx;Material;Object;Wt (g);Date found\n\
    1;214;Iron;nail;12,5;03/05/2031\n2;215;Fe;knife;30,0;14/05/2031\n 3 ;214;Iorn;key;44,1;15/05/2031\n";

async fn send(bea: &mut Visitor, lab: &Lab, text: &str) -> Reply {
    let path = format!("/projects/{}/imports", lab.site.code);
    let reply = bea.upload(&path, &[("kind", "finds")], &[("file", "register.csv", text.as_bytes())]).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
    bea.follow(&reply).await
}

async fn count(lab: &Lab) -> usize {
    let mut tx = lab.site.db.read().await.unwrap();
    store::imports::list_numbers(&mut tx, lab.site.project).await.unwrap().len()
}

on_both_engines! {
    async fn a_messy_register_is_tried_applied_brought_again_and_undone(site: Site) {
        site.context("214").await;
        let lab = Lab::of(site);
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = send(&mut bea, &lab, MESSY).await;
        assert!(page.text("main").contains("row 5") || page.source().contains("215"), "the missing context is named");
        assert!(page.source().contains("Iorn"), "the unknown material is named");
        assert_eq!(page.count("form[action$=application]"), 0, "nothing may be applied yet");
        assert_eq!(count(&lab).await, 0);

        let choices = "form:not([action$=application]):not([action='/sign-out']):has(#header_row)";
        let tried = bea.submit(&page, choices, &[("create_contexts", "yes"), ("material-iorn", "iron")]).await;
        let page = bea.follow(&tried).await;
        assert!(page.text("main").contains("3 new"), "{}", page.text("main"));
        let applied = bea.submit(&page, "form[action$=application]", &[]).await;
        assert_eq!(applied.status, StatusCode::SEE_OTHER);
        let first = applied.location();
        assert_eq!(count(&lab).await, 3);
        let mut tx = lab.site.db.read().await.unwrap();
        let id = store::finds::find_by_number(&mut tx, lab.site.project, "3").await.unwrap().unwrap();
        let key = store::finds::find_unguarded(&mut tx, id).await.unwrap().unwrap();
        drop(tx);
        assert_eq!((key.weight_g, key.material.as_str()), (Some(44.1), "iron"));
        assert_eq!(key.recovered_on.unwrap().to_string(), "2031-05-15");

        let again = send(&mut bea, &lab, &MESSY.replace("44,1", "45,2").replace("Iorn", "Iron")).await;
        assert!(again.text("main").contains("0 new") && again.text("main").contains("1 changed"), "{}", again.text("main"));
        let applied = bea.submit(&again, "form[action$=application]", &[]).await;
        let page = bea.follow(&applied).await;
        let undone = bea.submit(&page, "form[action$=undoing]", &[]).await;
        assert_eq!(undone.status, StatusCode::SEE_OTHER);
        let mut tx = lab.site.db.read().await.unwrap();
        let key = store::finds::find_unguarded(&mut tx, id).await.unwrap().unwrap();
        drop(tx);
        assert_eq!(key.weight_g, Some(44.1), "as it was before the second import");

        let form = bea.page(&web::links::find_edit(id)).await;
        bea.submit(&form, "form[data-keep=find]", &[("object_type", "barrel key")]).await;
        let page = bea.page(&first).await;
        let refused = bea.submit(&page, "form[action$=undoing]", &[]).await;
        let page = bea.follow(&refused).await;
        assert!(page.source().contains("cannot be undone"), "a find saved since stops the undoing");
        assert_eq!(count(&lab).await, 3);
    }
}

/// A printed register at its worst: a comma that may part thousands, months first, a formula nobody worked out, a total.
const PRINTED: &str = "SF No,Material,Object,Wt (g),Date found\n1,Iron,nail,\"1,250\",05/03/2031\n\
    2,Iron,=A1&B1,30,05/04/2031\nTotal,,,1280,\n";

on_both_engines! {
    async fn sums_are_left_out_formulas_refused_and_a_column_is_read_as_chosen(lab: Lab) {
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = send(&mut bea, &lab, PRINTED).await;
        let said = page.text("main");
        assert!(said.contains("2 rows read") && said.contains("“Total” names no single thing"), "{said}");
        assert!(said.contains("The formula in this cell has no result"), "{said}");
        assert_eq!(page.count("form[action$=application]"), 0, "the formula stops it");

        let page = send(&mut bea, &lab, &PRINTED.replace("=A1&B1", "knife")).await;
        let choices = "form:has(#header_row)";
        let chosen = [("decimal-3", "comma"), ("dates-4", "month_first")];
        let tried = bea.submit(&page, choices, &chosen).await;
        let page = bea.follow(&tried).await;
        assert_eq!(page.attributes("[name=dates-4] option[selected]", "value"), ["month_first"], "the choice stays");
        let applied = bea.submit(&page, "form[action$=application]", &[]).await;
        assert_eq!(applied.status, StatusCode::SEE_OTHER);
        let mut tx = lab.site.db.read().await.unwrap();
        let id = store::finds::find_by_number(&mut tx, lab.site.project, "1").await.unwrap().unwrap();
        let nail = store::finds::find_unguarded(&mut tx, id).await.unwrap().unwrap();
        assert_eq!(nail.weight_g, Some(1.25), "1,250 with a decimal comma");
        assert_eq!(nail.recovered_on.unwrap().to_string(), "2031-05-03", "5 March or 3 May: month first was said");
        assert_eq!(store::imports::list_numbers(&mut tx, lab.site.project).await.unwrap().len(), 2);
    }

    async fn a_table_to_take_away_holds_every_problem_and_every_change_of_a_dry_run(lab: Lab) {
        lab.site.find("1").material("iron").object("nail").add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let faults: String = (2..252).map(|number| format!("{number};key;heavy\n")).collect();
        let page = send(&mut bea, &lab, &format!("SF No;Object;Wt (g)\n1;staple;\n{faults}")).await;
        assert_eq!(page.count("table[class=list] tbody tr"), 200, "the first of the problems");
        let changes = page.texts("[aria-labelledby=changes] tbody tr").into_iter().filter(|row| row.contains("staple"));
        assert_eq!(changes.count(), 1, "what will change stands before it does");
        let path = page.attributes("a[href$='dry-run.csv']", "href").remove(0);
        let table = bea.get(&path).await;
        let lines: Vec<&str> = table.source().lines().collect();
        assert_eq!(lines.iter().filter(|line| line.starts_with("stops,")).count(), 250);
        assert!(lines.contains(&"changes,1,Object,nail,staple,"), "{lines:?}");
    }
}

async fn send_contexts(bea: &mut Visitor, lab: &Lab, text: &str) -> Reply {
    let path = format!("/projects/{}/imports", lab.site.code);
    let reply =
        bea.upload(&path, &[("kind", "contexts")], &[("file", "contexts.csv", text.as_bytes())]).await;
    bea.follow(&reply).await
}

const APPLY: &str = "form[action$=application]";

on_both_engines! {
    async fn an_import_is_applied_only_as_it_was_shown(lab: Lab) {
        let find = lab.site.find("1").material("iron").object("nail").add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let shown = send(&mut bea, &lab, "SF No;Object\n1;hook\n").await;
        assert!(shown.text("[aria-labelledby=changes]").contains("nail"), "{}", shown.text("main"));
        let form = bea.page(&web::links::find_edit(find)).await;
        bea.submit(&form, "form[data-keep=find]", &[("object_type", "chain")]).await;

        let refused = bea.submit(&shown, APPLY, &[]).await;
        let page = bea.follow(&refused).await;
        assert!(page.text(".notice").contains("the project has changed since"), "{}", page.text(".notice"));
        assert!(page.text("[aria-labelledby=changes]").contains("chain"), "what would happen now stands there");
        let kept = async || {
            let mut tx = lab.site.db.read().await.unwrap();
            store::finds::find_unguarded(&mut tx, find).await.unwrap().unwrap().object_type
        };
        assert_eq!(kept().await, "chain", "nothing was overwritten");
        let applied = bea.submit(&page, APPLY, &[]).await;
        assert_eq!(bea.follow(&applied).await.text(".notice"), "Imported: 0 added, 1 changed, 0 as they were.");
        assert_eq!(kept().await, "hook");
    }

    async fn an_undone_import_stands_in_the_journal_of_each_find_and_gives_the_place_back(lab: Lab) {
        let shelf = lab.site.place("Shelf 1").await;
        lab.site.place("Shelf 2").await;
        let find = lab.site.find("1").material("iron").object("nail").at_place(shelf).add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let shown = send(&mut bea, &lab, "SF No;Object;Location\n1;hook;Shelf 2\n").await;
        let applied = bea.submit(&shown, APPLY, &[]).await;
        let page = bea.follow(&applied).await;
        let journal = bea.page(&web::links::find(find)).await.text(".journal");
        assert!(journal.contains("Place from “Shelf 1” to “Shelf 2”"), "{journal}");
        bea.submit(&page, "form[action$=undoing]", &[]).await;
        let page = bea.page(&web::links::find(find)).await;
        let journal = page.text(".journal");
        assert!(journal.contains("by undoing an import, changed Object from “hook” to “nail”"), "{journal}");
        let mut tx = lab.site.db.read().await.unwrap();
        let kept = store::finds::find_unguarded(&mut tx, find).await.unwrap().unwrap();
        assert_eq!(kept.place_path.as_deref(), Some("Shelf 1"));
    }

    async fn imports_are_undone_one_after_the_other_the_last_first(lab: Lab) {
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let mut pages = Vec::new();
        for text in ["SF No;Material;Object\n1;Iron;nail\n", "SF No;Object\n1;hook\n", "SF No;Object\n1;chain\n"] {
            let shown = send(&mut bea, &lab, text).await;
            let applied = bea.submit(&shown, APPLY, &[]).await;
            assert!(bea.follow(&applied).await.text(".notice").starts_with("Imported"));
            pages.push(applied.location());
        }
        for (nth, left) in [(2, 1), (1, 1), (0, 0)] {
            let page = bea.page(&pages[nth]).await;
            let undone = bea.submit(&page, "form[action$=undoing]", &[]).await;
            let told = bea.follow(&undone).await.text(".notice");
            assert!(told.starts_with("The import is undone"), "{nth}: {told}");
            assert_eq!(count(&lab).await, left);
        }
    }

    async fn relations_and_circles_of_a_context_register_are_told_before_they_are_laid(lab: Lab) {
        let (above, below) = (lab.site.context("214").await, lab.site.context("215").await);
        let mut tx = lab.site.db.write().await.unwrap();
        store::contexts::insert_relation(&mut tx, lab.site.project, above, below, "above").await.unwrap();
        tx.commit().await.unwrap();
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = send_contexts(&mut bea, &lab, "Context No;Above\n215;214\n").await;
        let said = page.text("main");
        assert!(said.contains("0 new, 1 changed, 0 as they are"), "{said}");
        assert!(page.text("[aria-labelledby=changes]").contains("Lies above"), "{said}");
        assert!(said.contains("214 and 215 lead to each other in a circle"), "{said}");
        let ring = "Context No;Above\n98001;98002\n98002;98003\n98003;98001\n";
        let page = send_contexts(&mut bea, &lab, ring).await;
        assert!(page.text("main").contains("98001, 98002 and 98003 lead to each other in a circle"), "{}", page.text("main"));
        let rings: String = (1..9).map(|n| format!("7{n}1;7{n}2\n7{n}2;7{n}3\n7{n}3;7{n}1\n")).collect();
        let page = send_contexts(&mut bea, &lab, &format!("Context No;Above\n{rings}")).await;
        assert_eq!(page.text("main").matches("in a circle").count(), 8, "{}", page.text("main"));
        let applied = bea.submit(&page, APPLY, &[]).await;
        let told = bea.follow(&applied).await.text(".notice");
        assert_eq!(told, "Imported: 24 added, 0 changed, 0 as they were.", "a doubt stops nothing");
        let page = send_contexts(&mut bea, &lab, "Context No;Above\n214;215\n").await;
        assert!(page.text("main").contains("0 changed, 1 as they are"), "that is known: {}", page.text("main"));
    }

    // Limits of the form: 20 t, 20 m, a thousand million pieces (common practice, no source).
    async fn figures_nobody_believes_stop_a_register_as_they_stop_the_form(lab: Lab) {
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = send(&mut bea, &lab, "SF No;Object;Wt (g);Length (mm);Count\n1;nail;1e9;;\n2;nail;;1e308;\n3;nail;;;4000000000\n").await;
        let said = page.text("main");
        assert_eq!(said.matches("is too large").count(), 3, "{said}");
        assert_eq!(page.count(APPLY), 0);
    }

    async fn what_the_list_gives_out_can_be_brought_again_and_changes_nothing(lab: Lab) {
        let trench = lab.site.context("214").await;
        lab.site.find("1").material("plaster_cbm").object("tile").in_context(trench).with(|f| f.material_words = "roof tile".into()).add().await;
        lab.site.find("2").material("ceramic").bulk(12).in_context(trench).add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let csv = bea.get(&web::links::finds_file(lab.site.code, "csv")).await;
        let page = send(&mut bea, &lab, csv.source()).await;
        let said = page.text("main");
        assert!(said.contains("0 new, 0 changed, 2 as they are"), "{said}");
    }
}
