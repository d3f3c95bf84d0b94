//! Signing in, opening a find, signing out.
use domain::permission::Role;
use tests::browser::{Browser, DESKTOP, PHONE};
use tests::support::{Engine, Lab, engines};
use thirtyfour::Key;

async fn sign_in_and_out(lab: Lab, size: (u32, u32)) {
    let find = lab.site.find("214-1").material("iron").object("nail").add().await;
    let browser = Browser::open(&lab).await;
    browser.size(size).await;
    browser.goto(&web::links::find(find)).await;
    assert!(browser.path().await.starts_with(web::links::SIGN_IN), "a stranger is asked who they are");
    browser.assert_accessible().await;
    browser.fill("E-mail address", &lab.site.email(Role::Conservator)).await;
    browser.fill("Password", "not the password").await;
    browser.press("Sign in").await;
    assert!(browser.text("[role=alert]").await.contains("do not fit together"));
    browser.assert_accessible().await;
    // as a password manager types it: as fast as a scanner
    let email = browser.field("E-mail address").await;
    email.clear().await.unwrap();
    let typed = lab.site.email(Role::Conservator) + Key::Tab + tests::support::PASSWORD + Key::Enter;
    email.send_keys(typed).await.unwrap();
    browser.assert_comes("214-1").await;
    assert_eq!(browser.path().await, web::links::find(find), "the page that was asked for");
    assert!(browser.text("h1").await.contains("214-1"));
    browser.assert_accessible().await;
    browser.driver.delete_all_cookies().await.unwrap();
    browser.goto(web::links::TODAY).await;
    assert!(browser.path().await.starts_with(web::links::SIGN_IN));
    browser.close().await;
}

#[test]
fn a_scanned_find_opens_after_signing_in_on_a_telephone() {
    engines::run(Engine::Sqlite, async |lab: Lab| sign_in_and_out(lab, PHONE).await);
}

#[test]
fn a_find_opens_after_signing_in_at_a_desk() {
    engines::run(Engine::Postgres, async |lab: Lab| sign_in_and_out(lab, DESKTOP).await);
}

#[test]
fn what_was_typed_is_back_when_the_session_ended_meanwhile() {
    engines::run(Engine::Sqlite, async |lab: Lab| {
        let browser = Browser::open(&lab).await;
        browser.sign_in(&lab.site.email(Role::FindsOfficer)).await;
        browser.goto(&web::links::context_new(lab.site.code)).await;
        browser.fill("Kind", "black silt with twigs").await;
        browser.driver.delete_all_cookies().await.unwrap();
        browser.press("Save the context").await;
        assert!(browser.path().await.starts_with(web::links::SIGN_IN));
        browser.fill("E-mail address", &lab.site.email(Role::FindsOfficer)).await;
        browser.fill("Password", tests::support::PASSWORD).await;
        browser.press("Sign in").await;
        browser.goto(&web::links::context_new(lab.site.code)).await;
        browser.assert_says("What you had typed here is back.").await;
        browser.close().await;
    });
}
