//! What Joss Penhallick submits a minute before stands in the interim report, on the page and in print.
use super::as_person;
use domain::permission::Role;
use tests::browser::Browser;
use tests::support::Lab;

at_both_widths! {
    async fn an_opinion_submitted_just_now_stands_in_the_report(lab: Lab, browser: &Browser) {
        let comb = lab.site.find("95").material("worked_bone").object("comb").add().await;
        lab.site.find("96").material("iron").object("nail").add().await;
        lab.site.assign(&[comb]).await;
        as_person(&lab, browser, lab.site.person(Role::Reader)).await;
        browser.go("Report").await;
        browser.assert_silent("ring and dot").await;

        browser.sign_in(&lab.site.email(Role::Specialist)).await;
        browser.follow("Write an opinion").await;
        browser.fill("Identification", "double-sided comb, ring and dot").await;
        browser.unfold("Material").await;
        browser.fill("Material", "red deer antler").await;
        browser.fill("What it rests on", "tooth plates, rivets").await;
        browser.tick("images").await;
        browser.press("Submit").await;
        browser.assert_says("is submitted").await;

        as_person(&lab, browser, lab.site.person(Role::Reader)).await;
        browser.go("Report").await;
        browser.assert_page("interim").await;
        browser.assert_says("double-sided comb, ring and dot").await;
        browser.assert_says("preliminary").await;
        let folder = tempfile::tempdir().unwrap();
        let file = browser.download("As PDF", folder.path()).await;
        assert!(file.display().to_string().ends_with("VSQ31-interim-2031-09-15.pdf"), "{}", file.display());
        let text = std::process::Command::new("pdftotext").arg(&file).arg("-").output().unwrap();
        let text = String::from_utf8(text.stdout).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains("ring and dot") && text.contains("red deer antler"), "{text}");
    }
}
