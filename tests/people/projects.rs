//! Projects: created, edited by two at once, their people.
use super::{journal, letter_to, link_in};
use axum::http::StatusCode;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::Lab;

const PEOPLE: &str = "/projects/VSQ31/people";
const INVITATION: &str = "form[action='/projects/VSQ31/people']";
const NEW_PASSWORD: &str = "seven gulls over the quay";

on_both_engines! {
    async fn an_administrator_creates_a_project_and_has_no_part_in_it(lab: Lab) {
        let mut administrator = lab.sign_in_as(lab.site.administrator).await;
        let page = administrator.page("/projects/new").await;
        let fields = [("code", "hrn04"), ("name", "Harrow Neck"), ("email", "petra@vessenholt.example"), ("manager", "Petra Dunmoor")];
        let reply = administrator.submit(&page, "form[action='/projects/new']", &fields).await;
        assert_eq!(reply.location(), "/projects");
        let list = administrator.follow(&reply).await;
        assert!(list.text("main table").contains("managed by Petra Dunmoor"));
        assert_eq!(administrator.get("/projects/HRN04").await.status, StatusCode::NOT_FOUND);
        assert_eq!(administrator.get("/projects/HRN04/people").await.status, StatusCode::NOT_FOUND);
        let mut petra = lab.stranger();
        let opened = petra.get(&link_in(&letter_to(&lab, "petra@vessenholt.example").await)).await;
        let form = petra.follow(&opened).await;
        petra.submit(&form, "form[action='/new-password']", &[("password", NEW_PASSWORD), ("again", NEW_PASSWORD)]).await;
        petra.page("/projects/HRN04/people").await;
    }

    async fn a_project_needs_a_code_of_its_own_a_pattern_and_a_manager(lab: Lab) {
        let mut administrator = lab.sign_in_as(lab.site.administrator).await;
        let page = administrator.page("/projects/new").await;
        let fields = [("code", "vsq31"), ("name", "Twin"), ("number_pattern", "SF"), ("email", "nobody@new.example")];
        let refused = administrator.submit(&page, "form[action='/projects/new']", &fields).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(refused.text("#code-error"), "There is a project VSQ31 already.");
        assert!(refused.text("#number_pattern-error").starts_with("Write one #"));
        assert!(refused.text("#manager-error").starts_with("Write the name"));
        assert_eq!(refused.attributes("#name", "value"), ["Twin"], "what was typed stays");
    }

    async fn the_second_saver_of_a_project_sees_both_versions_and_loses_nothing(lab: Lab) {
        let mut manager = lab.sign_in(Role::Manager).await;
        let form = "form[action='/projects/VSQ31/edit']";
        let stale = manager.page("/projects/VSQ31/edit").await;
        manager.submit(&stale, form, &[("client", "Harbour Trust"), ("site", "The quay")]).await;
        let mine = [("client", "Port of Vessenholt"), ("summary", "Dug in 2031."), ("submission", "")];
        let clash = manager.submit(&stale, form, &mine).await;
        assert_eq!(clash.status, StatusCode::CONFLICT);
        assert_eq!(clash.texts(".conflict tbody th"), ["Site", "Client", "Summary"]);
        assert_eq!(clash.attributes(".conflict button", "value"), ["site", "client", "summary"], "one button per field");
        let taken = manager.submit(&clash, form, &[("take", "site"), ("submission", "")]).await;
        assert_eq!(taken.attributes("#site", "value"), ["The quay"]);
        assert_eq!(taken.attributes("#client", "value"), ["Port of Vessenholt"]);
        let saved = manager.submit(&taken, form, &[]).await;
        assert_eq!(saved.location(), "/projects/VSQ31");
        let page = manager.page("/projects/VSQ31/edit").await;
        assert_eq!(page.text("#summary"), "Dug in 2031.");
        assert_eq!(page.attributes("#site", "value"), ["The quay"]);
    }

    async fn a_manager_invites_somebody_with_several_roles_and_clearances(lab: Lab) {
        let mut manager = lab.sign_in(Role::Manager).await;
        let page = manager.page(PEOPLE).await;
        let fields = [
            ("name", "Ilka Varnsted"), ("email", "varnsted@carving.example"),
            ("role", "specialist"), ("role", "reader"), ("clearance", "restricted"),
        ];
        let reply = manager.submit(&page, INVITATION, &fields).await;
        assert_eq!(reply.location(), PEOPLE);
        let list = manager.follow(&reply).await;
        let cells = list.texts("main table tr:has(a[aria-label='Change Ilka Varnsted']) td");
        let wanted = ["varnsted@carving.example", "specialist, reader", "restricted material", "never here", "invited 15 Sep 2031"];
        assert_eq!(cells[..5], wanted);
        let letter = letter_to(&lab, "varnsted@carving.example").await;
        assert!(letter.subject.contains("Site VSQ31 (VSQ31) as specialist, reader"), "{}", letter.subject);
        assert_eq!(journal(&lab).await[0], "project manager invited Ilka Varnsted as specialist, reader; may see restricted material");
        let twice = manager.submit(&page, INVITATION, &[("email", "varnsted@carving.example"), ("role", "reader"), ("submission", "")]).await;
        assert_eq!(twice.status, StatusCode::UNPROCESSABLE_ENTITY);
    }

    async fn a_known_person_is_told_of_a_project_without_a_new_password(lab: Lab) {
        let mut manager = lab.sign_in(Role::Manager).await;
        let page = manager.page(PEOPLE).await;
        let email = "administrator@vsq31.example";
        manager.submit(&page, INVITATION, &[("email", email), ("role", "reader")]).await;
        let letter = letter_to(&lab, email).await;
        assert!(letter.body.contains("http://127.0.0.1:8080/projects/VSQ31") && !letter.body.contains("/letter/"));
    }

    async fn roles_change_with_a_journal_entry_and_a_project_keeps_a_manager(lab: Lab) {
        let mut manager = lab.sign_in(Role::Manager).await;
        let reader = format!("{PEOPLE}/{}", lab.site.person(Role::Reader));
        let form = manager.page(&reader).await;
        let main = "main form";
        let saved = manager.submit(&form, main, &[("role", "archivist"), ("clearance", "findspot")]).await;
        assert_eq!(saved.location(), PEOPLE);
        assert_eq!(journal(&lab).await[0], "project manager changed reader: now archive officer; may see exact findspots, before reader");
        let stale = manager.submit(&form, main, &[("role", "conservator"), ("submission", "")]).await;
        assert_eq!(stale.status, StatusCode::CONFLICT);
        assert_eq!(stale.texts(".conflict tbody td")[..2], ["conservator", "archive officer; may see exact findspots"]);
        let own = format!("{PEOPLE}/{}", lab.site.person(Role::Manager));
        let form = manager.page(&own).await;
        let refused = manager.submit(&form, main, &[("role", "reader")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(manager.post(&format!("{own}/removal"), &[]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        manager.post(&format!("{reader}/removal"), &[]).await;
        assert_eq!(lab.sign_in(Role::Reader).await.get("/projects/VSQ31").await.status, StatusCode::NOT_FOUND);
    }
}
