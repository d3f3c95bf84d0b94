//! Rows of specialists: typed, pasted, by template; checked cell by cell; against the register; seen by who may.
mod disciplines;
mod package;
mod returned;

use axum::http::StatusCode;
use domain::ids::{AssignmentId, FindId};
use domain::permission::Role;
use domain::review::share::Shares;
use tests::on_both_engines;
use tests::support::{FOREIGN, Lab, Reply, Site, Visitor};

/// The codes of the columns that pottery begins with.
const POTTERY: &str = "fabric,form,part,count,weight,rim,rim_diameter,family,remarks";

/// A bag of sherds.
async fn bag(site: &Site, number: &str, pieces: i64, mass_g: f64) -> FindId {
    site.find(number)
        .material("ceramic")
        .object("sherds")
        .bulk(pieces)
        .with(|find| find.weight_g = Some(mass_g))
        .add()
        .await
}

fn path(assignment: AssignmentId, discipline: &str) -> String {
    format!("/assignments/{assignment}/rows/{discipline}")
}

/// Sends the grid of pottery: number, sub-number and the cells of each row.
async fn send(
    visitor: &mut Visitor,
    to: &str,
    rows: &[(&str, &str, [&str; 9])],
    more: &[(&str, &str)],
) -> Reply {
    let mut fields = vec![("columns", POTTERY)];
    for (find, sub_number, cells) in rows {
        fields.extend([("row_find", *find), ("row_sub_number", *sub_number)]);
        fields.extend(cells.iter().map(|cell| ("cell", *cell)));
    }
    fields.extend(more);
    visitor.post(to, &fields).await
}

const RIM: [&str; 9] = ["Q1", "jug", "Rim", "2", "12,5", "15", "120", "", ""];
const BODY: [&str; 9] = ["Q1", "", "body", "3", "28,7", "", "", "F1", "sooted"];

on_both_engines! {
    async fn rows_are_kept_as_typed_refused_cell_by_cell_and_submitted_in_versions(lab: Lab) {
        let (first, second) = (bag(&lab.site, "12", 5, 41.2).await, bag(&lab.site, "13", 7, 80.0).await);
        let assignment = lab.site.assign(&[first, second]).await;
        let grid = path(assignment, "pottery");
        let mut sabine = lab.sign_in(Role::Specialist).await;
        let choice = sabine.page(&format!("/assignments/{assignment}/rows")).await;
        assert_eq!(choice.texts("h2"), ["Pottery", "Bone", "Building material"]);
        let fresh = sabine.page(&grid).await;
        let numbers = fresh.attributes("input[name=row_find]", "value");
        assert_eq!(numbers[..3], ["12", "13", ""], "a row for each find, then empty ones");
        assert_eq!(fresh.attributes("#v3 option", "value"), ["rim", "base", "handle", "spout", "body", "profile", "whole vessel"]);

        // a draft may be wrong
        let wrong = ["", "", "lid", "1.5", "12 g", "130", "1,234", "", ""];
        let kept = send(&mut sabine, &grid, &[("12", "a", RIM), ("99", "", wrong)], &[("do_what", "keep")]).await;
        assert!(sabine.follow(&kept).await.text(".notice").contains("Only you see it"));
        let mut petra = lab.sign_in(Role::Manager).await;
        assert!(!petra.page(&format!("/projects/{}/specialists", lab.site.code)).await.text("main").contains("Pottery"), "a draft is its author's");
        let refused = send(&mut sabine, &grid, &[("12", "a", RIM), ("99", "", wrong)], &[("do_what", "submit")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let said = refused.texts("#rows li");
        let expected = [
            "Row 2, Find: There is no find 99 in this assignment.",
            "Row 2, Fabric: This must be filled in.",
            "Row 2, Part: “lid” is not among: rim, base, handle, spout, body, profile, whole vessel.",
            "Row 2, Count: “1.5” is no whole number.",
            "Row 2, Weight (g): “12 g” is no number. Write it like 12.5, without the unit.",
            "Row 2, Rim (%): 130 is outside what can be: 0 to 100.",
            "Row 2, Rim diameter (mm): “1,234” can be read in two ways. Write 1234 or 1.234.",
        ];
        assert_eq!(said, expected);
        assert_eq!(refused.count("#r2 input[aria-invalid]"), 7);
        assert_eq!(refused.count("#r1 input[aria-invalid]"), 0);
        assert!(refused.attributes("#r2 input", "value").contains(&"12 g".to_owned()), "what was typed stays");

        // 5 pieces and 41.2 g, as the register says; a row that only names its find waits
        let rows = [("12", "a", RIM), ("12", "b", BODY), ("13", "", [""; 9])];
        let submitted = send(&mut sabine, &grid, &rows, &[("do_what", "submit")]).await;
        assert_eq!(submitted.status, StatusCode::SEE_OTHER, "{}", submitted.text(".wrong"));
        let list = submitted.location();
        let page = sabine.follow(&submitted).await;
        assert!(page.text(".notice").contains("Submitted: 2 rows, 5 pieces, 41.2 g"), "{}", page.text(".notice"));
        assert!(petra.page(&list).await.text("main").contains("Together: 2 rows, 5 pieces, 41.2 g."));
        let csv = petra.get(&format!("{list}/rows.csv")).await;
        assert_eq!(csv.source().lines().nth(1), Some("12,a,Q1,jug,rim,2,12.5,15,120,,"));
        assert!(petra.page(&format!("/finds/{first}")).await.text("main").contains("a: Fabric Q1, Form jug, Part rim, Count 2, Weight 12.5 g, Rim 15 %, Rim diameter 120 mm"));

        // more than the register knows: only with a reason
        let more = ["Q1", "", "body", "4", "28.7", "", "", "", ""];
        let rows = [("12", "a", RIM), ("12", "b", more)];
        let without = send(&mut sabine, &grid, &rows, &[("do_what", "submit"), ("note", " ")]).await;
        assert_eq!(without.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(without.text("#note-error").starts_with("12: 6 pieces in the rows, 5 in the register."), "{}", without.text("#note-error"));
        let with = send(&mut sabine, &grid, &rows, &[("do_what", "submit"), ("note", "one broke in the post")]).await;
        let second = petra.page(&with.location()).await;
        assert!(second.text("main").contains("version 2") && second.text("main").contains("one broke in the post"));
        assert!(petra.page(&list).await.text("main").contains("superseded"), "the first version stays to be read");
        let none = send(&mut sabine, &grid, &[("12", "", [""; 9])], &[("do_what", "submit")]).await;
        assert!(none.text("main").contains("Nothing is filled in yet"));
    }

    async fn rows_are_reached_by_their_author_and_the_team_and_restricted_ones_with_the_clearance(lab: Lab) {
        let spit = lab.site.find("95").material("cremated_bone").restricted().with(|find| find.weight_g = Some(212.0)).add().await;
        let open = lab.site.find("96").material("animal_bone").with(|find| find.weight_g = Some(98.0)).add().await;
        let assignment = lab.site.assign_sharing(&[spit, open], Shares::ALL).await;
        let other = lab.site.another(Role::Specialist, "Maren Ash").await;
        let grid = path(assignment, "bone");
        let mut joss = lab.sign_in(Role::Specialist).await;
        let mut fields = vec![("columns", "element,weight"), ("do_what", "submit"), ("note", "the rest sieved away")];
        for (number, mass) in [("95", "200"), ("96", "98")] {
            fields.extend([("row_find", number), ("row_sub_number", ""), ("cell", "skull"), ("cell", mass)]);
        }
        let list = joss.post(&grid, &fields).await.location();
        let mut maren = lab.sign_in_as(other).await;
        for path in [grid.as_str(), &format!("{grid}/template.xlsx"), &format!("{grid}/package.zip"), &list, &format!("{list}/rows.xlsx")] {
            assert_eq!(maren.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
        let mut petra = lab.sign_in(Role::Manager).await;
        let seen = petra.page(&list).await;
        assert_eq!(seen.count("[aria-label='Rows as submitted'] tbody tr"), 1);
        assert!(seen.text("main").contains("One row of a restricted find is not shown to you"), "{}", seen.text("main"));
        assert!(seen.text("main").contains("Together: 1 row, 98 g."));
        assert!(!petra.get(&format!("{list}/rows.csv")).await.source().contains("95"));
        assert!(!seen.text("main").contains("sieved away"), "words about a restricted find");
        let report = petra.page(&format!("/projects/{}/report", lab.site.code)).await.text("main");
        assert!(report.contains("Together 1 row, 98 g."), "{report}");
        assert!(!report.contains("sieved away") && !report.contains("200"), "the report holds what is printed for all: {report}");
        lab.site.clear(Role::Manager).await;
        assert!(petra.page(&list).await.text("main").contains("Together: 2 rows, 298 g."));
        assert!(petra.page(&list).await.text("main").contains("sieved away"));
        let elsewhere = Site::named(&lab.site.db, FOREIGN).await;
        let mut stranger = lab.sign_in_as(elsewhere.person(Role::Manager)).await;
        assert_eq!(stranger.get(&list).await.status, StatusCode::NOT_FOUND);
        let mut photographer = lab.sign_in(Role::Photographer).await;
        assert_eq!(photographer.get(&list).await.status, StatusCode::FORBIDDEN);

        // when the sharing ends, what was written stays its author's
        let ended = petra.post(&format!("/assignments/{assignment}/closing"), &[("sharing", "hide")]).await;
        assert_eq!(ended.status, StatusCode::SEE_OTHER);
        assert!(joss.page(&list).await.text("main").contains("298 g"));
        assert!(joss.page(&grid).await.text("main").contains("shares no find any more"));
        assert_eq!(joss.post(&grid, &fields).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
}
