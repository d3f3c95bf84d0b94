//! Material groups and their routes as a lead keeps them.
use super::journal;
use axum::http::StatusCode;
use domain::permission::Role;
use domain::stages::Stage;
use tests::on_both_engines;
use tests::support::Lab;

const IRON: &str = "/projects/VSQ31/materials/iron";

on_both_engines! {
    async fn a_form_sent_back_unchanged_changes_no_route(lab: Lab) {
        let before = store::projects::list_routes(&mut lab.site.db.read().await.unwrap(), lab.site.project).await.unwrap();
        let mut lead = lab.sign_in(Role::Lead).await;
        for code in before.keys() {
            let path = format!("/projects/VSQ31/materials/{code}");
            let page = lead.page(&path).await;
            let reply = lead.submit(&page, "main form", &[]).await;
            assert_eq!(reply.location(), "/projects/VSQ31/materials", "{code}: {}", reply.text(".wrong"));
        }
        let after = store::projects::list_routes(&mut lab.site.db.read().await.unwrap(), lab.site.project).await.unwrap();
        assert_eq!(before, after);
    }

    async fn a_shorter_route_moves_its_finds_along_and_the_journal_keeps_the_old_one(lab: Lab) {
        let find = lab.site.find("1").material("iron").add().await;
        let mut lead = lab.sign_in(Role::Lead).await;
        let page = lead.page(IRON).await;
        let (_, fields) = page.form("main form");
        let kept: Vec<(String, String)> = fields.into_iter().filter(|(_, v)| v != "first_aid" && v != "condition").collect();
        let kept: Vec<(&str, &str)> = kept.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
        assert_eq!(lead.post_bare(IRON, &kept).await.location(), "/projects/VSQ31/materials");
        let mut tx = lab.site.db.read().await.unwrap();
        let progress = store::finds::progress::find_progress(&mut tx, find).await.unwrap();
        assert_eq!(progress.current().0, Stage::Xray);
        assert!(journal(&lab).await[0].contains("before registration → first-aid packing → condition → X-ray"));
    }

    async fn a_gate_without_its_stage_and_a_position_without_digits_are_refused(lab: Lab) {
        let mut lead = lab.sign_in(Role::Lead).await;
        let page = lead.page(IRON).await;
        let (_, fields) = page.form("main form");
        let kept: Vec<(&str, &str)> = fields.iter().filter(|(_, v)| v != "xray").map(|(n, v)| (n.as_str(), v.as_str())).collect();
        let refused = lead.post_bare(IRON, &kept).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(refused.text("#route-error"), "“X-ray first” at dry clean can only open if X-ray stands before dry clean on the route.");
        let first = refused.attributes("input[name=position]", "value");
        assert!(first.iter().any(|position| !position.is_empty()), "what was typed stays");
    }

    async fn a_new_group_takes_its_words_and_no_word_of_another(lab: Lab) {
        let mut lead = lab.sign_in(Role::Lead).await;
        let page = lead.page("/projects/VSQ31/materials/new").await;
        let refused = lead.submit(&page, "main form", &[("name", "Slag"), ("words", "slag, Ferrous")]).await;
        assert_eq!(refused.text("#words-error"), "“ferrous” stands for Iron already. Take it out there first.");
        let reply = lead.submit(&refused, "main form", &[("words", "slag; tap slag"), ("submission", "")]).await;
        assert_eq!(reply.location(), "/projects/VSQ31/materials");
        let materials = store::projects::list_materials(&mut lab.site.db.read().await.unwrap(), lab.site.project).await.unwrap();
        let slag = materials.iter().find(|m| m.code == "slag").unwrap();
        assert_eq!((slag.name.as_str(), slag.words.as_str()), ("Slag", "slag,tap slag"));
        assert_eq!(materials.last().unwrap().code, "slag", "at the end of the shelf");
    }

    async fn two_leads_see_both_versions_of_a_route(lab: Lab) {
        let mut lead = lab.sign_in(Role::Lead).await;
        let stale = lead.page(IRON).await;
        lead.submit(&stale, "main form", &[("caution", "Magnets first.")]).await;
        let clash = lead.submit(&stale, "main form", &[("name", "Iron and steel"), ("submission", "")]).await;
        assert_eq!(clash.status, StatusCode::CONFLICT);
        assert_eq!(clash.texts(".conflict tbody th"), ["Name", "Caution"]);
        let saved = lead.submit(&clash, "main form", &[]).await;
        assert_eq!(saved.location(), "/projects/VSQ31/materials");
    }
}
