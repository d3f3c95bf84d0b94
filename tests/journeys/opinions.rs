//! Ilka Varnsted and a colleague far away look at the carved panel (story 8); Petra Dunmoor settles.
use super::{as_person, letter_link};
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::Lab;
use web::links;

const ILKA: &str = "varnsted@carving.example";

/// The manager sends find 88 to that specialist with a question.
async fn send_to(browser: &Browser, specialist: &str) {
    browser.go("Finds").await;
    browser.tick("88").await;
    browser.press("Send to a specialist").await;
    browser.assert_page("Send 88 to a specialist").await;
    browser.choose("Specialist", specialist).await;
    browser.fill("Question", "Which saint, and when was it carved?").await;
    browser.fill("Until", "2031-10-15").await;
    browser.press("Send").await;
    browser.assert_says(&format!("88 is with {specialist}")).await;
}

async fn write(browser: &Browser, what: &str, date: &str) {
    browser.fill("Identification", what).await;
    browser.fill("Date, in your words", date).await;
    browser.fill("What it rests on", "drapery and hem, from the raking shots").await;
    if !browser.field("images").await.is_selected().await.unwrap() {
        browser.tick("images").await;
    }
}

/// Submits; without scripts the dates are first shown as they are read.
async fn submit(browser: &Browser) {
    browser.press("Submit").await;
    if browser.text("main").await.contains("See how the dates are read") {
        browser.press("Submit").await;
    }
}

// on a telephone without scripts, below
at_a_desk! {
    async fn two_specialists_differ_and_the_manager_settles_with_the_dissent_kept(lab: Lab, browser: &Browser) {
        let panel = lab.site.find("88").material("stone").object("panel, carved").add().await;
        lab.site.find("89").material("stone").object("capital").add().await;
        let maren = lab.site.another(Role::Specialist, "Maren Ash").await;
        as_person(&lab, browser, lab.site.person(Role::Manager)).await;
        browser.go("People").await;
        browser.fill("Name", "Prof. Ilka Varnsted").await;
        browser.fill("E-mail address", ILKA).await;
        browser.tick("specialist").await;
        browser.press("Send the invitation").await;
        send_to(browser, "Prof. Ilka Varnsted").await;
        send_to(browser, "Maren Ash").await;
        browser.assert_page("With specialists").await;

        // the letter of the finds is enough: it lets her in and leads there
        browser.driver.delete_all_cookies().await.unwrap();
        browser.goto(&letter_link(&lab, ILKA).await).await;
        browser.fill("New password", "seven gulls over the quay").await;
        browser.fill("The same once more", "seven gulls over the quay").await;
        browser.press("Begin").await;
        browser.assert_page("My finds").await;
        browser.assert_says("Which saint, and when was it carved?").await;
        browser.assert_silent("capital").await;
        browser.follow("Write an opinion").await;
        browser.assert_page("Opinion on 88").await;
        write(browser, "altarpiece, secret draft", "5th quarter of the 14th century").await;
        browser.press("Keep as draft").await;
        browser.assert_says("Only you see it").await;
        browser.press("Submit").await;
        browser.assert_says("This cannot be saved yet").await;
        browser.assert_page("Opinion on 88").await;

        as_person(&lab, browser, lab.site.person(Role::Manager)).await;
        browser.goto(&links::opinions(panel)).await;
        browser.assert_page("Opinions on 88").await;
        browser.assert_silent("secret draft").await;
        as_person(&lab, browser, maren).await;
        browser.assert_page("My finds").await;
        browser.follow("88").await;
        browser.assert_page("88 panel").await;
        browser.assert_silent("secret draft").await;
        browser.follow("Write an opinion").await;
        write(browser, "Saint John the Baptist", "AD 1417–1461").await;
        submit(browser).await;
        browser.assert_says("Your opinion on 88 is submitted").await;
        browser.assert_page("My finds").await;

        browser.sign_in_with(ILKA, "seven gulls over the quay").await;
        browser.follow("Go on with the draft").await;
        browser.assert_silent("Saint John").await;
        write(browser, "altarpiece panel, a saint", "late C14–mid C15").await;
        submit(browser).await;
        browser.follow("Revise").await;
        browser.fill("Identification", "altarpiece panel, an evangelist").await;
        submit(browser).await;
        browser.assert_says("version 2 submitted").await;
        browser.assert_page("My finds").await;

        as_person(&lab, browser, lab.site.person(Role::Manager)).await;
        browser.go("Specialists").await;
        browser.unfold("The finds").await;
        browser.follow("88").await;
        // by hand: the last third of the 14th century begins 1368, the middle third of the 15th ends 1467
        browser.assert_says("AD 1368 to AD 1467").await;
        browser.assert_says("AD 1417 to AD 1461").await;
        // folded away, and there for whoever asks
        browser.assert_says("Not a date").await;
        browser.assert_page("Opinions on 88").await;
        browser.choose("Outcome", "agreed").await;
        browser.tick("Maren Ash: Saint John the Baptist").await;
        browser.fill("Identification", "Saint John the Baptist").await;
        browser.fill("Reason", "the lamb under the left hand").await;
        browser.press("Record the settlement").await;
        browser.assert_says("This cannot be saved yet").await;
        browser.assert_page("Opinions on 88").await;
        browser.choose("Outcome", "majority").await;
        browser.press("Record the settlement").await;
        browser.assert_says("majority: Saint John the Baptist").await;
        browser.assert_says("dissent").await;
        browser.assert_says("altarpiece panel, an evangelist").await;
        browser.assert_page("Opinions on 88").await;
    }
}

without_scripts!(two_specialists_differ_and_the_manager_settles_with_the_dissent_kept);
