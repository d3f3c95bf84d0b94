//! A forgotten password, and a telephone left on the train.
use super::letter_link;
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::Lab;
use web::links;

const NEW_PASSWORD: &str = "seven gulls over the quay";

at_both_widths! {
    async fn a_forgotten_password_is_replaced_by_way_of_a_letter(lab: Lab, browser: &Browser) {
        let email = lab.site.email(Role::Conservator);
        browser.goto(links::TODAY).await;
        browser.follow("Password forgotten?").await;
        browser.assert_page("Password forgotten").await;
        browser.fill("E-mail address", &email).await;
        browser.press("Send the letter").await;
        browser.assert_page("Look at your letters").await;
        let link = letter_link(&lab, &email).await;
        browser.goto(&link).await;
        browser.assert_page("Choose a new password").await;
        browser.fill("New password", NEW_PASSWORD).await;
        browser.fill("The same once more", "seven gulls over the key").await;
        browser.press("Set the password").await;
        browser.assert_says("The two passwords differ").await;
        browser.assert_page("Choose a new password").await;
        browser.fill("New password", NEW_PASSWORD).await;
        browser.fill("The same once more", NEW_PASSWORD).await;
        browser.press("Set the password").await;
        browser.assert_page("Sign in").await;
        browser.fill("E-mail address", &email).await;
        browser.fill("Password", tests::support::PASSWORD).await;
        browser.press("Sign in").await;
        browser.assert_says("do not fit together").await;
        browser.fill("Password", NEW_PASSWORD).await;
        browser.press("Sign in").await;
        browser.assert_page("Today").await;
        browser.assert_quiet().await;
        browser.goto(&link).await;
        browser.assert_page("This link has ended").await;
        // the one thing the console may say: that the page of a link used up is no success
        assert!(browser.complaints().await.iter().all(|said| said.contains("410")));
    }

    async fn a_person_signs_out_here_and_then_everywhere(lab: Lab, browser: &Browser) {
        let email = lab.site.email(Role::Conservator);
        browser.sign_in(&email).await;
        browser.assert_page("Today").await;
        browser.menu().await;
        browser.unfold("Signed in:").await;
        browser.press("Sign out").await;
        browser.assert_page("Sign in").await;
        browser.goto(links::TODAY).await;
        browser.assert_page("Sign in").await;

        let mut on_the_train = lab.sign_in(Role::Conservator).await;
        on_the_train.page(links::TODAY).await;
        browser.sign_in(&email).await;
        browser.menu().await;
        browser.unfold("Signed in:").await;
        browser.follow("Your account").await;
        browser.assert_page("Your account").await;
        browser.assert_says("Here and in 1 other place").await;
        browser.press("Sign out everywhere").await;
        browser.assert_page("Sign in").await;
        let shut = on_the_train.get(links::TODAY).await;
        assert!(shut.location().starts_with(links::SIGN_IN), "the other place is signed out too");
    }
}
