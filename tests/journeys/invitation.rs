//! Petra Dunmoor invites Ilka Varnsted, who takes it from there.
use super::{as_person, letter_link};
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::Lab;
use web::links;

const ADDRESS: &str = "varnsted@carving.example";

at_both_widths! {
    async fn an_invitation_is_sent_accepted_and_used_up(lab: Lab, browser: &Browser) {
        browser.sign_in(&lab.site.email(Role::Manager)).await;
        browser.go("People").await;
        browser.assert_page("People of").await;
        browser.fill("Name", "I. Varnsted").await;
        browser.fill("E-mail address", ADDRESS).await;
        browser.press("Send the invitation").await;
        browser.assert_page("People of").await;
        browser.assert_says("This cannot be saved yet").await;
        browser.tick("specialist").await;
        browser.press("Send the invitation").await;
        browser.assert_says("invited 15 Sep 2031").await;
        browser.assert_page("People of").await;

        let link = letter_link(&lab, ADDRESS).await;
        browser.driver.delete_all_cookies().await.unwrap();
        browser.goto(&link).await;
        browser.assert_page("Welcome to").await;
        assert!(!browser.path().await.contains(link.split('/').next_back().unwrap()), "the token has left the address");
        browser.fill("Your name", "Prof. Ilka Varnsted").await;
        browser.fill("Qualification or post", "Professor of medieval carving").await;
        browser.fill("New password", "password").await;
        browser.fill("The same once more", "password").await;
        browser.press("Begin").await;
        browser.assert_says("This cannot be saved yet").await;
        browser.assert_page("Welcome to").await;
        browser.fill("New password", "seven gulls over the quay").await;
        browser.fill("The same once more", "seven gulls over the quay").await;
        browser.press("Begin").await;
        browser.assert_page("My finds").await;
        browser.assert_says("No unit has sent you finds yet").await;
        assert_eq!(browser.path().await, links::MY_FINDS);
        browser.assert_quiet().await;
        browser.goto(&link).await;
        browser.assert_page("This link has ended").await;
        assert!(browser.complaints().await.iter().all(|said| said.contains("410")));

        as_person(&lab, browser, lab.site.person(Role::Manager)).await;
        browser.go("People").await;
        browser.assert_says("Prof. Ilka Varnsted").await;
        browser.assert_says("here 15 Sep 2031").await;
    }
}
