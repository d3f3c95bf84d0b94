//! A context as typed, with its neighbours.
use super::above;
use axum::http::StatusCode;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::Lab;
use web::links;

on_both_engines! {
    async fn neighbours_that_cannot_be_read_change_nothing(lab: Lab) {
        let site = &lab.site;
        above(site, "409", "410").await;
        let (upper, lower) = (site.context("409").await, site.context("410").await);
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let form = bea.page(&links::context_edit(upper)).await;
        let long = "x".repeat(41);
        for (above, same_as, words) in [
            (long.as_str(), "", "too long for a number"),
            ("410 411", "", "separated by commas"),
            ("410", "410", "named twice"),
        ] {
            let again = bea.submit(&form, "main form", &[("above", above), ("same_as", same_as), ("submission", "")]).await;
            assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "{above}");
            assert!(again.text(".wrong").contains(words), "{above}: {}", again.text(".wrong"));
            assert_eq!(again.attributes("#above", "value"), [above]);
        }
        assert!(bea.page(&links::context(lower)).await.text("main").contains("409"), "the relation stands");
        let form = bea.page(&links::context_new(site.code)).await;
        let comma = bea.submit(&form, "main form", &[("number", "1, 2")]).await;
        assert!(comma.text(".wrong").contains("Commas and semicolons part numbers"));
    }
}
