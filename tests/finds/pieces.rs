//! Pieces taken out of a bag: what was done to the bag was done to them, and the masses stay true.
use axum::http::StatusCode;
use domain::ids::FindId;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::on_both_engines;
use tests::support::Lab;
use tests::support::http::Visitor;
use web::links;

async fn take(bea: &mut Visitor, lab: &Lab, bag: FindId, number: &str, pieces: &str, mass: &str) -> FindId {
    let fields =
        [("number", number), ("quantity", pieces), ("weight_g", mass), ("reason", "for the drawing")];
    let taken = bea.post(&links::find_split(bag), &fields).await;
    assert_eq!(taken.status, StatusCode::SEE_OTHER, "{}", taken.text(".wrong"));
    let mut tx = lab.site.db.read().await.unwrap();
    store::finds::find_by_number(&mut tx, lab.site.project, number).await.unwrap().unwrap()
}

async fn mass(lab: &Lab, find: FindId) -> Option<f64> {
    let mut tx = lab.site.db.read().await.unwrap();
    store::finds::find_unguarded(&mut tx, find).await.unwrap().unwrap().weight_g
}

on_both_engines! {
    async fn a_piece_out_of_a_washed_and_dried_bag_waits_where_the_bag_does(lab: Lab) {
        let bag = lab.site.find("61").material("ceramic").bulk(40).wet().add().await;
        for stage in [Stage::FirstAid, Stage::DryClean, Stage::WetClean, Stage::Drying, Stage::Packing] {
            lab.site.mark(bag, stage, StageState::Done).await;
        }
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let piece = take(&mut bea, &lab, bag, "62", "1", "").await;
        let mut tx = lab.site.db.read().await.unwrap();
        let progress = store::finds::progress::find_progress(&mut tx, piece).await.unwrap();
        for stage in [Stage::FirstAid, Stage::DryClean, Stage::WetClean, Stage::Drying] {
            assert_eq!(progress.state(stage), StageState::Done, "{stage}");
        }
        assert_eq!(progress.state(Stage::Packing), StageState::Waiting, "it is in the bag no longer");
        assert!(progress.marks.iter().all(|mark| mark.reason.contains("61")), "and says why: {:?}", progress.marks);
    }

    // 1500.5 g by the acceptance of a bag: 600 g weighed out, the rest not, and at last everything that is left.
    async fn the_last_pieces_take_the_mass_along_and_a_join_counts_it_once(lab: Lab) {
        let bag = lab.site.find("61").material("ceramic").bulk(120).with(|f| f.weight_g = Some(1500.5)).add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let weighed = take(&mut bea, &lab, bag, "62", "80", "600").await;
        assert_eq!((mass(&lab, bag).await, mass(&lab, weighed).await), (Some(900.5), Some(600.0)));
        let rest = take(&mut bea, &lab, bag, "63", "40", "").await;
        assert_eq!((mass(&lab, bag).await, mass(&lab, rest).await), (Some(0.0), Some(900.5)));
        let joined = [("others", "61"), ("quantity", "80"), ("reason", "nothing is left in the bag")];
        assert_eq!(bea.post(&links::find_join(weighed), &joined).await.status, StatusCode::SEE_OTHER);
        assert_eq!(mass(&lab, weighed).await, Some(600.0), "what went with 63 is not counted twice");
    }
}
