//! Accounts, invitations, new passwords, the people and routes of a project, letters.
mod accounts;
mod command;
mod letters;
mod outage;
mod passwords;
mod projects;
mod routes;
mod safety;
mod unwanted;

use store::letters::Letter;
use tests::support::{Lab, noon};

/// The letters that wait, oldest first.
pub(crate) async fn letters_waiting(lab: &Lab) -> Vec<Letter> {
    let far = noon() + chrono::Duration::days(400);
    let mut tx = lab.site.db.write().await.unwrap();
    let mut letters = Vec::new();
    while let Some(letter) =
        store::letters::take_due(&mut tx, far, far + chrono::Duration::days(1)).await.unwrap()
    {
        letters.push(letter);
    }
    letters
}

/// The letters that wait, oldest first, each taken as sent.
pub(crate) async fn letters_sent(lab: &Lab) -> Vec<Letter> {
    let letters = letters_waiting(lab).await;
    let mut tx = lab.site.db.write().await.unwrap();
    for letter in &letters {
        store::letters::update_sent(&mut tx, letter.id, noon()).await.unwrap();
    }
    tx.commit().await.unwrap();
    letters
}

/// The letter that waits for an address.
async fn letter_to(lab: &Lab, address: &str) -> Letter {
    let letters = letters_waiting(lab).await;
    letters.into_iter().find(|l| l.to_address == address).unwrap_or_else(|| panic!("no letter to {address}"))
}

/// The path of the link a letter carries.
fn link_in(letter: &Letter) -> String {
    let line = letter.body.lines().find(|line| line.contains("/letter/"));
    let line = line.unwrap_or_else(|| panic!("no link in: {}", letter.body));
    line.strip_prefix("http://127.0.0.1:8080").unwrap().to_owned()
}

/// What the journal says last of accounts and of the site's project, newest first.
async fn journal(lab: &Lab) -> Vec<String> {
    let mut tx = lab.site.db.read().await.unwrap();
    let lines =
        store::journal::list_of_project(&mut tx, lab.site.project, store::journal::Told::default(), 20)
            .await
            .unwrap();
    lines.into_iter().map(|line| format!("{} {}", line.by_name, line.words)).collect()
}
