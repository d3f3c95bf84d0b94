//! The administrator's accounts, and the own one.
use super::{letter_to, link_in};
use axum::http::StatusCode;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{Lab, PASSWORD};
use web::links;

const NEW_PASSWORD: &str = "seven gulls over the quay";

on_both_engines! {
    async fn an_invited_administrator_chooses_name_and_password_and_arrives(lab: Lab) {
        let mut administrator = lab.sign_in_as(lab.site.administrator).await;
        let page = administrator.page("/people").await;
        let fields = [("name", "Tomas R."), ("email", " Tomas@Vessenholt.example "), ("administrator", "yes")];
        let reply = administrator.submit(&page, "form[action='/people']", &fields).await;
        assert_eq!(reply.location(), "/people");
        let letter = letter_to(&lab, "tomas@vessenholt.example").await;
        let mut tomas = lab.stranger();
        let opened = tomas.get(&link_in(&letter)).await;
        assert_eq!(opened.location(), "/new-password?next=%2F", "the token has left the address");
        let form = tomas.follow(&opened).await;
        let fields = [("name", "Tomas Reedling"), ("password", NEW_PASSWORD), ("again", NEW_PASSWORD)];
        let reply = tomas.submit(&form, "form[action='/new-password']", &fields).await;
        assert_eq!(reply.location(), "/");
        assert!(tomas.page("/people").await.texts("tbody th").contains(&"Tomas Reedling".into()));
        let again = lab.stranger().get(&link_in(&letter)).await;
        let mut thief = lab.stranger();
        thief.get(&link_in(&letter)).await;
        assert_eq!(thief.get("/new-password").await.status, StatusCode::GONE, "{:?}", again.status);
    }

    async fn a_second_invitation_ends_the_first(lab: Lab) {
        let mut administrator = lab.sign_in_as(lab.site.administrator).await;
        administrator.post("/people", &[("name", "Joss"), ("email", "joss@bone.example")]).await;
        let first = link_in(&letter_to(&lab, "joss@bone.example").await);
        let list = administrator.page("/people").await;
        let person = administrator.page(&list.link("Joss")).await;
        administrator.submit(&person, "form[action$='/invitation']", &[]).await;
        let mut joss = lab.stranger();
        joss.get(&first).await;
        assert_eq!(joss.get("/new-password").await.status, StatusCode::GONE);
    }

    async fn the_last_administrator_stays_one(lab: Lab) {
        let own = format!("/people/{}", lab.site.administrator);
        let mut administrator = lab.sign_in_as(lab.site.administrator).await;
        let refused = administrator.post(&format!("{own}/administrator"), &[("administrator", "no")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let other = format!("/people/{}", lab.site.person(Role::Lead));
        administrator.post(&format!("{other}/administrator"), &[("administrator", "yes")]).await;
        let reply = administrator.post(&format!("{own}/administrator"), &[("administrator", "no")]).await;
        assert!(reply.status.is_redirection());
        assert_eq!(administrator.get("/people").await.status, StatusCode::FORBIDDEN);
    }

    async fn a_closed_account_is_signed_out_and_cannot_return(lab: Lab) {
        let mut reader = lab.sign_in(Role::Reader).await;
        reader.page("/account").await;
        let mut administrator = lab.sign_in_as(lab.site.administrator).await;
        administrator.post(&format!("/people/{}/closing", lab.site.person(Role::Reader)), &[]).await;
        assert!(reader.get("/account").await.location().starts_with("/sign-in"));
        let reply = lab.stranger().sign_in(&lab.site.email(Role::Reader), PASSWORD).await;
        assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY);
        let own = format!("/people/{}/closing", lab.site.administrator);
        assert_eq!(administrator.post(&own, &[]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    }

    async fn a_new_password_of_ones_own_asks_the_old_and_ends_every_other_session(lab: Lab) {
        let mut here = lab.sign_in(Role::Lead).await;
        let mut elsewhere = lab.sign_in(Role::Lead).await;
        let wrong = [("old", "not the one at all"), ("password", NEW_PASSWORD), ("again", NEW_PASSWORD)];
        let refused = here.post("/account/password", &wrong).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(refused.text("#old-error"), "This is not your present password.");
        elsewhere.page("/account").await;
        let right = [("old", PASSWORD), ("password", NEW_PASSWORD), ("again", NEW_PASSWORD)];
        assert_eq!(here.post("/account/password", &right).await.location(), "/account");
        here.page("/account").await;
        assert!(elsewhere.get("/account").await.location().contains("ended=yes"));
        let email = lab.site.email(Role::Lead);
        assert_eq!(lab.stranger().sign_in(&email, NEW_PASSWORD).await.status, StatusCode::SEE_OTHER);
        assert!(letter_to(&lab, &email).await.subject.contains("password was changed"));
    }

    async fn signing_out_everywhere_ends_this_session_too(lab: Lab) {
        let mut here = lab.sign_in(Role::Lead).await;
        let mut elsewhere = lab.sign_in(Role::Lead).await;
        let page = here.page("/account").await;
        here.submit(&page, "form[action='/account/sessions/removal']", &[]).await;
        for visitor in [&mut here, &mut elsewhere] {
            assert!(visitor.get("/account").await.location().starts_with("/sign-in"));
        }
    }

    async fn two_savers_of_an_account_see_both_versions(lab: Lab) {
        let mut visitor = lab.sign_in(Role::Conservator).await;
        let form = "form[action='/account']";
        let stale = visitor.page("/account").await;
        visitor.submit(&stale, form, &[("name", "Odile Marchbank")]).await;
        let clash = visitor.submit(&stale, form, &[("name", "O. Marchbank"), ("submission", "")]).await;
        assert_eq!(clash.status, StatusCode::CONFLICT);
        assert_eq!(clash.texts(".conflict tbody td")[..2], ["O. Marchbank", "Odile Marchbank"]);
        assert_eq!(clash.attributes("#name", "value"), ["O. Marchbank"], "own words stay in the form");
        let taken = visitor.submit(&clash, form, &[("take", "name"), ("submission", "")]).await;
        assert_eq!(taken.attributes("#name", "value"), ["Odile Marchbank"]);
        let saved = visitor.submit(&clash, form, &[]).await;
        assert_eq!(saved.location(), "/account", "saving keeps one's own words");
    }
}

on_both_engines! {
    async fn each_role_begins_with_what_waits_for_it(lab: Lab) {
        let report = links::report(lab.site.code);
        let begins = [
            (Role::Conservator, links::TODAY),
            (Role::Lead, links::TODAY),
            (Role::FindsOfficer, links::TODAY),
            (Role::Photographer, links::TODAY),
            (Role::Specialist, links::MY_FINDS),
            (Role::Manager, links::BACKLOG),
            (Role::Reader, report.as_str()),
        ];
        for (role, page) in begins {
            let mut visitor = lab.sign_in(role).await;
            assert_eq!(visitor.get("/").await.location(), page, "{role:?}");
        }
        let mut administrator = lab.sign_in_as(lab.site.administrator).await;
        assert_eq!(administrator.get("/").await.location(), links::PEOPLE);
    }
}
