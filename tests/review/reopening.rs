//! What comes to light after a settlement opens it again: visibly, with the reason, and the authors are written to.
use super::opine;
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use store::letters::Letter;
use tests::on_both_engines;
use tests::support::http::{Lab, Visitor};

/// The letters to an address that wait for this moment, by subject; taken with all others.
async fn letters(lab: &Lab) -> Vec<Letter> {
    crate::people::letters_sent(lab).await
}

fn to<'a>(letters: &'a [Letter], address: &str) -> Vec<&'a Letter> {
    letters.iter().filter(|letter| letter.to_address == address).collect()
}

async fn settlement(lab: &Lab, find: FindId) -> StageState {
    let mut tx = lab.site.db.read().await.unwrap();
    store::finds::progress::find_progress(&mut tx, find).await.unwrap().state(Stage::Settlement)
}

/// The specialist writes, the manager settles as agreed.
async fn settle(lab: &Lab, petra: &mut Visitor, find: FindId) {
    lab.site.assign(&[find]).await;
    let mut ilka = lab.sign_in(Role::Specialist).await;
    opine(&mut ilka, find, "beaker", "late C14", "submit").await;
    let page = petra.page(&format!("/finds/{find}/opinions")).await;
    let adopted = page.attributes("input[name=adopted]", "value");
    let fields: Vec<(&str, &str)> =
        [("outcome", "agreed"), ("identification", "beaker"), ("reason", "the foot ring")]
            .into_iter()
            .chain(adopted.iter().map(|id| ("adopted", id.as_str())))
            .collect();
    let settled = petra.post(&format!("/finds/{find}/settlements"), &fields).await;
    assert_eq!(settled.status, StatusCode::SEE_OTHER, "{}", settled.text("main"));
}

on_both_engines! {
    async fn a_join_opens_a_settlement_again_and_its_author_and_editor_are_told_once(lab: Lab) {
        let rims = lab.site.find("61").material("glass").object("beaker").with(|f| f.quantity = 17).add().await;
        lab.site.find("62").material("glass").object("rim").add().await;
        lab.site.find("63").material("glass").object("rim").add().await;
        let (ilka_to, petra_to) = (lab.site.email(Role::Specialist), lab.site.email(Role::Manager));
        let mut petra = lab.sign_in(Role::Manager).await;
        settle(&lab, &mut petra, rims).await;
        assert_eq!(settlement(&lab, rims).await, StageState::Done);
        let told = letters(&lab).await;
        let made = to(&told, &ilka_to);
        assert_eq!(made.len(), 1);
        assert_eq!(made[0].subject, "Find 61 of VSQ31 is settled");
        assert!(made[0].body.contains("the foot ring") && made[0].body.contains("Your opinion was adopted"), "{}", made[0].body);
        assert!(to(&told, &petra_to).is_empty(), "who settles is not written to");

        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let fields = [("others", "62"), ("quantity", "16"), ("reason", "two rims fit")];
        assert_eq!(bea.post(&format!("/finds/{rims}/joins/new"), &fields).await.status, StatusCode::SEE_OTHER);
        assert_eq!(settlement(&lab, rims).await, StageState::InHand, "it waits at settlement again");
        let told = letters(&lab).await;
        for address in [&ilka_to, &petra_to] {
            let opened = to(&told, address);
            assert_eq!(opened.len(), 1, "{address}");
            assert_eq!(opened[0].subject, "Find 61 of VSQ31 is open again");
            assert!(opened[0].body.contains("pieces were joined: 17 → 16. two rims fit (finds officer)"), "{}", opened[0].body);
        }
        let side = petra.page(&format!("/finds/{rims}/opinions")).await;
        assert!(side.text("article.record h3 .flag").contains("open again"), "{}", side.text("main"));
        assert!(side.text("article.record dl").contains("two rims fit"));
        let today = petra.page("/today").await;
        assert!(today.text("main").contains("Settlements open again") && today.text("main").contains("pieces were joined"));
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let hers = ilka.page(&format!("/finds/{rims}")).await;
        assert!(hers.text("main").contains("Open again since 15 Sep 2031, pieces were joined: 17 → 16"), "{}", hers.text("main"));
        let report = petra.page(&format!("/projects/{}/report", lab.site.code)).await;
        assert!(report.text("main").contains("two rims fit"), "the report says so");

        // what follows is noted and told no second time
        let fields = [("number", "64"), ("quantity", "1"), ("reason", "a foot")];
        assert_eq!(bea.post(&format!("/finds/{rims}/splits/new"), &fields).await.status, StatusCode::SEE_OTHER);
        let told = letters(&lab).await;
        assert!(to(&told, &ilka_to).is_empty() && to(&told, &petra_to).is_empty());
        let side = petra.page(&format!("/finds/{rims}/opinions")).await;
        assert!(side.text("article.record dl").contains("pieces were taken out: 16 → 15. a foot"));

        // settled anew, it is closed
        let adopted = side.attributes("input[name=adopted]", "value");
        let standing = side.attributes("input[name=standing]", "value");
        let fields = [("outcome", "agreed"), ("reason", "a foot more changes nothing"), ("adopted", adopted[0].as_str())];
        let unread = petra.post(&format!("/finds/{rims}/settlements"), &fields).await;
        assert_eq!(unread.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(unread.text(".wrong").contains("settled it meanwhile, as agreed"), "{}", unread.text(".wrong"));
        assert_eq!(unread.attributes("input[name=standing]", "value"), standing, "the next try knows of it");
        let fields = [&fields[..], &[("standing", standing[0].as_str())]].concat();
        assert_eq!(petra.post(&format!("/finds/{rims}/settlements"), &fields).await.status, StatusCode::SEE_OTHER);
        assert_eq!(settlement(&lab, rims).await, StageState::Done);
        assert!(!petra.page("/today").await.text("main").contains("Settlements open again"));
        assert!(!petra.page(&format!("/finds/{rims}")).await.text("main").contains("Open again since"));
    }

    async fn an_xray_that_answers_opens_it_and_of_restricted_finds_no_word_leaves_the_house(lab: Lab) {
        lab.site.clear(Role::Manager).await;
        lab.site.clear(Role::Conservator).await;
        let urn = lab.site.find("95").material("ceramic").object("urn").restricted().add().await;
        let mut petra = lab.sign_in(Role::Manager).await;
        settle(&lab, &mut petra, urn).await;
        let told = letters(&lab).await;
        let made = to(&told, &lab.site.email(Role::Specialist))[0].body.clone();
        assert!(!made.contains("beaker") && !made.contains("urn") && !made.contains("foot ring"), "{made}");

        let mut odile = lab.sign_in(Role::Conservator).await;
        let form = format!("/projects/{}/examinations/xray/new", lab.site.code);
        let id = urn.to_string();
        for (verdict, seen, opens) in [("not_possible", "too thick", false), ("negative", "no grave goods inside", true)] {
            let fields = [
                ("find", id.as_str()), ("question", "Grave goods?"), ("area", "whole"), ("verdict", verdict), ("seen", seen),
                ("plate_number", "4"), ("done_by", "O. Marchbank"), ("done_on", "2031-09-14"), ("finished", "yes"),
                ("tube_kv", "70"), ("exposure_mas", "10"), ("distance_mm", "900"), ("view_angle", "from above"),
            ];
            let reply = odile.post(&form, &fields).await;
            assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
            let side = petra.page(&format!("/finds/{urn}/opinions")).await;
            assert_eq!(side.text("article.record").contains("there is a new X-ray"), opens, "{verdict}");
        }
        let told = letters(&lab).await;
        let opened = to(&told, &lab.site.email(Role::Specialist));
        assert_eq!(opened.len(), 1);
        assert!(!opened[0].body.contains("grave goods") && !opened[0].body.contains("urn"), "{}", opened[0].body);
    }
}

on_both_engines! {
    async fn an_opinion_revised_after_a_settlement_opens_it_again(lab: Lab) {
        let beaker = lab.site.find("61").material("glass").object("beaker").add().await;
        let mut petra = lab.sign_in(Role::Manager).await;
        settle(&lab, &mut petra, beaker).await;
        assert_eq!(settlement(&lab, beaker).await, StageState::Done);
        let mut ilka = lab.sign_in(Role::Specialist).await;
        assert_eq!(opine(&mut ilka, beaker, "cup", "C15", "submit").await.status, StatusCode::SEE_OTHER);
        assert_eq!(settlement(&lab, beaker).await, StageState::InHand);
        let today = petra.page(web::links::TODAY).await;
        assert!(today.text("main").contains("an opinion came or was revised"), "{}", today.text("main"));
        let page = petra.page(&format!("/finds/{beaker}")).await;
        assert!(page.text("main").contains("Open again since"), "{}", page.text("main"));
    }

    async fn a_date_that_no_adopted_opinion_allows_is_not_settled_on(lab: Lab) {
        let beaker = lab.site.find("61").material("glass").object("beaker").add().await;
        lab.site.assign(&[beaker]).await;
        let mut ilka = lab.sign_in(Role::Specialist).await;
        opine(&mut ilka, beaker, "beaker", "C14", "submit").await;
        let mut petra = lab.sign_in(Role::Manager).await;
        let page = petra.page(&format!("/finds/{beaker}/opinions")).await;
        let adopted = page.attributes("input[name=adopted]", "value").remove(0);
        let path = format!("/finds/{beaker}/settlements");
        let mut asked = [("outcome", "agreed"), ("adopted", &adopted), ("date_words", "C3"), ("reason", "r")];
        let refused = petra.post(&path, &asked).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text("#date_words-error").contains("they say AD 1301 to AD 1400"), "{}", refused.text("main"));
        assert_eq!(refused.attributes("#date_words", "value"), ["C3"], "what was typed stays");
        asked[2].1 = "late C14";
        assert_eq!(petra.post(&path, &asked).await.status, StatusCode::SEE_OTHER);
    }

    async fn an_opinion_on_a_number_made_void_meanwhile_stays_a_draft(lab: Lab) {
        let beaker = lab.site.find("61").material("glass").object("beaker").add().await;
        lab.site.assign(&[beaker]).await;
        let mut ilka = lab.sign_in(Role::Specialist).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        bea.post(&web::links::find_void(beaker), &[("reason", "the same as 60")]).await;
        let told = opine(&mut ilka, beaker, "beaker", "C14", "submit").await;
        let page = ilka.follow(&told).await;
        assert!(page.text(".notice").contains("The number 61 is void now: the same as 60"), "{}", page.text(".notice"));
        let mut tx = lab.site.db.read().await.unwrap();
        assert!(store::review::opinions::list_of_find(&mut tx, beaker).await.unwrap().is_empty());
    }
}
