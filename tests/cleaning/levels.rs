//! Cleaning levels: proposed on evidence, asked of the leads on Today and by mail, answered in words.
use super::{assert_refused, assert_saved, send};
use axum::http::StatusCode;
use domain::ids::{FindId, RecordId};
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::Lab;

pub(super) const LEVEL: &[(&str, &str)] = &[
    ("level", "loose soil off, red kept"),
    ("layers_to_keep", "all paint"),
    ("stop_point", "first tint on the swab"),
    ("decided_by", "O. Marchbank"),
    ("consulted", "M. Etherley"),
    ("question", "how far"),
    ("evidence", "raking light shows the brush"),
];

async fn letters(lab: &Lab) -> Vec<(String, String)> {
    let mut tx = lab.site.db.read().await.unwrap();
    let unsent = store::letters::list_unsent(&mut tx, 50).await.unwrap();
    unsent.into_iter().map(|letter| (letter.to_address, letter.subject)).collect()
}

async fn level_of(lab: &Lab, find: FindId) -> RecordId {
    let mut tx = lab.site.db.read().await.unwrap();
    store::work::levels::list_reasoned(&mut tx, find).await.unwrap()[0].record
}

on_both_engines! {
    async fn a_level_names_its_evidence_and_goes_to_the_leads(lab: Lab) {
        let find = lab.site.find("88").material("stone").object("panel").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let test = [("part", "water"), ("site", "hem"), ("effect_on_original", "none"), ("decision", "accepted")];
        assert_saved(&send(&mut odile, &lab, "spot_test", find, &test).await);
        for (field, words) in [("layers_to_keep", "which layers"), ("consulted", "who was consulted"), ("level", "how far to clean"), ("stop_point", "which sign")] {
            let mut changes: Vec<_> = LEVEL.iter().copied().filter(|(name, _)| *name != field).collect();
            changes.push((field, ""));
            let refused = send(&mut odile, &lab, "cleaning_level", find, &changes).await;
            assert_refused(&refused, words);
            assert_eq!(refused.text("#question"), "how far", "nothing typed is lost");
        }
        assert!(letters(&lab).await.is_empty(), "nobody is asked about what was not saved");
        assert_saved(&send(&mut odile, &lab, "cleaning_level", find, LEVEL).await);
        let asked = letters(&lab).await;
        assert_eq!(asked.len(), 1, "{asked:?}");
        assert_eq!(asked[0].0, lab.site.email(Role::Lead));
        assert!(asked[0].1.contains("VSQ31 88"), "{asked:?}");

        let mut tomas = lab.sign_in(Role::Lead).await;
        let today = tomas.page("/today").await;
        assert!(today.text(".lines").contains("loose soil off, red kept"), "{}", today.text(".lines"));
        let page = tomas.page(&format!("/records/{}/authorisation", level_of(&lab, find).await)).await;
        let said = page.text("main");
        for words in ["all paint", "first tint", "M. Etherley", "raking light shows the brush", "Test 1"] {
            assert!(said.contains(words), "{words}: {said}");
        }
        assert_eq!(odile.get(&format!("/records/{}/authorisation", level_of(&lab, find).await)).await.status, StatusCode::FORBIDDEN);
    }

    async fn a_refusal_needs_its_reason_and_the_answer_comes_back(lab: Lab) {
        let find = lab.site.find("88").material("stone").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_saved(&send(&mut odile, &lab, "cleaning_level", find, LEVEL).await);
        let mut tomas = lab.sign_in(Role::Lead).await;
        let path = format!("/records/{}/authorisation", level_of(&lab, find).await);
        assert_refused(&tomas.post(&path, &[("answer", "refused")]).await, "Say why it is refused");
        assert_saved(&tomas.post(&path, &[("answer", "refused"), ("words", "stop at the lime skin")]).await);
        let again = tomas.post(&path, &[("answer", "authorised")]).await;
        assert_eq!(again.status, StatusCode::CONFLICT, "answered once");
        let back = letters(&lab).await;
        assert!(back.iter().any(|(to, subject)| *to == lab.site.email(Role::Conservator) && subject.contains("refused")), "{back:?}");
        let today = odile.page("/today").await.text("main");
        assert!(today.contains("Cleaning levels answered") && today.contains("stop at the lime skin"), "{today}");
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.text(".journal").contains("stop at the lime skin"));
    }

    async fn a_level_is_authorised_on_today_by_one_button(lab: Lab) {
        let find = lab.site.find("88").material("stone").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_saved(&send(&mut odile, &lab, "cleaning_level", find, LEVEL).await);
        let mut tomas = lab.sign_in(Role::Lead).await;
        let today = tomas.page("/today").await;
        let reply = tomas.submit(&today, "form[action*='authorisation']", &[]).await;
        assert_saved(&reply);
        assert_eq!(reply.location(), "/today");
        let mut tx = lab.site.db.read().await.unwrap();
        assert!(store::finds::progress::find_facts(&mut tx, find).await.unwrap().level_authorised);
    }

    async fn an_open_level_asks_nobody_and_of_restricted_finds_only_the_number_goes_out(lab: Lab) {
        let find = lab.site.find("95").material("stone").restricted().add().await;
        lab.site.clear(Role::Conservator).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let open: Vec<_> = LEVEL.iter().copied().chain([("finished", "no")]).collect();
        assert_saved(&send(&mut odile, &lab, "cleaning_level", find, &open).await);
        assert!(letters(&lab).await.is_empty());
        assert_saved(&send(&mut odile, &lab, "cleaning_level", find, LEVEL).await);
        assert!(letters(&lab).await.is_empty(), "no lead may see it");
        lab.site.clear(Role::Lead).await;
        assert_saved(&send(&mut odile, &lab, "cleaning_level", find, LEVEL).await);
        assert_eq!(letters(&lab).await.len(), 1);
        web::letterbox::send_due(&lab.app).await.unwrap();
        let folder = std::fs::read_dir(&lab.app.config.letters).unwrap();
        let mail: String = folder.filter_map(|f| std::fs::read_to_string(f.unwrap().path()).ok()).collect();
        assert!(mail.contains("95") && !mail.contains("red kept"), "{mail}");
    }
}
