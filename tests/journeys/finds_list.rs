//! The list narrowed, kept, worked on and taken away; Today and the backlog lead into it.
use super::as_person;
use domain::permission::Role;
use domain::stages::{Stage, StageState};
use tests::browser::Browser;
use tests::support::Lab;
use tests::support::site::day;

async fn a_few_finds(lab: &Lab) {
    let trench = lab.site.context("214").await;
    lab.site.place("Box 7").await;
    for (number, object, words) in [
        ("61", "nail", "clenched"),
        ("62", "key", "barrel key, bit missing"),
        ("63", "knife", "whittle tang"),
    ] {
        let find = lab.site.find(number).material("iron").object(object).description(words);
        let find = find.in_context(trench).add().await;
        for stage in [Stage::FirstAid, Stage::Condition, Stage::Xray] {
            lab.site.mark(find, stage, StageState::Done).await;
        }
    }
    lab.site
        .find("64")
        .material("glass")
        .object("beaker")
        .description("blue trail")
        .wet()
        .with(|f| f.recovered_on = Some(day(9, 1)))
        .add()
        .await;
}

at_both_widths! {
    async fn finds_are_searched_filtered_kept_moved_and_taken_away(lab: Lab, browser: &Browser) {
        a_few_finds(&lab).await;
        as_person(&lab, browser, lab.site.person(Role::Conservator)).await;
        browser.go("Finds").await;
        browser.assert_page("Finds").await;
        browser.unfold("Filter and search").await;
        browser.fill("Words", "barrel").await;
        browser.press("Show").await;
        browser.assert_says("key").await;
        browser.assert_silent("clenched").await;
        browser.follow("Show all finds").await;
        browser.unfold("Filter and search").await;
        browser.choose("Headline stage", "dry clean").await;
        browser.choose("Material", "Iron").await;
        browser.press("Show").await;
        browser.assert_silent("beaker").await;
        browser.assert_says("Finds: headline stage dry clean; material Iron").await;
        browser.unfold("Filter and search").await;
        browser.fill("Keep this filter as", "iron to clean").await;
        browser.press("Keep").await;
        browser.assert_says("The filter “iron to clean” is kept").await;
        browser.assert_page("Finds").await;

        browser.go("Finds").await;
        browser.assert_says("beaker").await;
        browser.follow("iron to clean").await;
        browser.assert_silent("beaker").await;
        browser.tick("61").await;
        browser.tick("63").await;
        browser.press("Move").await;
        browser.assert_page("Move 2 finds").await;
        browser.choose("To", "Box 7").await;
        browser.press("Move").await;
        browser.assert_says("2 finds are now at Box 7").await;
        browser.unfold("Filter and search").await;
        browser.choose("Place", "Box 7").await;
        browser.press("Show").await;
        browser.assert_silent("barrel").await;
        browser.assert_page("Finds").await;

        let folder = tempfile::tempdir().unwrap();
        let file = browser.download("CSV", folder.path()).await;
        let text = std::fs::read_to_string(file).unwrap();
        assert!(text.contains("clenched") && text.contains("whittle tang") && !text.contains("barrel key"), "{text}");
        assert_eq!(text.lines().count(), 3, "the head and two finds: {text}");
        browser.press("Record work").await;
        browser.assert_says("Tick the finds first").await;
    }

    async fn today_and_the_backlog_lead_to_the_finds_that_wait(lab: Lab, browser: &Browser) {
        a_few_finds(&lab).await;
        as_person(&lab, browser, lab.site.person(Role::Conservator)).await;
        browser.assert_page("Today").await;
        browser.assert_says("overdue").await;
        browser.go("Backlog").await;
        browser.assert_page("Backlog").await;
        browser.assert_says("What waits at which stage").await;
        browser.follow("3").await;
        browser.assert_page("Finds").await;
        for words in ["nail", "key", "knife"] {
            browser.assert_says(words).await;
        }
        browser.assert_silent("beaker").await;
        browser.go("Today").await;
        browser.follow("64").await;
        browser.assert_page("64 beaker").await;
    }
}
