//! The limits of clocks, as leads keep them.
use super::{running, wet};
use axum::http::StatusCode;
use chrono::Duration;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{Lab, noon};

on_both_engines! {
    async fn a_lead_sets_the_limits_of_a_project_and_clocks_follow(lab: Lab) {
        let before = wet(&lab, "1", 0).await;
        let index = format!("/projects/{}/clocks", lab.site.code);
        let mut lead = lab.sign_in(Role::Lead).await;
        let page = lead.page(&index).await;
        assert!(page.text("main").contains("NAS Guide"), "the source stands beside the limit");
        let path = format!("{index}/rule?kind=wet&material=wood_leather");
        let (form, other) = (lead.page(&path).await, lead.page(&path).await);
        assert_eq!(form.attributes("#limit_days", "value"), ["14"]);
        for (fields, sentence) in [
            (vec![("limit_days", "0")], "too small"),
            (vec![("limit_days", "ten")], "no whole number"),
            (vec![("limit_days", "5000")], "3650 days or fewer"),
            (vec![("limit_days", "3"), ("warn_days", "4")], "comes before the limit"),
            (vec![("look_days", "")], "after how many days"),
        ] {
            let reply = lead.submit(&form, "main form", &fields).await;
            assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(reply.text("[role=alert]").contains(sentence), "{sentence}: {}", reply.text("[role=alert]"));
        }
        let reply = lead.submit(&form, "main form", &[("limit_days", "10"), ("warn_days", "2"), ("look_days", "3")]).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
        let page = lead.follow(&reply).await;
        assert!(page.text("main").contains("10 days, spoken of 2 days before") && page.text("main").contains("set by the project’s lead"));
        let clash = lead.submit(&other, "main form", &[("limit_days", "12")]).await;
        assert_eq!(clash.status, StatusCode::CONFLICT, "somebody saved meanwhile");
        assert_eq!(clash.attributes("#limit_days", "value"), ["12"], "own words are still in the form");

        let after = running(&lab, wet(&lab, "2", 0).await).await.remove(0);
        assert_eq!((after.limit_at.unwrap() - after.started_at, after.next_check_at.unwrap() - after.started_at), (Duration::days(10), Duration::days(3)));
        let clock = running(&lab, before).await.remove(0);
        assert_eq!(clock.limit_at.unwrap() - clock.started_at, Duration::days(14), "what runs keeps its limit");
        lead.post(&format!("/clocks/{}/looks", clock.id), &[]).await;
        assert_eq!(running(&lab, before).await[0].next_check_at, Some(noon() + Duration::days(3)), "and goes by the new days between looks");
        let mut tx = lab.site.db.read().await.unwrap();
        let journal = store::journal::list_of_project(&mut tx, lab.site.project, store::journal::Told::default(), 3).await.unwrap();
        assert!(journal[0].words.contains("set the limits of wet packs"), "{}", journal[0].words);
    }

    async fn others_read_the_limits_and_unknown_ones_are_refused(lab: Lab) {
        let index = format!("/projects/{}/clocks", lab.site.code);
        let mut odile = lab.sign_in(Role::Conservator).await;
        assert_eq!(odile.page(&index).await.count("tbody a"), 0, "no way to edit");
        assert_eq!(odile.get(&format!("{index}/rule?kind=wet&material=iron")).await.status, StatusCode::FORBIDDEN);
        let mut lead = lab.sign_in(Role::Lead).await;
        assert_eq!(lead.get(&format!("{index}/rule?kind=sundial&material=iron")).await.status, StatusCode::BAD_REQUEST);
        assert_eq!(lead.get(&format!("{index}/rule?kind=wet&material=cheese")).await.status, StatusCode::NOT_FOUND);
    }
}
