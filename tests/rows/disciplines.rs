//! The columns of a discipline are the project's own data.
use super::{RIM, bag, path, send};
use axum::http::StatusCode;
use domain::permission::Role;
use tests::on_both_engines;
use tests::support::{Lab, Reply, Visitor};

/// Sends the form of a discipline as the page shows it, with these fields in place of its own.
async fn change(visitor: &mut Visitor, page: &Reply, more: &[(&str, &str)], titles: &[&str]) -> Reply {
    let (to, mut fields) = page.form("form[data-keep=discipline]");
    let mut titles = titles.iter();
    for (name, value) in &mut fields {
        if name == "title"
            && let Some(title) = titles.next()
        {
            *value = (*title).to_owned();
        }
        if let Some((_, other)) = more.iter().find(|(changed, _)| changed == name) {
            *value = (*other).to_owned();
        }
    }
    let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
    visitor.post_bare(&to, &fields).await
}

on_both_engines! {
    async fn columns_are_renamed_and_taken_out_and_drafts_find_their_cells_again(lab: Lab) {
        let assignment = lab.site.assign(&[bag(&lab.site, "12", 5, 41.2).await]).await;
        let grid = path(assignment, "pottery");
        let mut sabine = lab.sign_in(Role::Specialist).await;
        send(&mut sabine, &grid, &[("12", "", RIM)], &[("do_what", "keep")]).await;

        let mut tomas = lab.sign_in(Role::Lead).await;
        let form = format!("/projects/{}/disciplines/pottery", lab.site.code);
        let (page, stale) = (tomas.page(&form).await, tomas.page(&form).await);
        let titles = ["Ware", "", "Part", "Count", "Weight", "Rim", "Rim diameter", "Family", "Remarks", "Slip"];
        let saved = change(&mut tomas, &page, &[("name", "Pottery and lamps")], &titles).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text(".wrong"));
        assert!(tomas.follow(&saved).await.text("main").contains("Ware, Part, Count, Weight (g), Rim (%), Rim diameter (mm), Family, Remarks, Slip"));
        let late = change(&mut tomas, &stale, &[("name", "Sherds")], &titles).await;
        assert_eq!(late.status, StatusCode::CONFLICT);
        assert!(late.text(".conflict").contains("Pottery and lamps"), "{}", late.text("main"));
        let taken = tomas.post(&form, &[("name", "Sherds"), ("revision", "0"), ("take", "columns")]).await;
        assert_eq!(taken.attributes("input[name=title]", "value")[0], "Ware");

        let page = sabine.page(&grid).await;
        assert!(page.text("h1").contains("Pottery and lamps"));
        assert_eq!(page.attributes("#r1 input", "value")[2..7], ["Q1", "Rim", "2", "12,5", "15"]);
    }

    async fn columns_that_cannot_be_are_refused_by_name(lab: Lab) {
        let mut tomas = lab.sign_in(Role::Lead).await;
        let form = format!("/projects/{}/disciplines/new", lab.site.code);
        let column = |title: &'static str, kind: &'static str, meaning: &'static str| {
            [("code", ""), ("position", ""), ("title", title), ("unit", ""), ("kind", kind), ("vocabulary", ""), ("meaning", meaning), ("most", "")]
        };
        let cases = [
            ("Shell", vec![], "Name at least one column."),
            ("Shell", vec![column("Species", "choice", "plain")], "Species: write the words of its vocabulary"),
            ("Shell", vec![column("Find", "text", "plain")], "Find: another column has this name"),
            ("Shell", vec![column("Count", "text", "pieces")], "Count: only numbers are compared"),
            ("Shell", vec![column("A", "whole", "pieces"), column("B", "whole", "pieces")], "B: one column only is compared with the pieces"),
            ("Pottery", vec![column("A", "whole", "plain")], "There is a discipline Pottery already."),
            ("Shell", vec![column("A", "sound", "plain")], "A: choose what stands in it"),
        ];
        for (name, columns, words) in cases {
            let fields: Vec<(&str, &str)> = [("name", name)].into_iter().chain(columns.into_iter().flatten()).collect();
            let refused = tomas.post(&form, &fields).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{words}");
            assert!(refused.text(".wrong").contains(words), "{}", refused.text(".wrong"));
        }
        let right = [("name", "Shell")].into_iter().chain(column("Species", "text", "plain")).chain(column("Weight", "number", "mass"));
        let saved = tomas.post(&form, &right.collect::<Vec<_>>()).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER);
        assert!(tomas.follow(&saved).await.text("main").contains("Species, Weight"));

        let assignment = lab.site.assign(&[bag(&lab.site, "12", 5, 41.2).await]).await;
        let mut sabine = lab.sign_in(Role::Specialist).await;
        assert!(sabine.page(&format!("/assignments/{assignment}/rows")).await.texts("h2").contains(&"Shell".to_owned()));
        let own = format!("/projects/{}/disciplines/shell", lab.site.code);
        let page = tomas.page(&own).await;
        let withdrawn = tomas.submit(&page, "form[data-keep=discipline]", &[("withdrawn", "yes")]).await;
        assert_eq!(withdrawn.status, StatusCode::SEE_OTHER, "{}", withdrawn.text(".wrong"));
        assert!(!sabine.page(&format!("/assignments/{assignment}/rows")).await.texts("h2").contains(&"Shell".to_owned()));
    }
}
