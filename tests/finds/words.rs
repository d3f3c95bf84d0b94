//! Finds looked up by what a specialist said of them: by whoever may read opinions, and by nobody else.
use super::listed;
use crate::review::opine;
use axum::http::StatusCode;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::Lab;
use tests::support::http::url_encoded;
use web::links;

const DATE: &str = "AD 1417–1461";

on_both_engines! {
    async fn the_words_of_an_opinion_lead_those_to_the_find_who_may_read_it_and_nobody_else(lab: Lab) {
        let panel = lab.site.find("88").material("stone").object("panel, carved").add().await;
        lab.site.find("89").material("stone").object("capital").add().await;
        lab.site.assign(&[panel]).await;
        let code = lab.site.code;
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let mut petra = lab.sign_in(Role::Manager).await;
        let mut photographer = lab.sign_in(Role::Photographer).await;

        assert_eq!(opine(&mut ilka, panel, "palimpsest of a brass", DATE, "keep").await.status, StatusCode::SEE_OTHER);
        assert!(listed(&mut petra, code, &[("q", "palimpsest")]).await.is_empty(), "a draft is its author’s alone");
        assert_eq!(opine(&mut ilka, panel, "palimpsest of a brass", DATE, "submit").await.status, StatusCode::SEE_OTHER);
        for role in [Role::Manager, Role::Conservator, Role::Lead, Role::FindsOfficer, Role::Archivist] {
            let mut reader = lab.sign_in(role).await;
            assert_eq!(listed(&mut reader, code, &[("q", "palimpsest")]).await, ["88"], "{}", role.label());
        }
        // what it is, what it is of, what that rests on; a word begun; a word of the register beside one of the opinion
        for words in ["palimpsest", "alabaster", "drapery", "palimp", "panel palimpsest"] {
            assert_eq!(listed(&mut petra, code, &[("q", words)]).await, ["88"], "{words}");
            assert!(listed(&mut photographer, code, &[("q", words)]).await.is_empty(), "{words}");
        }
        assert_eq!(listed(&mut photographer, code, &[("q", "panel")]).await, ["88"], "the words of the register are everybody’s");
        assert_eq!(listed(&mut photographer, code, &[("q", "88")]).await, ["88"], "and so is the number");

        let taken = format!("{}?{}", links::finds_file(code, "csv"), url_encoded(&[("q", "palimpsest")]));
        assert!(petra.get(&taken).await.source().contains("panel, carved"));
        assert!(!photographer.get(&taken).await.source().contains("panel, carved"), "nor is it taken away as a file");
    }

    async fn words_of_register_and_opinion_stay_apart_when_either_changes(lab: Lab) {
        let panel = lab.site.find("88").material("stone").object("panel, carved").add().await;
        lab.site.assign(&[panel]).await;
        let code = lab.site.code;
        let mut ilka = lab.sign_in(Role::Specialist).await;
        assert_eq!(opine(&mut ilka, panel, "palimpsest of a brass", DATE, "submit").await.status, StatusCode::SEE_OTHER);
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let form = bea.page(&links::find_edit(panel)).await;
        let saved = bea.submit(&form, "form[action$='/edit']", &[("object_type", "reredos")]).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER);
        let mut photographer = lab.sign_in(Role::Photographer).await;
        for visitor in [&mut bea, &mut photographer] {
            assert_eq!(listed(visitor, code, &[("q", "reredos")]).await, ["88"]);
            assert!(listed(visitor, code, &[("q", "carved")]).await.is_empty(), "no longer on the register");
        }
        assert_eq!(listed(&mut bea, code, &[("q", "palimpsest")]).await, ["88"]);
        assert!(listed(&mut photographer, code, &[("q", "palimpsest")]).await.is_empty());

        assert_eq!(opine(&mut ilka, panel, "Saint Barbara", DATE, "submit").await.status, StatusCode::SEE_OTHER);
        assert!(listed(&mut bea, code, &[("q", "palimpsest")]).await.is_empty(), "the opinion was revised");
        assert_eq!(listed(&mut bea, code, &[("q", "barbara")]).await, ["88"]);
        for words in ["barbara", "palimpsest"] {
            assert!(listed(&mut photographer, code, &[("q", words)]).await.is_empty(), "{words}");
        }
    }
}

on_both_engines! {
    async fn a_word_begun_finds_every_word_that_goes_on_from_it_however_many(lab: Lab) {
        let few = ["bracteate", "bracelet", "brace", "Bracelets"];
        let many = ["nailed", "nailing", "nails", "nailhead", "nailsick", "nailplate", "nailrod", "nailer", "nailless", "nail"];
        for (nth, object) in few.iter().chain(&many).enumerate() {
            lab.site.find(&(nth + 1).to_string()).object(object).add().await;
        }
        let code = lab.site.code;
        let mut petra = lab.sign_in(Role::Manager).await;
        for (words, found) in [
            ("brac", vec!["1", "2", "3", "4"]),
            ("brace", vec!["2", "3", "4"]),
            ("BRACELET", vec!["2", "4"]),
            ("bracelets", vec!["4"]),
            ("bract", vec!["1"]),
            ("braced", vec![]),
            ("nail", vec!["5", "6", "7", "8", "9", "10", "11", "12", "13", "14"]),
            ("nails", vec!["7", "9"]),
            ("nail brac", vec![]),
        ] {
            assert_eq!(listed(&mut petra, code, &[("q", words)]).await, found, "{words}");
        }
    }
}
