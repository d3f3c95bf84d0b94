//! A round on paper: printed, typed in afterwards in its order, once.
use super::{clock, running, wet};
use axum::http::StatusCode;
use chrono::Duration;
use domain::clocks::ClockKind;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{Lab, noon};

on_both_engines! {
    async fn a_printed_round_is_typed_in_once_in_the_order_of_the_paper(lab: Lab) {
        let [late, soon, gone] = [wet(&lab, "8", 20).await, wet(&lab, "2", 6).await, wet(&lab, "5", 10).await];
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let page = bea.page("/rounds?kind=wet").await;
        let (_, fields) = page.form("form.round");
        let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
        let reply = bea.post_bare("/rounds/sheets", &fields).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
        let path = reply.location();
        let sheet = bea.follow(&reply).await;
        assert_eq!(sheet.texts(".pack .number"), ["8", "5", "2"]);
        let paper = bea.get(&sheet.attributes(".head a.button", "href")[0]).await;
        assert!(paper.body.starts_with(b"%PDF"), "{}", paper.status);
        assert!(bea.page("/rounds").await.source().contains(&path), "it waits to be typed in");

        let mut tx = lab.site.db.write().await.unwrap();
        store::clocks::stop(&mut tx, gone, ClockKind::Wet, noon()).await.unwrap();
        tx.commit().await.unwrap();
        // Typed in the next day by somebody else, about the day before.
        let tomorrow = lab.later(noon() + Duration::days(1));
        let mut odile = tomorrow.sign_in(Role::Conservator).await;
        let sheet = odile.page(&path).await;
        assert_eq!(sheet.texts(".pack .line-number"), ["1", "3"], "lines keep the numbers of the paper");
        assert!(sheet.text("main").contains("One line of the paper runs no more"));
        let (late, soon) = (clock(&lab, late).await.to_string(), clock(&lab, soon).await.to_string());
        let no_day = odile.submit(&sheet, "form.round", &[("well", &late)]).await;
        assert_eq!(no_day.status, StatusCode::UNPROCESSABLE_ENTITY, "the day is asked of the paper");
        let done = [("well", late.as_str()), ("well", &soon), ("done_on", "15/9/2031"), ("done_by", "Bea Lisle-Okoro")];
        let reply = odile.submit(&sheet, "form.round", &done).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text("main"));
        let mut tx = lab.site.db.read().await.unwrap();
        let (pack, _) = store::clocks::round::find(&mut tx, late.parse().unwrap()).await.unwrap().unwrap();
        assert_eq!(pack.last_check_at, Some(noon()), "the day of the round, not of the typing");
        let journal = store::journal::list_of_find(&mut tx, pack.find_id, store::journal::Told::ALL, 1).await.unwrap();
        assert_eq!(journal[0].words, "looked at the wet pack on 15 Sep 2031, by Bea Lisle-Okoro: in order");
        drop(tx);
        let twice = odile.post(&path, &[("clock", &late), ("words", ""), ("reading", ""), ("well", &late), ("done_on", "2031-09-16"), ("done_by", "x")]).await;
        assert_eq!(twice.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(twice.text("[role=alert]").contains("typed in before"), "{}", twice.text("main"));
        assert!(odile.page(&path).await.text(".lead").contains("Typed in by conservator"));
    }

    async fn a_later_look_is_not_moved_back_by_paper_typed_in_afterwards(lab: Lab) {
        let find = wet(&lab, "8", 6).await;
        let id = clock(&lab, find).await.to_string();
        let mut odile = lab.sign_in(Role::Conservator).await;
        odile.post(&format!("/clocks/{id}/looks"), &[]).await;
        let old = [("kind", "wet"), ("clock", id.as_str()), ("words", "lid open"), ("reading", ""), ("done_on", "2031-09-12"), ("done_by", "x")];
        assert_eq!(odile.post("/rounds", &old).await.status, StatusCode::SEE_OTHER);
        let clocks = running(&lab, find).await;
        assert_eq!(clocks[0].next_check_at, Some(noon() + Duration::days(7)));
        assert_eq!(clocks[0].left_open, None, "a later look found it in order");
    }
}
