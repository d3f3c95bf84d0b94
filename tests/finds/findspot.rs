//! Exact findspots: entered and read by whoever holds the clearance, unknown to and untouched by others.
use axum::http::StatusCode;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::Lab;
use web::links;

on_both_engines! {
    async fn coordinates_stand_neither_in_journal_nor_form_of_those_who_may_not_know_them_and_outlast_their_edits(lab: Lab) {
        let find = lab.site.find("61").material("iron").object("key").add().await;
        lab.site.clear(Role::FindsOfficer).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let edit = links::find_edit(find);
        let form = bea.page(&edit).await;
        let at = [("easting_m", "123456.78"), ("northing_m", "87654.32")];
        let saved = bea.submit(&form, "form[data-keep=find]", &at).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text(".wrong"));
        let hers = bea.page(&links::find(find)).await;
        assert!(hers.text(".journal").contains("Easting, m from nothing to “123456.78”"), "{}", hers.text(".journal"));

        let mut tomas = lab.sign_in_as(lab.site.another(Role::FindsOfficer, "Tomas Reedling").await).await;
        let his = tomas.page(&links::find(find)).await;
        assert!(his.text(".journal").contains("changed the exact findspot"), "{}", his.text(".journal"));
        assert!(!his.source().contains("123456") && !his.source().contains("87654"));
        let form = tomas.page(&edit).await;
        assert_eq!(form.count("#easting_m"), 0);
        let saved = tomas.submit(&form, "form[data-keep=find]", &[("object_type", "barrel key")]).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text(".wrong"));
        let mut tx = lab.site.db.read().await.unwrap();
        let kept = store::finds::find_unguarded(&mut tx, find).await.unwrap().unwrap();
        assert_eq!((kept.easting_m, kept.northing_m), (Some(123_456.78), Some(87_654.32)));
        assert_eq!(kept.object_type, "barrel key");
    }

    async fn another_context_stands_in_the_journal(lab: Lab) {
        let first = lab.site.context("214").await;
        lab.site.context("215").await;
        let find = lab.site.find("61").material("iron").object("key").in_context(first).add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let form = bea.page(&links::find_edit(find)).await;
        bea.submit(&form, "form[data-keep=find]", &[("context", "215")]).await;
        let page = bea.page(&links::find(find)).await;
        assert!(page.text(".journal").contains("changed Context from “214” to “215”"), "{}", page.text(".journal"));
    }

    async fn human_remains_are_restricted_unless_somebody_says_otherwise(lab: Lab) {
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        for (number, material, said, restricted) in
            [("61", "inhumed_bone", "", true), ("62", "inhumed_bone", "no", false), ("63", "iron", "", false), ("64", "iron", "yes", true)]
        {
            let form = bea.page(&links::find_new(lab.site.code)).await;
            let typed = [("number", number), ("material", material), ("restricted", said)];
            let made = bea.submit(&form, "form[data-keep=find]", &typed).await;
            assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text(".wrong"));
            let mut tx = lab.site.db.read().await.unwrap();
            let id = store::finds::find_by_number(&mut tx, lab.site.project, number).await.unwrap().unwrap();
            let find = store::finds::find_unguarded(&mut tx, id).await.unwrap().unwrap();
            assert_eq!(find.restricted, restricted, "{number}");
            drop(tx);
            let arrived = bea.follow(&made).await;
            let told = arrived.text(".notice");
            assert_eq!((arrived.status, told.contains("It is restricted")), (StatusCode::OK, restricted), "{number}: {told}");
        }
        let find = lab.site.find("65").material("animal_bone").add().await;
        let form = bea.page(&links::find_edit(find)).await;
        let saved = bea.submit(&form, "form[data-keep=find]", &[("material", "inhumed_bone")]).await;
        assert!(bea.follow(&saved).await.text(".notice").contains("It is restricted"), "it turned out to be human");
    }
}
