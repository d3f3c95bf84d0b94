//! A mail server that refuses, delays and drops connections: nothing is lost, and nothing reaches a reader twice.
use super::letters::{MailServer, app_at, queue};
use std::collections::{BTreeMap, BTreeSet};
use tests::on_both_engines;
use tests::support::Lab;
use web::letterbox::send_due;

fn message_id(mail: &str) -> String {
    mail.lines().find_map(|line| line.strip_prefix("Message-ID: ")).unwrap().to_owned()
}

fn recipient(mail: &str) -> &str {
    let line = mail.lines().find(|line| line.starts_with("To: ")).unwrap();
    line.split(['<', '>']).nth(1).unwrap()
}

on_both_engines! {
    async fn a_server_that_refuses_delays_and_drops_the_line_loses_and_doubles_nothing(lab: Lab) {
        let server = MailServer::start();
        let kinds = ["plain", "later", "busy", "slow", "cut", "lost"];
        let mut all = BTreeSet::new();
        for kind in kinds {
            for n in 0..3 {
                let to = format!("{kind}@quay{n}.example");
                queue(&lab, &to).await;
                all.insert(to);
            }
        }
        // Two programs on one database, at the same moments.
        for minutes in [0, 3, 9, 20, 60] {
            let (one, twin) = (app_at(&lab, &server, minutes), app_at(&lab, &server, minutes));
            let (one, twin) = tokio::join!(send_due(&one), send_due(&twin));
            one.unwrap();
            twin.unwrap();
        }
        let unsent = store::letters::list_unsent(&mut lab.site.db.read().await.unwrap(), 10).await.unwrap();
        assert!(unsent.is_empty(), "{unsent:?}");
        let mut copies: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for mail in server.mails() {
            copies.entry(message_id(&mail)).or_default().push(mail);
        }
        let arrived: BTreeSet<String> = copies.values().map(|same| recipient(&same[0]).to_owned()).collect();
        assert_eq!(arrived, all, "nothing is lost");
        assert_eq!(copies.len(), all.len(), "one letter, one Message-ID");
        for same in copies.values() {
            // Where a server has a letter and the line drops before it can say so, nobody can know; the sender still owes
            // it (RFC 5321, 4.2.5 and 6.1) and sends it again as it was, so that the reader's side knows it by its id.
            let most = if recipient(&same[0]).starts_with("lost@") { 2 } else { 1 };
            assert_eq!(same.len(), most, "{}", recipient(&same[0]));
            assert!(same.iter().all(|copy| copy == &same[0]), "the same to the last byte");
        }
    }
}
