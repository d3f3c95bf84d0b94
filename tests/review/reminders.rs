//! What is due of a specialist: one letter before the day, one after it, and a line for the house.
use super::opine;
use chrono::Duration;
use domain::letters::LetterKind;
use domain::permission::Role;
use store::letters::Letter;
use tests::on_both_engines;
use tests::support::{Lab, noon};
use web::daily::queue_due;

/// The letters of a day, a number of days after noon of the 15th.
async fn day(lab: &Lab, days: i64) -> Vec<Letter> {
    queue_due(&lab.later(noon() + Duration::days(days)).app).await.unwrap();
    crate::people::letters_sent(lab).await
}

on_both_engines! {
    // Asked on 15 September, due on 15 October: a week before is the 8th, 23 days on.
    async fn a_specialist_is_reminded_once_before_the_day_and_once_after(lab: Lab) {
        let panel = lab.site.find("88").material("stone").object("panel").add().await;
        let other = lab.site.find("89").material("stone").object("capital").add().await;
        lab.site.assign(&[panel, other]).await;
        let mut ilka = lab.sign_in(Role::Specialist).await;
        opine(&mut ilka, other, "capital", "", "submit").await;
        crate::people::letters_sent(&lab).await;
        assert!(day(&lab, 22).await.is_empty());
        let soon = day(&lab, 23).await;
        assert_eq!(soon.len(), 1);
        assert_eq!((soon[0].kind, soon[0].to_address.as_str()), (LetterKind::DueSoon, lab.site.email(Role::Specialist).as_str()));
        assert!(soon[0].body.contains("1 of 2 finds") && soon[0].body.contains("is due 15 Oct 2031"), "{}", soon[0].body);
        assert!(day(&lab, 24).await.is_empty() && day(&lab, 30).await.is_empty(), "once");
        let late = day(&lab, 31).await;
        let kinds: Vec<LetterKind> = late.iter().map(|letter| letter.kind).collect();
        assert_eq!(kinds.iter().filter(|kind| **kind == LetterKind::Overdue).count(), 1);
        let house = late.iter().find(|letter| letter.to_address == lab.site.email(Role::Manager)).unwrap();
        assert!(house.body.contains("1 of 2 finds with specialist, due 15 Oct 2031"), "{}", house.body);
        assert!(day(&lab, 32).await.iter().all(|letter| letter.kind == LetterKind::Digest), "once");
        opine(&mut ilka, panel, "panel", "", "submit").await;
        crate::people::letters_sent(&lab).await;
        assert!(day(&lab, 33).await.is_empty(), "nothing is left to say");
    }

    async fn what_several_assignments_wait_for_is_one_letter(lab: Lab) {
        for number in ["88", "89", "90"] {
            let find = lab.site.find(number).material("stone").object("capital").add().await;
            lab.site.assign(&[find]).await;
        }
        let late = day(&lab, 31).await;
        let late: Vec<&Letter> = late.iter().filter(|letter| letter.kind == LetterKind::Overdue).collect();
        assert_eq!(late.len(), 1);
        assert_eq!(late[0].subject, "3 of your opinions are overdue");
        assert_eq!(late[0].body.matches("was due 15 Oct 2031").count(), 3, "{}", late[0].body);
    }
}
