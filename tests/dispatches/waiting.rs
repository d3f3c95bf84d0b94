//! Overdue returns on Today and in the daily letter; letters to the recipient.
use super::{counted, glass, sent};
use chrono::Duration;
use domain::dispatch::Way;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{Lab, noon};
use web::links;

on_both_engines! {
    async fn an_overdue_return_stands_on_today_and_in_the_daily_letter(lab: Lab) {
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let dispatch = sent(&mut bea, &lab, &[find], &[("due_on", "2031-09-20")]).await;
        let mut sabine = lab.sign_in(Role::Specialist).await;
        counted(&mut sabine, &links::receipt_new(dispatch, Way::There), ("17", "41.2")).await;
        let letters = crate::people::letters_waiting(&lab).await;
        assert_eq!(letters.len(), 1, "the recipient was told");
        assert!(letters[0].body.contains("3 vessel, rim, 17 pieces, 41.2 g"), "{}", letters[0].body);
        assert!(letters[0].body.contains(&links::dispatch(dispatch)), "one link");

        let later = lab.later(noon() + Duration::days(8));
        let mut bea = later.sign_in(Role::FindsOfficer).await;
        let today = bea.page("/today").await;
        assert!(today.text(".lines .overdue").contains("3 days overdue"), "{}", today.text("main"));
        assert_eq!(web::daily::queue_due(&later.app).await.unwrap(), 2, "finds officer and lead");
        let letters = crate::people::letters_waiting(&later).await;
        let of_bea = letters.iter().find(|letter| letter.to_address.starts_with("finds_officer")).unwrap();
        assert_eq!(of_bea.subject, "1 dispatch is due back");
        assert!(of_bea.body.contains("VSQ31 D1") && of_bea.body.contains("3 days overdue"), "{}", of_bea.body);

        let report = bea.page(&links::report(lab.site.code)).await;
        assert!(report.text("main").contains("should have been back by 20 Sep 2031"), "the report says so too");
    }

    async fn a_parcel_nobody_acknowledged_is_asked_about_after_a_week(lab: Lab) {
        let find = glass(&lab).await;
        sent(&mut lab.sign_in(Role::FindsOfficer).await, &lab, &[find], &[]).await;
        let later = lab.later(noon() + Duration::days(8));
        let today = later.sign_in(Role::FindsOfficer).await.page("/today").await;
        assert!(today.text("main").contains("arrival not acknowledged"), "{}", today.text("main"));
    }

    async fn the_recipient_is_asked_by_letter_about_what_differs(lab: Lab) {
        let find = glass(&lab).await;
        let mut bea = lab.sign_in(Role::FindsOfficer).await;
        let dispatch = sent(&mut bea, &lab, &[find], &[]).await;
        counted(&mut bea, &links::receipt_new(dispatch, Way::Back), ("16", "41.2")).await;
        let letters = crate::people::letters_waiting(&lab).await;
        let asked = letters.iter().find(|letter| letter.subject.contains("differs")).unwrap();
        assert!(asked.to_address.starts_with("specialist@"), "{}", asked.to_address);
        assert!(asked.body.contains("1 piece fewer came back than expected"), "{}", asked.body);
    }
}
