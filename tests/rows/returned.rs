//! The template on its way out and back, filled by a spreadsheet writer that is not ours.
use super::{bag, path};
use axum::http::StatusCode;
use domain::permission::Role;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::Command;
use tests::on_both_engines;
use tests::support::Lab;

fn python() -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join(".venv/bin/python");
    if own.exists() { own } else { "python3".into() }
}

/// What openpyxl says of the template, or the template as it fills it.
fn openpyxl(template: &[u8], rows: &str) -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let (from, to) = (folder.path().join("template.xlsx"), folder.path().join("filled.xlsx"));
    std::fs::write(&from, template).unwrap();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/rows/fill.py");
    let made = Command::new(python()).arg(script).arg(&from).arg(&to).arg(rows).output().unwrap();
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    if rows == "read" { made.stdout } else { std::fs::read(&to).unwrap() }
}

on_both_engines! {
    async fn a_template_comes_back_and_is_checked_row_by_row(lab: Lab) {
        let finds = [bag(&lab.site, "12", 5, 41.2).await, bag(&lab.site, "13/2", 7, 80.0).await];
        let assignment = lab.site.assign(&finds).await;
        let grid = path(assignment, "pottery");
        let mut sabine = lab.sign_in(Role::Specialist).await;
        let template = sabine.get(&format!("{grid}/template.xlsx")).await.body;
        let seen: Value = serde_json::from_slice(&openpyxl(&template, "read")).unwrap();
        let headings = ["Find", "Sub-number", "Object", "Fabric", "Form", "Part", "Count", "Weight (g)", "Rim (%)", "Rim diameter (mm)", "Family", "Remarks"];
        assert_eq!(seen["headings"], json!(headings));
        assert_eq!(seen["rows"][1][0], json!("13/2"), "a number like a date stays a number");
        assert_eq!(seen["rows"][1][2], json!("sherds"));
        assert_eq!(seen["lists"]["Part"], json!(["rim", "base", "handle", "spout", "body", "profile", "whole vessel"]));

        let rows = json!([
            { "Find": 12, "Sub-number": "a", "Object": "read only", "Fabric": "Q1", "Part": "rim", "Count": 2, "Weight (g)": 12.5, "Shelf": "B" },
            { "Find": "12", "Sub-number": "b", "Fabric": "Q1", "Part": "foot", "Count": 3, "Weight (g)": 28.7 },
            {},
            { "Find": "14", "Fabric": "Q2", "Part": "base", "Count": 1 },
        ]);
        let filled = openpyxl(&template, &rows.to_string());
        let file = format!("{grid}/file");
        let back = sabine.upload(&file, &[], &[("file", "pottery.xlsx", &filled)]).await;
        assert_eq!(back.status, StatusCode::SEE_OTHER, "{}", back.text("main"));
        let page = sabine.follow(&back).await;
        assert!(page.text(".notice").contains("In your draft from the file: 3 rows."), "{}", page.text(".notice"));
        assert!(page.text(".notice").contains("Left out, being no column of Pottery: Shelf."), "{}", page.text(".notice"));
        let wrong = page.texts("#rows li");
        assert_eq!(wrong.len(), 3, "{wrong:?}");
        assert!(wrong[0].starts_with("Row 2, Part: “foot” is not among"));
        assert_eq!(wrong[1], "Row 3, Find: There is no find 14 in this assignment.");
        assert_eq!(wrong[2], "Row 3, Weight (g): This must be filled in.");

        // what is kept is not lost to a second file by an oversight
        let again = sabine.upload(&file, &[], &[("file", "pottery.xlsx", &filled)]).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(again.text("#file-error").starts_with("Kept here: 3 rows."), "{}", again.text("#file-error"));
        let right = json!([
            { "Find": "12", "Sub-number": "a", "Fabric": "Q1", "Part": "rim", "Count": 2, "Weight (g)": 12.5 },
            { "Find": "12", "Sub-number": "b", "Fabric": "Q1", "Part": "base", "Count": 3, "Weight (g)": 28.7 },
        ]);
        let filled = openpyxl(&template, &right.to_string());
        let back = sabine.upload(&file, &[("replace", "yes")], &[("file", "pottery.xlsx", &filled)]).await;
        assert!(sabine.follow(&back).await.text("main").contains("Every row can be submitted"));
        let page = sabine.page(&grid).await;
        let submitted = sabine.submit(&page, "form[data-draft]", &[("do_what", "submit")]).await;
        assert_eq!(submitted.status, StatusCode::SEE_OTHER, "{}", submitted.text(".wrong"));
        let taken = sabine.get(&format!("{}/rows.xlsx", submitted.location())).await.body;
        let seen: Value = serde_json::from_slice(&openpyxl(&taken, "read")).unwrap();
        assert_eq!(seen["rows"][0], json!(["12", "a", "Q1", null, "rim", 2, 12.5, null, null, null, null]));
    }

    async fn what_is_no_filled_template_is_refused_with_a_sentence(lab: Lab) {
        let assignment = lab.site.assign(&[bag(&lab.site, "12", 5, 41.2).await]).await;
        let file = format!("{}/file", path(assignment, "pottery"));
        let mut sabine = lab.sign_in(Role::Specialist).await;
        let cases: [(&[u8], &str); 4] = [
            (b"", "Choose the filled template first."),
            (b"number;words\n", "The file has no column Fabric."),
            (b"colour;shape\nred;round\n", "The file has no column Find."),
            (b"PK\x03\x04 broken", ""),
        ];
        for (bytes, words) in cases {
            let refused = sabine.upload(&file, &[], &[("file", "x.xlsx", bytes)]).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
            let said = refused.text("#file-error");
            assert!(!said.is_empty() && said.starts_with(words), "{said}");
        }
    }

    async fn a_list_too_long_for_a_page_is_worked_on_in_the_template(lab: Lab) {
        let assignment = lab.site.assign(&[bag(&lab.site, "12", 1_500, 9_000.0).await]).await;
        let grid = path(assignment, "pottery");
        let mut sabine = lab.sign_in(Role::Specialist).await;
        let mut csv = String::from("Find;Fabric;Part;Count;Weight (g)\n");
        for _ in 0..1_500 {
            csv += "12;Q1;body;1;6\n";
        }
        let back = sabine.upload(&format!("{grid}/file"), &[], &[("file", "long.csv", csv.as_bytes())]).await;
        let page = sabine.follow(&back).await;
        assert!(page.text("main").contains("1500 rows are kept here, more than a page takes"), "{}", page.text("main"));
        assert_eq!(page.count("input[name=cell]"), 0);
        let submitted = sabine.submit(&page, "form[data-draft]", &[("do_what", "submit")]).await;
        let list = sabine.follow(&submitted).await;
        assert!(list.text("main").contains("Together: 1500 rows, 1500 pieces, 9000 g."), "{}", list.text("main"));
    }
}
