//! Sessions end; a form counts once.
use chrono::Duration;
use domain::ids::SubmissionId;
use domain::permission::Role;
use store::sessions::{self, NewSession};
use store::{StoreError, submissions};
use tests::on_both_engines;
use tests::support::{Site, noon};

const HASH: &[u8] = &[7; 32];

async fn open(site: &Site) {
    let session = NewSession {
        token_hash: HASH,
        person: site.person(Role::Lead),
        form_token: "form",
        expires_at: noon() + Duration::days(14),
    };
    let mut tx = site.db.write().await.unwrap();
    sessions::insert(&mut tx, &session, noon()).await.unwrap();
    tx.commit().await.unwrap();
}

async fn lives(site: &Site, after: Duration) -> bool {
    let now = noon() + after;
    let mut tx = site.db.read().await.unwrap();
    sessions::find(&mut tx, HASH, now, now - Duration::hours(12)).await.unwrap().is_some()
}

on_both_engines! {
    async fn a_session_idles_out_and_ends_at_last(site: Site) {
        open(&site).await;
        assert!(lives(&site, Duration::hours(11)).await);
        assert!(!lives(&site, Duration::hours(12)).await);
        let mut tx = site.db.write().await.unwrap();
        sessions::update_seen(&mut tx, HASH, noon() + Duration::days(14) - Duration::hours(1)).await.unwrap();
        tx.commit().await.unwrap();
        assert!(lives(&site, Duration::days(14) - Duration::minutes(1)).await);
        assert!(!lives(&site, Duration::days(14)).await);
    }

    async fn signing_out_everywhere_ends_every_session_of_one_person(site: Site) {
        open(&site).await;
        let mut tx = site.db.write().await.unwrap();
        assert_eq!(sessions::delete_all(&mut tx, site.person(Role::Reader)).await.unwrap(), 0);
        assert_eq!(sessions::delete_all(&mut tx, site.person(Role::Lead)).await.unwrap(), 1);
        tx.commit().await.unwrap();
        assert!(!lives(&site, Duration::zero()).await);
    }

    async fn a_person_who_is_shut_out_has_no_session(site: Site) {
        open(&site).await;
        let mut tx = site.db.write().await.unwrap();
        tx.sql("UPDATE person SET disabled_at = $1 WHERE id = $2").bind(noon()).bind(site.person(Role::Lead).0)
            .run().await.unwrap();
        tx.commit().await.unwrap();
        assert!(!lives(&site, Duration::zero()).await);
    }

    async fn a_form_sent_twice_counts_once(site: Site) {
        let (id, by) = (SubmissionId::new(noon()), site.person(Role::Lead));
        let mut tx = site.db.write().await.unwrap();
        submissions::insert(&mut tx, id, by, "/finds", noon()).await.unwrap();
        tx.commit().await.unwrap();
        let mut tx = site.db.write().await.unwrap();
        assert_eq!(submissions::find_reply(&mut tx, id, by).await.unwrap().as_deref(), Some("/finds"));
        let other = site.person(Role::Reader);
        assert_eq!(submissions::find_reply(&mut tx, id, other).await.unwrap(), None, "the reply is the sender's own");
        let again = submissions::insert(&mut tx, id, by, "/elsewhere", noon()).await;
        assert!(matches!(again, Err(StoreError::Taken)), "{again:?}");
    }
}
