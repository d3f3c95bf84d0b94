//! A forgotten password.
use super::{letter_to, letters_waiting as waiting, link_in};
use axum::http::StatusCode;
use chrono::Duration;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{Lab, PASSWORD, noon};

const NEW_PASSWORD: &str = "a lantern, a ladder, a lime tree";
const BOTH: [(&str, &str); 2] = [("password", NEW_PASSWORD), ("again", NEW_PASSWORD)];

on_both_engines! {
    async fn a_link_sets_a_new_password_once_and_ends_every_session(lab: Lab) {
        let email = lab.site.email(Role::Manager);
        let mut signed_in = lab.sign_in(Role::Manager).await;
        lab.stranger().post_bare("/forgotten", &[("email", &email.to_uppercase())]).await;
        let link = link_in(&letter_to(&lab, &email).await);
        let mut visitor = lab.stranger();
        visitor.get(&link).await;
        let form = visitor.page("/new-password").await;
        assert_eq!(form.count("#name"), 0, "only the invited are asked their name");
        let weak = visitor.submit(&form, "form[action='/new-password']", &[("password", "short"), ("again", "short")]).await;
        assert_eq!(weak.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(weak.text("#password-error").starts_with("Use at least"));
        let reply = visitor.submit(&form, "form[action='/new-password']", &BOTH).await;
        assert_eq!(reply.location(), "/sign-in?ended=renewed");
        assert!(signed_in.get("/account").await.location().starts_with("/sign-in"));
        assert_eq!(lab.stranger().sign_in(&email, PASSWORD).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(lab.stranger().sign_in(&email, NEW_PASSWORD).await.status, StatusCode::SEE_OTHER);
        let mut second = lab.stranger();
        second.get(&link).await;
        assert_eq!(second.post_bare("/new-password", &BOTH).await.status, StatusCode::GONE);
    }

    async fn a_link_to_a_new_password_lasts_an_hour(lab: Lab) {
        let email = lab.site.email(Role::Manager);
        lab.stranger().post_bare("/forgotten", &[("email", &email)]).await;
        let link = link_in(&letter_to(&lab, &email).await);
        for (minutes, status) in [(59, StatusCode::OK), (60, StatusCode::GONE)] {
            let mut visitor = lab.later(noon() + Duration::minutes(minutes)).stranger();
            visitor.get(&link).await;
            assert_eq!(visitor.get("/new-password").await.status, status, "after {minutes} minutes");
        }
    }

    async fn a_known_and_an_unknown_address_get_the_same_answer_in_the_same_time(lab: Lab) {
        let known = lab.site.email(Role::Manager);
        let unknown = known.replace("manager", "mangler");
        let mut answers = Vec::new();
        for email in [&known, &unknown] {
            let began = std::time::Instant::now();
            let reply = lab.stranger().post_bare("/forgotten", &[("email", email)]).await;
            assert!(began.elapsed().as_millis() >= 400, "the answer waits so that its time tells nothing");
            answers.push((reply.status, reply.source().replace(email.as_str(), "")));
        }
        assert_eq!(answers[0], answers[1]);
        let letters = waiting(&lab).await;
        assert_eq!(letters.iter().map(|l| l.to_address.as_str()).collect::<Vec<_>>(), [known.as_str()]);
    }

    async fn nobody_is_flooded_with_letters(lab: Lab) {
        let email = lab.site.email(Role::Manager);
        for _ in 0..5 {
            lab.stranger().post_bare("/forgotten", &[("email", &email)]).await;
        }
        assert_eq!(waiting(&lab).await.len(), 3);
    }
}
