//! A box that changes rooms.
use super::{IRON_BOX, dry, packed, with};
use axum::http::StatusCode;
use domain::permission::Role;
use store::places::NewPlace;
use tests::on_both_engines;
use tests::support::{Lab, noon};

async fn room(lab: &Lab, name: &str) -> String {
    let mut tx = lab.site.db.write().await.unwrap();
    let new = |parent, kind: &str, name: String| NewPlace {
        project: lab.site.project,
        parent,
        kind: kind.into(),
        name,
    };
    let room = store::places::insert(&mut tx, &new(None, "room", name.into()), noon()).await.unwrap();
    let shelf =
        store::places::insert(&mut tx, &new(Some(room), "shelf", "Shelf 1".into()), noon()).await.unwrap();
    store::places::insert(&mut tx, &new(Some(room), "shelf", "Shelf 2".into()), noon()).await.unwrap();
    tx.commit().await.unwrap();
    shelf.to_string()
}

on_both_engines! {
    /// Air of 20 °C and 50 % has its dew point at 9.3 °C (any psychrometric table); 3 K above it is clear.
    async fn a_cold_box_is_not_opened_in_a_warm_room(lab: Lab) {
        let find = dry(&lab, "61", "iron").await;
        let (cold, lab_room) = (room(&lab, "Cold store").await, room(&lab, "Laboratory").await);
        let mut odile = lab.sign_in(Role::Conservator).await;
        let at = packed(&mut odile, &lab, find, &with(IRON_BOX, &[("parent", &cold)])).await;
        let form = odile.page(&format!("{at}/moves/new")).await;
        let to = ("place", lab_room.as_str());
        let blind = odile.submit(&form, "main form", &[to]).await;
        assert!(blind.text("#room_t_c-error").contains("It changes rooms"), "{}", blind.text(".wrong"));
        let air = [to, ("box_t_c", "5"), ("room_t_c", "20"), ("room_rh_pct", "50")];
        let checked = odile.submit(&form, "main form", &[&air[..], &[("only", "check")]].concat()).await;
        assert_eq!(checked.status, StatusCode::OK);
        assert_eq!(checked.text("#met"), "It would sweat");
        assert!(checked.text("main").contains("keep it shut until it has reached 12.3 °C"), "{}", checked.text("main"));
        let open = odile.submit(&form, "main form", &air).await;
        assert_eq!(open.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(open.text(".wrong").contains("stays shut until then"), "{}", open.text(".wrong"));
        assert_eq!(open.attributes("#box_t_c", "value"), ["5"], "what was typed stays");
        let shut = odile.submit(&form, "main form", &[&air[..], &[("stays_shut", "yes")]].concat()).await;
        assert_eq!(shut.status, StatusCode::SEE_OTHER, "{}", shut.text(".wrong"));
        let page = odile.follow(&shut).await;
        assert!(page.text("main").contains("At Laboratory › Shelf 1"), "{}", page.text("main"));
        let page = odile.page(&format!("/finds/{find}")).await;
        assert!(page.text("main").contains("Laboratory › Shelf 1 › Iron 3"), "what lies in it goes with it");
        assert!(page.text("main").contains("dew point 9.3 °C, stays shut until 12.3 °C"), "the journal tells of the air");
    }

    async fn within_a_room_nothing_is_asked_and_what_was_not_read_has_its_reason(lab: Lab) {
        let find = dry(&lab, "61", "iron").await;
        let (cold, lab_room) = (room(&lab, "Cold store").await, room(&lab, "Laboratory").await);
        let mut odile = lab.sign_in(Role::Conservator).await;
        let at = packed(&mut odile, &lab, find, &with(IRON_BOX, &[("parent", &cold)])).await;
        let form = odile.page(&format!("{at}/moves/new")).await;
        let beside = form.attributes("#place option", "value");
        let beside = beside.iter().zip(form.texts("#place option")).find(|(_, words)| words == "Cold store › Shelf 2").unwrap().0;
        let moved = odile.submit(&form, "main form", &[("place", beside)]).await;
        assert_eq!(moved.status, StatusCode::SEE_OTHER, "{}", moved.text(".wrong"));
        let reason = [("place", lab_room.as_str()), ("unread", "no meter on the quay")];
        let form = odile.page(&format!("{at}/moves/new")).await;
        let moved = odile.submit(&form, "main form", &reason).await;
        assert_eq!(moved.status, StatusCode::SEE_OTHER, "{}", moved.text(".wrong"));
        assert!(odile.page(&format!("/finds/{find}")).await.text("main").contains("the air was not read: no meter on the quay"));
    }

    async fn readings_that_cannot_be_are_refused_and_two_boxes_keep_two_names(lab: Lab) {
        let (find, other) = (dry(&lab, "61", "iron").await, dry(&lab, "62", "iron").await);
        let (cold, lab_room) = (room(&lab, "Cold store").await, room(&lab, "Laboratory").await);
        let mut odile = lab.sign_in(Role::Conservator).await;
        let at = packed(&mut odile, &lab, find, &with(IRON_BOX, &[("parent", &cold)])).await;
        packed(&mut odile, &lab, other, &with(IRON_BOX, &[("parent", &lab_room)])).await;
        let form = odile.page(&format!("{at}/moves/new")).await;
        let air = [("place", lab_room.as_str()), ("box_t_c", "18"), ("room_t_c", "20"), ("room_rh_pct", "50")];
        for (field, typed) in [("box_t_c", "5 F"), ("room_t_c", "200"), ("room_rh_pct", "-5"), ("room_rh_pct", "120"), ("moved_by", "")] {
            let refused = odile.submit(&form, "main form", &with(&air, &[(field, typed)])).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {typed}");
            assert!(!refused.text(&format!("#{field}-error")).is_empty(), "{field} {typed}: {}", refused.text(".wrong"));
        }
        let twin = odile.submit(&form, "main form", &air).await;
        assert!(twin.text("#place-error").contains("There is one named Iron 3"), "{}", twin.text(".wrong"));
    }
}
