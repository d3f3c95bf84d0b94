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

    // By hand: 1500.5 g less the 600 g that were weighed out is 900.5 g, which goes with the last pieces.
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

    async fn what_a_restricted_find_is_joined_into_is_restricted(lab: Lab) {
        let urn = lab.site.find("61").material("cremated_bone").object("urn").add().await;
        lab.site.find("62").material("cremated_bone").object("spit").restricted().add().await;
        lab.site.clear(Role::FindsOfficer).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let joined = [("others", "62"), ("quantity", "1"), ("reason", "the spit is of the urn")];
        assert_eq!(bea.post(&links::find_join(urn), &joined).await.status, StatusCode::SEE_OTHER);
        let mut ansel = lab.sign_in(Role::Photographer).await;
        assert_eq!(ansel.get(&links::find(urn)).await.status, StatusCode::NOT_FOUND);
    }

    async fn a_find_that_is_there_already_and_a_void_one_are_not_moved(lab: Lab) {
        let shelf = lab.site.place("Shelf 3").await;
        let key = lab.site.find("61").material("iron").object("key").at_place(shelf).add().await;
        let nail = lab.site.find("62").material("iron").object("nail").add().await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let (key_id, nail_id, shelf_id) = (key.to_string(), nail.to_string(), shelf.to_string());
        let path = links::move_new(lab.site.code);
        let to_shelf = [("place", shelf_id.as_str()), ("moved_by", "Bea"), ("find", key_id.as_str())];
        let refused = bea.post(&path, &to_shelf).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(refused.text("#place-error"), "It is there already.");
        let both = [&to_shelf[..], &[("find", nail_id.as_str())]].concat();
        assert_eq!(bea.post(&path, &both).await.status, StatusCode::SEE_OTHER);
        let mut tx = lab.site.db.read().await.unwrap();
        assert!(store::places::list_movements(&mut tx, key).await.unwrap().is_empty(), "it did not move");
        assert_eq!(store::places::list_movements(&mut tx, nail).await.unwrap().len(), 1);
        drop(tx);
        assert_eq!(bea.post(&links::find_void(nail), &[("reason", "a twig")]).await.status, StatusCode::SEE_OTHER);
        let refused = bea.post(&path, &[("place", shelf_id.as_str()), ("moved_by", "Bea"), ("find", nail_id.as_str())]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text("#place-error").contains("62 is void"), "{}", refused.text("main"));
    }
}
