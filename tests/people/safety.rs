//! What keeps a session with its owner.
use super::{letter_to, letters_waiting as waiting};
use axum::http::{Method, StatusCode, header};
use chrono::Duration;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{Lab, PASSWORD, noon};

on_both_engines! {
    async fn a_wrong_password_and_an_unknown_address_get_the_same_answer(lab: Lab) {
        let email = lab.site.email(Role::Lead);
        let wrong = lab.stranger().sign_in(&email, "quite another one").await;
        let unknown = lab.stranger().sign_in("nobody@vsq31.example", "quite another one").await;
        assert_eq!((wrong.status, unknown.status), (StatusCode::UNPROCESSABLE_ENTITY, StatusCode::UNPROCESSABLE_ENTITY));
        assert_eq!(wrong.source().replace(&email, ""), unknown.source().replace("nobody@vsq31.example", ""));
        assert_eq!(wrong.attributes("#password", "value"), Vec::<String>::new(), "no password comes back");
    }

    async fn signing_in_begins_a_fresh_session_and_ends_the_one_brought_along(lab: Lab) {
        let mut visitor = lab.sign_in(Role::Reader).await;
        let mut planted = visitor.clone();
        let reply = visitor.sign_in(&lab.site.email(Role::Lead), PASSWORD).await;
        assert_eq!(reply.location(), "/");
        assert!(planted.get("/account").await.location().starts_with("/sign-in"));
        visitor.page("/account").await;
    }

    async fn the_session_cookie_is_out_of_reach_of_scripts_and_other_sites(lab: Lab) {
        let reply = lab.stranger().sign_in(&lab.site.email(Role::Lead), PASSWORD).await;
        let cookies: Vec<_> = reply.headers.get_all(header::SET_COOKIE).iter().map(|c| c.to_str().unwrap()).collect();
        assert!(!cookies.is_empty());
        for cookie in cookies {
            assert!(cookie.contains("; HttpOnly") && cookie.contains("; SameSite=Lax") && cookie.contains("; Path=/"), "{cookie}");
        }
    }

    async fn too_many_attempts_are_told_to_wait_and_the_owner_is_not_shut_out(lab: Lab) {
        let email = lab.site.email(Role::Lead);
        let mut owner = lab.stranger();
        owner.sign_in(&email, PASSWORD).await;
        let mut statuses = Vec::new();
        for _ in 0..12 {
            statuses.push(lab.stranger().sign_in(&email, "guess after guess").await.status);
        }
        assert_eq!(statuses.last(), Some(&StatusCode::TOO_MANY_REQUESTS));
        let other = lab.stranger().sign_in(&lab.site.email(Role::Reader), PASSWORD).await;
        assert_eq!(other.status, StatusCode::SEE_OTHER, "other accounts are not touched");
        let again = owner.sign_in(&email, PASSWORD).await;
        assert_eq!(again.status, StatusCode::SEE_OTHER, "the owner's browser is known");
    }

    async fn an_ended_session_says_so_and_leads_back_to_the_page_of_the_form(lab: Lab) {
        let visitor = lab.sign_in(Role::Manager).await;
        let mut late = lab.later(noon() + Duration::hours(13)).stranger();
        late.clone_cookies(&visitor);
        let kind = ("content-type", "application/x-www-form-urlencoded");
        let from = ("referer", "http://127.0.0.1:8080/projects/VSQ31/edit");
        let reply = late.send(Method::POST, "/projects/VSQ31/edit", &[kind, from], b"name=x".to_vec()).await;
        assert_eq!(reply.location(), "/sign-in?next=%2Fprojects%2FVSQ31%2Fedit&ended=yes");
        let page = late.follow(&reply).await;
        assert!(page.text(".notice").starts_with("Your session has ended."));
        let reply = late.submit(&page, "form[action='/sign-in']", &[("email", &lab.site.email(Role::Manager)), ("password", PASSWORD)]).await;
        assert_eq!(reply.location(), "/projects/VSQ31/edit");
    }

    async fn pages_are_not_kept_and_not_framed(lab: Lab) {
        let reply = lab.sign_in(Role::Manager).await.page("/account").await;
        let header = |name: &str| reply.headers.get(name).map(|v| v.to_str().unwrap().to_owned()).unwrap_or_default();
        assert_eq!(header("cache-control"), "no-store");
        assert_eq!(header("x-content-type-options"), "nosniff");
        assert!(header("content-security-policy").contains("frame-ancestors 'none'"));
        let opened = lab.stranger().get("/letter/made-up").await;
        assert_eq!(opened.headers.get("referrer-policy").unwrap(), "no-referrer");
        assert_eq!(opened.headers.get("cache-control").unwrap(), "no-store");
    }

    async fn the_database_keeps_no_link_that_lets_anybody_in_once_the_letter_is_out(lab: Lab) {
        let email = lab.site.email(Role::Lead);
        lab.stranger().post_bare("/forgotten", &[("email", &email)]).await;
        let letter = letter_to(&lab, &email).await;
        let mut tx = lab.site.db.write().await.unwrap();
        store::letters::update_sent(&mut tx, letter.id, noon()).await.unwrap();
        let body: Option<String> =
            tx.sql("SELECT body FROM letter WHERE id = $1").bind(letter.id.0).cell().await.unwrap();
        assert_eq!(body.as_deref(), Some(""));
        drop(tx);
        assert_eq!(waiting(&lab).await.len(), 1);
    }
}
