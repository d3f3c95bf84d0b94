//! Links, rights and material groups come back as they were kept.
use domain::people::link::LinkPurpose;
use domain::permission::Role;
use store::members::{self, Rights};
use store::{mail_links, materials, people};
use tests::on_both_engines;
use tests::support::{Site, noon};

const TOKEN: &[u8] = &[9; 32];

on_both_engines! {
    async fn a_link_is_used_once(site: Site) {
        let mut tx = site.db.write().await.unwrap();
        mail_links::insert(&mut tx, TOKEN, site.person(Role::Lead), LinkPurpose::Reset, noon()).await.unwrap();
        let link = mail_links::find(&mut tx, TOKEN).await.unwrap().unwrap();
        assert_eq!((link.purpose, link.works(noon())), (LinkPurpose::Reset, true));
        assert!(!link.works(noon() + LinkPurpose::Reset.lasts()));
        assert!(mail_links::update_used(&mut tx, TOKEN, noon()).await.unwrap());
        assert!(!mail_links::update_used(&mut tx, TOKEN, noon()).await.unwrap());
    }

    async fn rights_come_back_as_given(site: Site) {
        let mut tx = site.db.write().await.unwrap();
        let person = site.person(Role::Reader);
        let rights = Rights { roles: vec![Role::Conservator, Role::Specialist], restricted: false, findspot: true };
        members::replace(&mut tx, site.project, person, &rights).await.unwrap();
        let member = members::list(&mut tx, site.project).await.unwrap().into_iter().find(|m| m.id == person).unwrap();
        assert_eq!(member.rights, rights);
        assert!(member.accepted && member.invited_at.is_none());
    }

    async fn administrators_who_cannot_sign_in_do_not_count(site: Site) {
        let mut tx = site.db.write().await.unwrap();
        assert_eq!(people::count_other_administrators(&mut tx, site.administrator).await.unwrap(), 0);
        let lead = site.person(Role::Lead);
        people::update_administrator(&mut tx, lead, true).await.unwrap();
        assert_eq!(people::count_other_administrators(&mut tx, site.administrator).await.unwrap(), 1);
        people::update_disabled(&mut tx, lead, Some(noon())).await.unwrap();
        assert_eq!(people::count_other_administrators(&mut tx, site.administrator).await.unwrap(), 0);
    }

    async fn a_group_saved_meanwhile_is_not_overwritten(site: Site) {
        let mut tx = site.db.write().await.unwrap();
        let iron = materials::find(&mut tx, site.project, "iron").await.unwrap().unwrap();
        let words = materials::GroupWords { name: "Iron".into(), words: "iron".into(), caution: String::new(), licence: String::new() };
        materials::update(&mut tx, site.project, "iron", &words, iron.revision).await.unwrap();
        let late = materials::update(&mut tx, site.project, "iron", &words, iron.revision).await;
        assert!(matches!(late, Err(store::StoreError::Changed)), "{late:?}");
    }
}
