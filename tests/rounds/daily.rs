//! The daily letter: once a day to each person for whom something is due, never twice.
use super::wet;
use chrono::Duration;
use domain::permission::Role;
use store::letters::Letter;
use tests::on_both_engines;
use tests::support::{Lab, noon};
use web::daily::queue_due;

async fn waiting(lab: &Lab) -> Vec<Letter> {
    let far = noon() + Duration::days(400);
    let mut tx = lab.site.db.write().await.unwrap();
    let mut letters = Vec::new();
    while let Some(letter) = store::letters::take_due(&mut tx, far, far + Duration::days(1)).await.unwrap() {
        letters.push(letter);
    }
    letters
}

on_both_engines! {
    async fn everybody_at_the_bench_is_written_to_once_a_day(lab: Lab) {
        wet(&lab, "23", 23).await;
        wet(&lab, "4", 1).await;
        lab.site.find("66").material("wood_leather").wet().restricted()
            .with(|f| f.recovered_on = Some((noon() - Duration::days(40)).date_naive())).add().await;
        let early = lab.later(noon() - Duration::hours(7));
        assert_eq!(queue_due(&early.app).await.unwrap(), 0, "its hour has not come");
        // Two programs on one database, at the same moment.
        let twin = lab.later(noon());
        let (one, other) = tokio::join!(queue_due(&lab.app), queue_due(&twin.app));
        assert_eq!(one.unwrap() + other.unwrap(), 3, "conservator, lead, finds officer");
        assert_eq!(queue_due(&lab.later(noon() + Duration::hours(3)).app).await.unwrap(), 0, "never twice");
        let letters = waiting(&lab).await;
        let mut to: Vec<&str> = letters.iter().map(|letter| letter.to_address.as_str()).collect();
        to.sort_unstable();
        assert_eq!(to, ["conservator@vsq31.example", "finds_officer@vsq31.example", "lead@vsq31.example"]);
        let letter = &letters[0];
        assert_eq!(letter.subject, "1 wet pack or check is overdue");
        assert!(letter.body.contains("VSQ31 23, turnshoe") && letter.body.contains("9 days past its limit"), "{}", letter.body);
        assert!(!letter.body.contains("VSQ31 4,"), "what is not due stays out: {}", letter.body);
        assert!(!letter.body.contains("VSQ31 66"), "restricted material is not written about: {}", letter.body);
        assert_eq!(queue_due(&lab.later(noon() + Duration::days(1)).app).await.unwrap(), 3, "the next day again");
    }

    async fn nobody_is_written_to_about_nothing_or_against_their_wish(lab: Lab) {
        assert_eq!(queue_due(&lab.app).await.unwrap(), 0, "nothing is due");
        wet(&lab, "23", 23).await;
        assert_eq!(queue_due(&lab.app).await.unwrap(), 0, "this day was seen to");
        let mut odile = lab.sign_in(Role::Conservator).await;
        let page = odile.page("/account").await;
        assert_eq!(page.count("input[name=wanted][value=digest][checked]"), 1);
        assert!(odile.post("/account/letters", &[("hour", "6")]).await.status.is_redirection());
        assert_eq!(odile.page("/account").await.count("input[name=wanted][checked]"), 0);
        let mut tx = lab.site.db.write().await.unwrap();
        store::people::update_disabled(&mut tx, lab.site.person(Role::Lead), Some(noon())).await.unwrap();
        tx.commit().await.unwrap();
        assert_eq!(queue_due(&lab.later(noon() + Duration::days(1)).app).await.unwrap(), 1, "the finds officer alone");
    }

    // Offsets of September from the time zone database: New York is 4 hours behind universal time, Auckland 12 ahead.
    async fn it_comes_at_everybodys_own_hour_in_their_own_time_zone(lab: Lab) {
        wet(&lab, "23", 23).await;
        let mut tx = lab.site.db.write().await.unwrap();
        for (role, hour, zone) in [(Role::Conservator, 7, "America/New_York"), (Role::FindsOfficer, 7, "Pacific/Auckland"), (Role::Lead, 23, "UTC")] {
            store::daily::update_hour(&mut tx, lab.site.person(role), hour, zone).await.unwrap();
        }
        tx.commit().await.unwrap();
        // noon is the 15th at 12:00, in Auckland the 16th at 00:00
        for (hours, whose) in [(-1, vec!["finds_officer"]), (-2, vec![]), (0, vec!["conservator"]), (10, vec!["finds_officer"]), (11, vec!["lead"]), (15, vec![])] {
            queue_due(&lab.later(noon() + Duration::hours(hours) - Duration::minutes(i64::from(hours < 0))).app).await.unwrap();
            let to: Vec<String> = crate::people::letters_sent(&lab).await.into_iter().map(|letter| letter.to_address).collect();
            let whose: Vec<String> = whose.iter().map(|name| format!("{name}@vsq31.example")).collect();
            assert_eq!(to, whose, "{hours} hours from noon");
        }
    }
}
