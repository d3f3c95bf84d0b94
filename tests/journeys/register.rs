//! A unit's own registers come in: as messy text first, then as a spreadsheet with corrections.
use super::{as_person, lay_down};
use domain::permission::Role;
use rust_xlsxwriter::Workbook;
use tests::browser::Browser;
use tests::support::Lab;

/// A title line, decimal commas, a misspelt material, a context that does not exist yet, a column only this unit names so.
const MESSY: &str = "Vessenholt Quay, small finds;;;;;;\n;;;;;;\nSF No;Ctx;Material;Object;Wt (g);Date found;Tub\n\
    1;214;Iron;nail;12,5;03/05/2031;Box 7\n2;215;Fe;knife;30,0;14/05/2031;Box 7\n 3 ;214;Iorn;key;44,1;31/05/2031;Box 7\n";

async fn bring(browser: &Browser, lab: &Lab, name: &str, bytes: &[u8]) {
    browser.go("Finds").await;
    browser.follow("Import a register").await;
    browser.assert_page("Import a register").await;
    browser.attach("File", &[lay_down(lab, name, bytes)]).await;
    browser.press("Read the file").await;
    browser.assert_page(name).await;
}

/// The second sheet of a workbook, as a spreadsheet program keeps it: numbers as numbers, dates as dates.
fn workbook() -> Vec<u8> {
    let mut book = Workbook::new();
    book.add_worksheet().set_name("Notes").unwrap().write(0, 0, "Checked by B. Lisle-Okoro").unwrap();
    let sheet = book.add_worksheet().set_name("Finds").unwrap();
    for (column, name) in ["SF No", "Ctx", "Material", "Object", "Wt (g)"].iter().enumerate() {
        sheet.write(0, u16::try_from(column).unwrap(), *name).unwrap();
    }
    let rows = [
        (1.0, "Iron", "nail", 12.5),
        (2.0, "Iron", "knife, whittle tang", 30.0),
        (4.0, "Glass", "beaker", 3.25),
    ];
    for (row, (number, material, object, mass)) in (1..).zip(rows) {
        sheet.write(row, 0, number).unwrap();
        sheet.write(row, 1, 214.0).unwrap();
        sheet.write(row, 2, material).unwrap();
        sheet.write(row, 3, object).unwrap();
        sheet.write(row, 4, mass).unwrap();
    }
    book.save_to_buffer().unwrap()
}

at_both_widths! {
    async fn a_messy_text_is_matched_mended_applied_and_undone(lab: Lab, browser: &Browser) {
        lab.site.context("214").await;
        as_person(&lab, browser, lab.site.person(Role::FindsOfficer)).await;
        bring(browser, &lab, "finds.csv", MESSY.as_bytes()).await;
        browser.assert_says("Iorn").await;
        browser.assert_says("There is no context 215 in this project").await;
        browser.assert_silent("Import all").await;
        browser.choose("“Iorn” in 1 row", "Iron").await;
        browser.choose("G (Tub)", "Place").await;
        browser.press("Try again with these choices").await;
        browser.assert_says("There is no place “Box 7” in this project").await;
        browser.tick("Make the contexts that are missing").await;
        browser.tick("Make the places that are missing").await;
        browser.press("Try again with these choices").await;
        browser.assert_says("3 new").await;
        browser.assert_page("finds.csv").await;
        browser.press("Import all 3 rows").await;
        browser.assert_says("3 added, 0 changed").await;
        browser.assert_page("finds.csv").await;
        browser.go("Finds").await;
        browser.assert_page("Finds").await;
        browser.follow("3").await;
        browser.assert_page("3 key").await;
        browser.assert_says("44.1").await;
        browser.assert_says("Box 7").await;
        browser.go("Finds").await;
        browser.follow("Import a register").await;
        browser.follow("finds.csv").await;
        browser.press("Undo this import").await;
        browser.assert_says("the finds are as they were before").await;
        browser.go("Finds").await;
        browser.assert_says("No finds yet").await;
        browser.assert_page("Finds").await;
    }

    async fn a_spreadsheet_updates_by_number_and_can_be_undone(lab: Lab, browser: &Browser) {
        let trench = lab.site.context("214").await;
        for (number, object, mass) in [("1", "nail", 12.5), ("2", "knife", 30.0)] {
            let find = lab.site.find(number).material("iron").object(object).in_context(trench);
            find.with(|f| (f.weight_g, f.material_words) = (Some(mass), "Iron".into())).add().await;
        }
        as_person(&lab, browser, lab.site.person(Role::FindsOfficer)).await;
        bring(browser, &lab, "checked.xlsx", &workbook()).await;
        browser.choose("Sheet", "Finds").await;
        browser.press("Try again with these choices").await;
        browser.assert_says("3 rows read: 1 new, 1 changed, 1 as they are").await;
        browser.assert_says("1 record is there already and changes").await;
        browser.assert_says("knife, whittle tang").await;
        browser.assert_page("checked.xlsx").await;
        browser.press("Import all 3 rows").await;
        browser.assert_says("1 added, 1 changed").await;
        browser.go("Finds").await;
        browser.assert_says("knife, whittle tang").await;
        browser.assert_says("beaker").await;

        bring(browser, &lab, "again.xlsx", &workbook()).await;
        browser.choose("Sheet", "Finds").await;
        browser.press("Try again with these choices").await;
        browser.assert_says("0 new, 0 changed, 3 as they are").await;
        browser.go("Finds").await;
        browser.follow("Import a register").await;
        browser.assert_says("not imported yet").await;
        browser.follow("checked.xlsx").await;
        browser.press("Undo this import").await;
        browser.assert_says("Undone").await;
        browser.go("Finds").await;
        browser.assert_silent("whittle tang").await;
        browser.assert_silent("beaker").await;
    }
}
