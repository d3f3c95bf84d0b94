//! What is kept of photographs, on both engines.
use super::new_image;
use domain::ids::{FindId, ImageId};
use domain::permission::Role;
use store::images::{self, ImageWords};
use store::{StoreError, Tx};
use tests::on_both_engines;
use tests::support::{FOREIGN, Site, noon};

async fn add(tx: &mut Tx, site: &Site, sha256: &str, finds: &[FindId]) -> ImageId {
    let by = site.person(Role::Photographer);
    let (id, _) = images::insert(tx, &new_image(site, sha256), by, noon()).await.unwrap();
    for find in finds {
        images::insert_find(tx, id, *find).await.unwrap();
    }
    id
}

async fn seen(tx: &mut Tx, site: &Site, role: Role, id: ImageId) -> bool {
    images::find_visible(tx, &site.actor(role).await, id).await.unwrap().is_some()
}

on_both_engines! {
    async fn the_same_file_in_a_project_is_kept_once(site: Site) {
        let mut tx = site.db.write().await.unwrap();
        let by = site.person(Role::Photographer);
        let new = new_image(&site, "aa");
        let (first, fresh) = images::insert(&mut tx, &new, by, noon()).await.unwrap();
        let (second, again) = images::insert(&mut tx, &new, by, noon()).await.unwrap();
        assert_eq!((first, fresh, again), (second, true, false));
    }

    async fn a_photograph_comes_back_as_it_was_kept(site: Site) {
        let find = site.find("61").add().await;
        let mut tx = site.db.write().await.unwrap();
        let id = add(&mut tx, &site, "aa", &[find]).await;
        tx.commit().await.unwrap();
        let actor = site.actor(Role::Conservator).await;
        let mut tx = site.db.read().await.unwrap();
        let image = images::find_visible(&mut tx, &actor, id).await.unwrap().unwrap();
        assert_eq!((image.width_px, image.height_px, image.has_position), (6000, 4000, true));
        assert_eq!((image.taken_at.as_str(), image.camera.as_str()), ("2031-05-03 10:20:30", "Invented 7"));
        assert_eq!((image.uploaded_at, image.finds, image.withdrawn_at), (noon(), 1, None));
    }

    async fn order_is_kept_and_can_be_changed(site: Site) {
        let find = site.find("61").add().await;
        let mut tx = site.db.write().await.unwrap();
        let mut ids = Vec::new();
        for sha in ["cc", "aa", "bb"] {
            ids.push(add(&mut tx, &site, sha, &[find]).await);
        }
        let order = |list: Vec<images::Image>| list.iter().map(|image| image.id).collect::<Vec<_>>();
        assert_eq!(order(images::list_of_find(&mut tx, find).await.unwrap()), ids);
        ids.rotate_left(1);
        images::update_order(&mut tx, find, &ids).await.unwrap();
        assert_eq!(order(images::list_of_find(&mut tx, find).await.unwrap()), ids);
        assert!(!images::insert_find(&mut tx, ids[0], find).await.unwrap());
    }

    async fn a_photograph_is_seen_by_whoever_sees_one_of_its_finds_and_may_see_every_restricted_one(site: Site) {
        let foreign = Site::named(&site.db, FOREIGN).await;
        let open = site.find("61").add().await;
        let bone = site.find("62").restricted().add().await;
        site.clear(Role::Lead).await;
        site.assign(&[open]).await;
        let mut tx = site.db.write().await.unwrap();
        let of_open = add(&mut tx, &site, "aa", &[open]).await;
        let of_bone = add(&mut tx, &site, "bb", &[bone]).await;
        let of_both = add(&mut tx, &site, "cc", &[open, bone]).await;
        let loose = add(&mut tx, &site, "dd", &[]).await;
        tx.commit().await.unwrap();
        let mut tx = site.db.read().await.unwrap();
        for (role, expected) in [
            (Role::Conservator, [true, false, false, true]),
            (Role::Lead, [true; 4]),
            (Role::Manager, [true, false, false, false]),
            (Role::Specialist, [true, false, false, false]),
            (Role::Reader, [false; 4]),
        ] {
            for (id, expected) in [of_open, of_bone, of_both, loose].into_iter().zip(expected) {
                assert_eq!(seen(&mut tx, &site, role, id).await, expected, "{role:?} {id}");
            }
        }
        assert!(!seen(&mut tx, &foreign, Role::Lead, of_open).await);
        assert!(!seen(&mut tx, &foreign, Role::Lead, loose).await);
        let listed = async |tx: &mut Tx, role: Role| {
            let actor = site.actor(role).await;
            let find = store::finds::find_visible(tx, &actor, open).await.unwrap().unwrap();
            images::list_seen(tx, &find).await.unwrap().iter().map(|image| image.id).collect::<Vec<_>>()
        };
        assert_eq!(listed(&mut tx, Role::Manager).await, [of_open]);
        assert_eq!(listed(&mut tx, Role::Lead).await, [of_open, of_both]);
    }

    async fn words_saved_by_somebody_else_are_not_overwritten(site: Site) {
        let find = site.find("61").add().await;
        let mut tx = site.db.write().await.unwrap();
        let id = add(&mut tx, &site, "aa", &[find]).await;
        let words = ImageWords { caption: "Before cleaning".into(), ..ImageWords::default() };
        images::update_words(&mut tx, id, &words, 1).await.unwrap();
        let late = images::update_words(&mut tx, id, &ImageWords::default(), 1).await;
        assert!(matches!(late, Err(StoreError::Changed)), "{late:?}");
        assert_eq!(images::list_of_find(&mut tx, find).await.unwrap()[0].words(), words);
    }

    async fn a_withdrawn_photograph_is_kept_and_not_listed(site: Site) {
        let find = site.find("61").add().await;
        let mut tx = site.db.write().await.unwrap();
        let id = add(&mut tx, &site, "aa", &[find]).await;
        images::update_withdrawn(&mut tx, id, Some(noon()), "blurred").await.unwrap();
        assert!(images::list_of_find(&mut tx, find).await.unwrap().is_empty());
        assert_eq!(images::find_withdrawal(&mut tx, id).await.unwrap().as_deref(), Some("blurred"));
        assert_eq!(images::list_withdrawn(&mut tx, find).await.unwrap().len(), 1);
        images::update_withdrawn(&mut tx, id, None, "").await.unwrap();
        assert_eq!(images::list_of_find(&mut tx, find).await.unwrap().len(), 1);
    }
}
