//! Dr Joss Penhallick weighs the spits of an urn (story 9): 212, 305 and 98 g, no element doubled, under a licence that stands on
//! every page; Petra Dunmoor and Ansel Wrayburn see what each of them may.
use super::as_person;
use axum::http::StatusCode;
use domain::permission::Role;
use domain::review::share::Shares;
use serde_json::json;
use std::time::Duration;
use store::materials::GroupWords;
use tests::browser::Browser;
use tests::support::Lab;
use thirtyfour::Key;
use web::links;

const LICENCE: &str = "Licence VH-2031-07: no image in public, reburial with the rest of the cemetery.";
/// As a spreadsheet hands it over: find, sub-number, element, side, portion, fraction, count, weight, remarks.
const PASTED: &str = "95\t\tmixed\t\t\tnot sieved\t\t212\t\n96\t\tmixed\t\t\tnot sieved\t\t305\t\n97\t\tmixed\t\t\tnot sieved\t\t98\tcharcoal\n";

async fn license(lab: &Lab) {
    let mut tx = lab.site.db.write().await.unwrap();
    let group = store::materials::find(&mut tx, lab.site.project, "cremated_bone").await.unwrap().unwrap();
    let words =
        GroupWords { name: group.name, words: group.words, caution: group.caution, licence: LICENCE.into() };
    store::materials::update(&mut tx, lab.site.project, "cremated_bone", &words, group.revision)
        .await
        .unwrap();
    tx.commit().await.unwrap();
}

/// Pastes into a cell as a browser does.
async fn paste(browser: &Browser, selector: &str, text: &str) {
    let script = "const data = new DataTransfer(); data.setData('text/plain', arguments[1]);
        const at = document.querySelector(arguments[0]); at.focus();
        at.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));";
    browser.driver.execute(script, vec![json!(selector), json!(text)]).await.unwrap();
}

async fn value(browser: &Browser, selector: &str) -> String {
    browser.one(selector).await.value().await.unwrap().unwrap_or_default()
}

at_a_desk! {
    async fn a_bone_specialist_enters_rows_under_a_licence(lab: Lab, browser: &Browser) {
        let mut finds = Vec::new();
        for (number, mass) in [("95", 212.0), ("96", 305.0), ("97", 98.0)] {
            let find = lab.site.find(number).material("cremated_bone").object("urn spit").restricted();
            finds.push(find.with(|find| find.weight_g = Some(mass)).add().await);
        }
        license(&lab).await;
        let assignment = lab.site.assign_sharing(&finds, Shares::ALL).await;
        let petra = Browser::open(&lab).await;
        as_person(&lab, &petra, lab.site.person(Role::Manager)).await;
        as_person(&lab, browser, lab.site.person(Role::Specialist)).await;
        browser.follow("Rows for Site VSQ31 (VSQ31), due 15 Oct 2031").await;
        browser.assert_page("Rows for Site VSQ31").await;
        browser.goto(&links::rows_of(assignment, "bone")).await;
        browser.assert_page("Bone rows").await;
        browser.assert_says(LICENCE).await;

        paste(browser, "#r1 input", PASTED).await;
        browser.assert_comes("3 rows pasted.").await;
        assert_eq!(value(browser, "#r3 input[aria-labelledby='c6 n3']").await, "98");
        browser.assert_comes("Draft kept").await;
        // Enter goes down the column, beyond the last row too
        let cell = browser.one("#r8 input[aria-labelledby='c1 n8']").await;
        cell.send_keys("tooth").await.unwrap();
        // a hand, not a scanner
        tokio::time::sleep(Duration::from_millis(150)).await;
        cell.send_keys("" + Key::Enter).await.unwrap();
        let focus = "return document.activeElement.getAttribute('aria-labelledby')";
        let focus: String = browser.driver.execute(focus, Vec::new()).await.unwrap().convert().unwrap();
        assert_eq!(focus, "c1 n9");
        browser.press("Submit the rows").await;
        browser.assert_says("Row 4, Find: Write the number of the find.").await;
        browser.assert_page("Bone rows").await;
        browser.one("#r4 input[aria-labelledby='c1 n4']").await.clear().await.unwrap();
        browser.press("Submit the rows").await;
        browser.assert_says("Together: 3 rows, 615 g.").await;
        browser.assert_page("Bone rows").await;

        browser.goto(&links::opinion(finds[0])).await;
        browser.assert_says(LICENCE).await;
        browser.fill("Identification", "cremated human bone, at least one individual").await;
        browser.fill("What it rests on", "all three spits laid out").await;
        browser.tick("the object").await;
        browser.unfold("Material").await;
        browser.fill("Looked for and not found", "No duplicated elements seen.").await;
        browser.press("Submit").await;
        browser.assert_page("My finds").await;

        // without the clearance there is nothing to see, not even the number
        petra.goto(&links::specialists("VSQ31")).await;
        petra.follow("Bone, 3 rows, version 1, 15 Sep 2031").await;
        petra.assert_says("3 rows of restricted finds are not shown to you").await;
        petra.assert_silent("615 g").await;
        let mut ansel = lab.sign_in(Role::Photographer).await;
        assert_eq!(ansel.get(&links::find(finds[0])).await.status, StatusCode::NOT_FOUND);
        lab.site.clear(Role::Manager).await;
        petra.goto(&links::find(finds[0])).await;
        petra.assert_says(LICENCE).await;
        petra.assert_says("Element mixed, Fraction not sieved, Weight 212 g").await;
        petra.assert_says("No duplicated elements seen.").await;
        petra.assert_page("95 urn spit").await;
        // nothing of it in what others read
        petra.go("Report").await;
        petra.assert_silent("urn spit").await;
        petra.assert_silent("Recorded row by row").await;
        petra.close().await;
    }
}
