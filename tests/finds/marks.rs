//! One stage of several ticked finds marked at once: of all of them or of none.
//! The X-ray before cleaning of metal: English Heritage 2006, guidelines on X-radiography, preface.
use super::with_ticked;
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::Lab;
use web::links;

const FORM: &str = "form[action$='/marks/new']";

async fn state(lab: &Lab, find: FindId, stage: Stage) -> StageState {
    let mut tx = lab.site.db.read().await.unwrap();
    store::finds::progress::find_progress(&mut tx, find).await.unwrap().state(stage)
}

/// How often the journal of a find tells of a mark.
async fn told(lab: &Lab, find: FindId) -> usize {
    let mut tx = lab.site.db.read().await.unwrap();
    let lines = store::journal::list_of_find(&mut tx, find, store::journal::Told::ALL, 50).await.unwrap();
    lines.iter().filter(|line| line.verb == "marked").count()
}

on_both_engines! {
    async fn one_refused_find_of_several_leaves_all_of_them_unmarked(lab: Lab) {
        let stone = lab.site.find("61").material("stone").object("panel").add().await;
        let knife = lab.site.find("62").material("iron").object("knife").add().await;
        let jar = lab.site.find("63").material("ceramic").object("jar").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let form = odile.page(&with_ticked(&links::mark_new(lab.site.code), &[stone, knife, jar])).await;
        assert_eq!(form.text("main h1"), "Mark a stage of 3 finds");
        let begun = [("stage", "dry_clean"), ("state", "in_hand")];
        let refused = odile.submit(&form, FORM, &begun).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let reasons = refused.texts(".wrong li");
        assert_eq!(reasons.len(), 1, "{reasons:?}");
        assert!(reasons[0].starts_with("62: ") && reasons[0].contains("X-rayed"), "{reasons:?}");
        assert_eq!(refused.count(&format!("{FORM} input[name=find]")), 3, "the finds stay ticked");
        assert_eq!(refused.attributes("#stage option[selected]", "value"), ["dry_clean"], "what was chosen stays");
        for find in [stone, knife, jar] {
            assert_eq!(state(&lab, find, Stage::DryClean).await, StageState::Waiting, "nothing half-done is saved");
            assert_eq!(told(&lab, find).await, 0, "nothing is told of it");
        }

        let form = odile.page(&with_ticked(&links::mark_new(lab.site.code), &[stone, jar])).await;
        let marked = odile.submit(&form, FORM, &begun).await;
        assert_eq!(marked.status, StatusCode::SEE_OTHER, "{}", marked.text(".wrong"));
        assert_eq!(odile.follow(&marked).await.text(".notice"), "Dry clean marked as in hand.");
        for find in [stone, jar] {
            assert_eq!(state(&lab, find, Stage::DryClean).await, StageState::InHand);
            assert_eq!(told(&lab, find).await, 1);
        }
        assert_eq!(state(&lab, knife, Stage::DryClean).await, StageState::Waiting, "62 was not among them");
    }

    async fn a_stage_left_out_of_several_finds_needs_one_reason_that_each_of_them_keeps(lab: Lab) {
        let stone = lab.site.find("61").material("stone").object("panel").add().await;
        let jar = lab.site.find("63").material("ceramic").object("jar").add().await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let form = odile.page(&with_ticked(&links::mark_new(lab.site.code), &[stone, jar])).await;
        let left_out = [("stage", "spot_test"), ("state", "not_needed")];
        let unsaid = odile.submit(&form, FORM, &left_out).await;
        assert_eq!(unsaid.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(unsaid.text("#reason-error").contains("needs a reason"), "{}", unsaid.text(".wrong"));
        for find in [stone, jar] {
            assert_eq!(state(&lab, find, Stage::SpotTest).await, StageState::Waiting);
        }
        let said = odile.submit(&unsaid, FORM, &[("reason", "brushed dry only")]).await;
        assert_eq!(said.status, StatusCode::SEE_OTHER, "{}", said.text(".wrong"));
        for find in [stone, jar] {
            assert_eq!(state(&lab, find, Stage::SpotTest).await, StageState::NotNeeded);
            let page = odile.page(&links::find(find)).await;
            assert!(page.text("main").contains("brushed dry only"), "the reason stays on the record");
        }
    }

    async fn a_finds_officer_marks_robust_finds_and_none_when_a_delicate_one_is_among_them(lab: Lab) {
        let jar = lab.site.find("63").material("ceramic").object("jar").add().await;
        let comb = lab.site.find("64").material("worked_bone").object("comb").add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let form = bea.page(&with_ticked(&links::mark_new(lab.site.code), &[jar, comb])).await;
        let refused = bea.submit(&form, FORM, &[("stage", "dry_clean"), ("state", "in_hand")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let reasons = refused.texts(".wrong li");
        assert_eq!(reasons.len(), 1, "{reasons:?}");
        assert!(reasons[0].starts_with("64: ") && reasons[0].contains("conservator’s"), "{reasons:?}");
        assert_eq!(state(&lab, jar, Stage::DryClean).await, StageState::Waiting, "nothing half-done is saved");
        let form = bea.page(&with_ticked(&links::mark_new(lab.site.code), &[jar])).await;
        let marked = bea.submit(&form, FORM, &[("stage", "dry_clean"), ("state", "in_hand")]).await;
        assert_eq!(marked.status, StatusCode::SEE_OTHER, "{}", marked.text(".wrong"));
        assert_eq!(state(&lab, jar, Stage::DryClean).await, StageState::InHand);
    }
}
