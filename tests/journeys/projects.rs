//! A project from its first form to a chest of two finds: an administrator makes it, Petra Dunmoor names it, a lead teaches it the
//! words of its registers, Bea Lisle-Okoro lays together what was one thing.
use super::as_person;
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::Lab;
use web::links;

at_both_widths! {
    async fn a_project_is_made_by_an_administrator_and_named_anew_by_its_manager(lab: Lab, browser: &Browser) {
        as_person(&lab, browser, lab.site.administrator).await;
        browser.go("Projects").await;
        browser.assert_page("Projects").await;
        browser.follow("Create a project").await;
        browser.assert_page("Create a project").await;
        browser.fill("Code", "vsq31").await;
        browser.fill("Name", "Harrow Neck").await;
        browser.fill("Site", "Harrow Neck, the eastern shore").await;
        browser.fill("E-mail address", &lab.site.email(Role::Manager)).await;
        browser.press("Create the project").await;
        browser.assert_says("There is a project VSQ31 already").await;
        browser.assert_page("Create a project").await;
        browser.fill("Code", "hrn04").await;
        browser.press("Create the project").await;
        browser.assert_says("HRN04 is created").await;
        browser.assert_page("Projects").await;
        browser.assert_says("Harrow Neck").await;
        browser.assert_says("not a member").await;

        as_person(&lab, browser, lab.site.person(Role::Manager)).await;
        browser.go("Projects").await;
        browser.assert_page("Projects").await;
        browser.follow("HRN04").await;
        browser.assert_page("Harrow Neck").await;
        browser.assert_says("the eastern shore").await;
        browser.follow("Edit the project").await;
        browser.assert_page("Edit HRN04").await;
        browser.fill("Name", "").await;
        browser.press("Save the project").await;
        browser.assert_says("Write the project’s name").await;
        browser.assert_page("Edit HRN04").await;
        browser.fill("Name", "Weirs of Harrow Neck").await;
        browser.press("Save the project").await;
        browser.assert_says("The project is saved").await;
        browser.assert_page("Weirs of Harrow Neck").await;
        browser.go("Projects").await;
        browser.assert_says("Weirs of Harrow Neck").await;
    }

    async fn a_lead_adds_words_to_a_material_group_and_a_group_of_its_own(lab: Lab, browser: &Browser) {
        as_person(&lab, browser, lab.site.person(Role::Lead)).await;
        browser.goto(&links::project(lab.site.code)).await;
        browser.assert_page("Site VSQ31").await;
        browser.follow("Materials and routes").await;
        browser.assert_page("Materials and routes").await;
        browser.follow("Ceramic").await;
        browser.assert_page("Ceramic").await;
        browser.fill("Words of registers", "ceramic, pottery, faience, iron").await;
        browser.press("Save the group").await;
        browser.assert_says("“iron” stands for Iron already").await;
        browser.assert_page("Ceramic").await;
        browser.fill("Words of registers", "ceramic, pottery, faience").await;
        browser.press("Save the group").await;
        browser.assert_says("Ceramic is saved").await;
        browser.assert_page("Materials and routes").await;
        browser.assert_says("faience").await;
        browser.assert_silent("clay pipe").await;

        browser.follow("Add a group").await;
        browser.assert_page("Add a material group").await;
        browser.fill("Name", "Obsidian").await;
        browser.fill("Words of registers", "obsidian, volcanic glass").await;
        browser.fill("Caution", "Edges cut: lift with padded tweezers.").await;
        browser.press("Save the group").await;
        browser.assert_says("Obsidian is added").await;
        browser.assert_page("Materials and routes").await;
        browser.assert_says("volcanic glass").await;
        browser.assert_says("padded tweezers").await;
    }

    async fn two_finds_that_were_one_chest_are_laid_together_and_lead_to_each_other(lab: Lab, browser: &Browser) {
        let lock = lab.site.find("61").material("iron").object("lock plate").add().await;
        let handle = lab.site.find("62").material("iron").object("handle").add().await;
        as_person(&lab, browser, lab.site.person(Role::FindsOfficer)).await;
        for find in [lock, handle] {
            browser.goto(&links::find(find)).await;
            browser.unfold("Belongs together").await;
            browser.fill("Lay to the group", "chest in context 214").await;
            browser.press("Lay to it").await;
            browser.assert_says("belongs to chest in context 214 now").await;
        }
        browser.assert_page("62 handle").await;
        browser.assert_says("chest in context 214: 61").await;
        browser.follow("61").await;
        browser.assert_page("61 lock plate").await;
        browser.assert_says("chest in context 214: 62").await;
        browser.press("Take out of chest in context 214").await;
        browser.assert_says("61 no longer belongs to chest in context 214").await;
        browser.goto(&links::find(handle)).await;
        browser.assert_says("chest in context 214: nothing else yet").await;
    }
}
