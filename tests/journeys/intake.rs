//! Bea Lisle-Okoro enters context 214 and what came out of it (story 1), and keeps the counts true (story 7).
use super::as_person;
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::Lab;

// on a telephone without scripts, below
at_a_desk! {
    async fn a_context_is_entered_and_its_finds_registered_singly_and_in_bulk(lab: Lab, browser: &Browser) {
        as_person(&lab, browser, lab.site.person(Role::FindsOfficer)).await;
        browser.go("Contexts").await;
        browser.assert_page("Contexts").await;
        browser.follow("Enter a context").await;
        browser.assert_page("Enter a context").await;
        browser.fill("Number", "215").await;
        browser.fill("Kind", "cut").await;
        browser.press("Save the context").await;
        browser.assert_page("Context 215").await;
        browser.go("Contexts").await;
        browser.follow("Enter a context").await;
        browser.fill("Number", "214").await;
        browser.fill("Kind", "fill").await;
        browser.fill("Interpretation", "fill of the pit by the quay wall").await;
        browser.fill("Above", "215, 216").await;
        browser.press("Save the context").await;
        browser.assert_says("There is no context 216 yet").await;
        browser.assert_page("Enter a context").await;
        browser.fill("Above", "215").await;
        browser.press("Save the context").await;
        browser.assert_page("Context 214").await;
        browser.assert_says("215").await;

        browser.follow("Register a find from here").await;
        browser.assert_page("Register a find").await;
        browser.fill("Object", "nail").await;
        browser.press("Register").await;
        browser.assert_says("This cannot be saved yet").await;
        browser.assert_page("Register a find").await;
        browser.choose("Material group", "Iron").await;
        browser.press("Register").await;
        browser.assert_page("1 nail").await;
        browser.assert_says("X-ray").await;

        browser.follow("Register another").await;
        browser.choose("Material group", "Glass").await;
        browser.fill("Object", "rim").await;
        browser.choose("State on recovery", "wet").await;
        browser.press("Register").await;
        browser.assert_page("2 rim").await;
        browser.assert_says("since 15 Sep 2031").await;

        browser.follow("Register another").await;
        browser.choose("Kind", "bulk").await;
        browser.choose("Material group", "Ceramic").await;
        browser.fill("Object", "sherds").await;
        browser.fill("Quantity", "40").await;
        browser.fill("Mass", "612").await;
        browser.press("Register").await;
        browser.assert_page("3 sherds").await;
        browser.follow("214").await;
        browser.assert_page("Context 214").await;
        for words in ["nail", "rim", "sherds"] {
            browser.assert_says(words).await;
        }
        browser.go("Today").await;
        browser.assert_page("Today").await;
        browser.assert_says("Arrivals without a first record").await;
    }
}

at_both_widths! {
    async fn pieces_are_taken_out_and_joined_and_the_counts_stay_true(lab: Lab, browser: &Browser) {
        let glass = lab.site.find("61").material("glass").object("vessel glass").bulk(16).with(|f| f.weight_g = Some(40.0)).add().await;
        lab.site.find("62").material("glass").object("rim").with(|f| f.weight_g = Some(1.2)).add().await;
        as_person(&lab, browser, lab.site.person(Role::FindsOfficer)).await;
        browser.goto(&web::links::find(glass)).await;
        browser.assert_page("61 vessel glass").await;
        browser.follow("Join others into it").await;
        browser.assert_page("Join other finds into 61").await;
        browser.fill("Numbers of the finds", "62").await;
        browser.fill("Pieces afterwards", "18").await;
        browser.fill("Reason", "the rim fits two pieces").await;
        browser.press("Join").await;
        browser.assert_says("joining cannot make more of them").await;
        browser.assert_page("Join other finds into 61").await;
        browser.fill("Pieces afterwards", "16").await;
        browser.press("Join").await;
        browser.assert_page("61 vessel glass").await;
        // 40.0 g and 1.2 g: joining changes the count, never the mass
        browser.assert_says("41.2").await;
        browser.follow("Take pieces out").await;
        browser.assert_page("Take pieces out of 61").await;
        browser.fill("Pieces taken out", "1").await;
        browser.fill("Their mass", "3.4").await;
        browser.fill("Object", "base with a pontil scar").await;
        browser.fill("Reason", "recognised while washing").await;
        browser.press("Take out").await;
        browser.assert_says("What happened to the quantity").await;
        browser.goto(&web::links::find(glass)).await;
        browser.assert_says("37.8").await;
        browser.assert_says("15").await;
    }

    async fn a_find_is_held_released_and_moved_to_a_box(lab: Lab, browser: &Browser) {
        let find = lab.site.find("88").material("stone").object("panel, carved").add().await;
        as_person(&lab, browser, lab.site.person(Role::FindsOfficer)).await;
        browser.go("Places").await;
        browser.assert_page("Places").await;
        browser.choose("Kind", "building").await;
        browser.fill("Name", "Custom house").await;
        browser.press("Add the place").await;
        browser.choose("Inside", "Custom house").await;
        browser.choose("Kind", "box").await;
        browser.fill("Name", "Box 7").await;
        browser.press("Add the place").await;
        browser.assert_page("Places").await;
        browser.assert_says("Box 7").await;

        browser.goto(&web::links::find(find)).await;
        browser.unfold("Where it was").await;
        browser.follow("Move").await;
        browser.assert_page("Move 88").await;
        browser.press("Move").await;
        browser.assert_says("Choose where to").await;
        browser.choose("To", "Custom house › Box 7").await;
        browser.fill("Why", "out of the way of the scaffold").await;
        browser.press("Move").await;
        browser.assert_page("88 panel").await;
        browser.assert_says("88 is now at").await;

        browser.unfold("Holds and lifted gates").await;
        browser.follow("Put on hold").await;
        browser.assert_page("Put 88 on hold").await;
        browser.fill("Reason", "waits for the structural engineer").await;
        browser.press("Put on hold").await;
        browser.assert_page("88 panel").await;
        browser.assert_says("Nothing moves until the hold is released").await;
        browser.fill("Reason", "the engineer was here").await;
        browser.press("Release the hold").await;
        browser.assert_says("The hold is released").await;
        browser.assert_says("Ready for first-aid packing").await;
    }
}

without_scripts!(a_context_is_entered_and_its_finds_registered_singly_and_in_bulk);
