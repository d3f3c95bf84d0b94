//! Finds ticked in the list and given to one person at the bench.
use super::{listed, with_ticked};
use axum::http::StatusCode;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{FOREIGN, Lab, Site};
use web::links;

const FORM: &str = "form[action$='/bench/new']";

on_both_engines! {
    async fn ticked_finds_go_to_one_person_whose_list_then_holds_them_and_no_others(lab: Lab) {
        let lock = lab.site.find("61").material("iron").object("lock plate").add().await;
        let handle = lab.site.find("62").material("iron").object("handle").add().await;
        lab.site.find("63").material("glass").object("beaker").add().await;
        let maren = lab.site.another(Role::Conservator, "Maren Ash").await;
        let who = maren.to_string();
        let code = lab.site.code;
        let mut tilda = lab.sign_in(Role::Lead).await;
        let form = tilda.page(&with_ticked(&links::bench_new(code), &[lock, handle])).await;
        assert_eq!(form.text("main h1"), "Give 2 finds to a person");
        let unsaid = tilda.submit(&form, FORM, &[]).await;
        assert_eq!(unsaid.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(unsaid.text("[role=alert]").contains("Choose a person"), "{}", unsaid.text("[role=alert]"));
        assert_eq!(unsaid.count(&format!("{FORM} input[name=find]")), 2, "the finds stay ticked");
        assert!(listed(&mut tilda, code, &[("person", &who)]).await.is_empty(), "nobody has them yet");

        let given = tilda.submit(&unsaid, FORM, &[("person", &who)]).await;
        assert_eq!(given.status, StatusCode::SEE_OTHER);
        assert_eq!(tilda.follow(&given).await.text(".notice"), "2 finds were given to Maren Ash.");
        assert_eq!(listed(&mut tilda, code, &[("person", &who)]).await, ["61", "62"]);
        assert_eq!(listed(&mut tilda, code, &[]).await, ["61", "62", "63"], "the list of all is as long as before");
        assert!(listed(&mut tilda, code, &[("person", "me")]).await.is_empty(), "they are not with who gave them");

        let mut maren = lab.sign_in_as(maren).await;
        assert_eq!(listed(&mut maren, code, &[("person", "me")]).await, ["61", "62"]);
        let today = maren.page(links::TODAY).await;
        let sections = today.texts("section.waiting");
        let bench = sections.iter().find(|said| said.starts_with("On your bench")).expect("a bench on Today");
        assert!(bench.contains("lock plate") && bench.contains("handle") && !bench.contains("beaker"), "{bench}");
    }

    async fn a_find_taken_off_the_bench_is_with_nobody_and_the_others_stay(lab: Lab) {
        let lock = lab.site.find("61").material("iron").object("lock plate").add().await;
        let handle = lab.site.find("62").material("iron").object("handle").add().await;
        let code = lab.site.code;
        let who = lab.site.person(Role::Conservator).to_string();
        let mut tilda = lab.sign_in(Role::Lead).await;
        let form = tilda.page(&with_ticked(&links::bench_new(code), &[lock, handle])).await;
        tilda.submit(&form, FORM, &[("person", &who)]).await;
        assert_eq!(listed(&mut tilda, code, &[("person", &who)]).await, ["61", "62"]);
        let form = tilda.page(&with_ticked(&links::bench_new(code), &[lock])).await;
        let off = tilda.submit(&form, FORM, &[("person", "nobody")]).await;
        assert_eq!(tilda.follow(&off).await.text(".notice"), "61 was taken off the bench.");
        assert_eq!(listed(&mut tilda, code, &[("person", &who)]).await, ["62"]);
    }

    async fn a_find_of_another_project_among_the_ticked_gives_none_of_them(lab: Lab) {
        let lock = lab.site.find("61").material("iron").object("lock plate").add().await;
        let foreign = Site::named(&lab.site.db, FOREIGN).await;
        let theirs = foreign.find("61").material("iron").add().await;
        let who = lab.site.person(Role::Conservator).to_string();
        let (ours, strange) = (lock.to_string(), theirs.to_string());
        let mut tilda = lab.sign_in(Role::Lead).await;
        let fields = [("find", ours.as_str()), ("find", strange.as_str()), ("person", who.as_str())];
        let refused = tilda.post(&links::bench_new(lab.site.code), &fields).await;
        assert_eq!(refused.status, StatusCode::NOT_FOUND);
        assert!(listed(&mut tilda, lab.site.code, &[("person", &who)]).await.is_empty(), "nothing half-done is saved");
    }
}
