//! The list taken away: the spreadsheet of a filter against its text, and both against what was registered.
use axum::http::{StatusCode, header};
use calamine::{Data, Reader, Xlsx};
use chrono::NaiveDate;
use domain::permission::Role;
use std::io::Cursor;
use tests::on_both_engines;
use tests::support::Lab;
use tests::support::http::url_encoded;
use tests::support::site::day;
use web::links;

/// Number, object, description, pieces, mass in grams.
const IRON: [(&str, &str, &str, i32, Option<f64>); 3] = [
    ("61", "nails", "clenched, heads gone", 40, Some(612.5)),
    ("62", "key", "barrel key; bit missing", 1, Some(30.0)),
    ("63", "strap", "two holes", 1, None),
];
/// Columns of the list, counted from 0.
const QUANTITY: u32 = 6;
const MASS: u32 = 7;
const SINCE: u32 = 10;

async fn register(lab: &Lab) {
    let trench = lab.site.context("214").await;
    for (number, object, words, pieces, mass) in IRON {
        let find =
            lab.site.find(number).material("iron").object(object).description(words).in_context(trench);
        find.with(|f| (f.quantity, f.bulk, f.weight_g) = (i64::from(pieces), pieces > 1, mass)).add().await;
    }
    lab.site.find("64").material("glass").object("beaker").in_context(trench).add().await;
    lab.site.find("65").material("iron").object("blade").restricted().in_context(trench).add().await;
    lab.site.find("66").material("iron").object("hinge").add().await;
}

/// The cells of a line as RFC 4180, section 2, parts them; no cell here holds a quotation mark of its own.
fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            _ => cells.last_mut().unwrap().push(letter),
        }
    }
    cells
}

on_both_engines! {
    async fn a_list_that_fits_its_page_says_how_many_finds_it_has(lab: Lab) {
        register(&lab).await;
        for number in 100..149 {
            lab.site.find(&number.to_string()).material("glass").add().await;
        }
        let mut petra = lab.sign_in(Role::Manager).await;
        let list = links::finds(lab.site.code);
        assert_eq!(petra.page(&format!("{list}?material=iron")).await.text("nav.pager"), "4 finds in all", "the restricted one is not counted");
        assert_eq!(petra.page(&format!("{list}?q=key")).await.text("nav.pager"), "1 find in all");
        assert_eq!(petra.page(&format!("{list}?material=glass")).await.text("nav.pager"), "50 finds in all");
        let first = petra.page(&list).await;
        assert_eq!(first.text("nav.pager"), "Next 50");
        let next = first.attributes("nav.pager a", "href").remove(0);
        assert_eq!(petra.page(&next).await.text("nav.pager").split_whitespace().collect::<Vec<_>>().join(" "), "First page The last 4");
    }
}

on_both_engines! {
    async fn on_paper_a_page_says_its_project_if_it_has_one_and_who_printed_it_when(lab: Lab) {
        let mut petra = lab.sign_in(Role::Manager).await;
        let of_all = format!("Printed by {}, 15 Sep 2031, 12:00", Role::Manager.label());
        assert_eq!(petra.page(links::TODAY).await.text(".on-paper"), of_all);
        let of_one = of_all.replace("Printed", &format!("{0} Site {0}, printed", lab.site.code));
        assert_eq!(petra.page(&links::finds(lab.site.code)).await.text(".on-paper"), of_one);
    }
}

on_both_engines! {
    async fn a_list_says_on_paper_what_it_lists_and_in_which_order(lab: Lab) {
        register(&lab).await;
        let shelf = lab.site.place("Shelf 3").await;
        for number in 100..102 {
            lab.site.find(&number.to_string()).material("glass").object("bead").at_place(shelf).add().await;
        }
        let mut petra = lab.sign_in(Role::Manager).await;
        let list = links::finds(lab.site.code);
        let query = format!("q=bead&headline=recovery&stage=first_aid&material=glass&place={shelf}&kind=single&sort=waiting");
        let said = "Finds: with “bead”; headline stage recovery; stage first-aid packing; material Glass; place Shelf 3; \
                    registered singly; longest at their stage first";
        let page = petra.page(&format!("{list}?{query}")).await;
        assert_eq!(page.texts(".on-paper")[1], said);
        assert_eq!(page.text("table.list caption"), said, "for listeners too");
        let bare = petra.page(&list).await;
        assert_eq!(bare.texts(".on-paper")[1], "Finds");
    }
}

on_both_engines! {
    async fn the_spreadsheet_of_a_filter_holds_what_its_text_and_the_register_hold(lab: Lab) {
        register(&lab).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let asked = url_encoded(&[("material", "iron"), ("context", "214")]);
        let book = odile.get(&format!("{}?{asked}", links::finds_file(lab.site.code, "xlsx"))).await;
        assert_eq!(book.status, StatusCode::OK);
        let name = book.headers[header::CONTENT_DISPOSITION].to_str().unwrap();
        assert!(name.starts_with("attachment") && name.contains("finds.xlsx"), "{name}");
        let mut book: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(book.body)).unwrap();
        let sheet = book.worksheet_range("Finds").unwrap();
        let text = odile.get(&format!("{}?{asked}", links::finds_file(lab.site.code, "csv"))).await;
        let lines: Vec<Vec<String>> = text.source().lines().map(cells).collect();
        assert_eq!((sheet.height(), lines.len()), (4, 4), "the head and three finds");

        for (row, line) in (0_u32..).zip(&lines) {
            for (column, cell) in (0_u32..).zip(line) {
                let kept = sheet.get_value((row, column)).map(ToString::to_string).unwrap_or_default();
                if row > 0 && column == SINCE {
                    assert_eq!(*cell, "2031-09-15", "they were registered at noon that day");
                    // a spreadsheet counts days, 1 being 1 January 1900 and 1900 taken for a leap year (ECMA-376-1, 18.17.4.1)
                    let begin = NaiveDate::from_ymd_opt(1899, 12, 30).unwrap();
                    assert_eq!(kept, (day(9, 15) - begin).num_days().to_string());
                } else {
                    assert_eq!(kept, *cell, "row {row}, column {column}");
                }
            }
        }
        for (row, (number, object, words, pieces, mass)) in (1_u32..).zip(IRON) {
            let text = |column: u32| sheet.get_value((row, column)).map(ToString::to_string).unwrap_or_default();
            assert_eq!([text(0), text(2), text(3), text(5)], [number, object, words, "214"]);
            assert_eq!(sheet.get_value((row, QUANTITY)), Some(&Data::Float(f64::from(pieces))), "a number, not a text");
            assert_eq!(sheet.get_value((row, MASS)), Some(&mass.map_or(Data::Empty, Data::Float)), "{number}");
        }
    }

    async fn a_filter_that_means_nothing_takes_nothing_away_rather_than_everything(lab: Lab) {
        register(&lab).await;
        let mut odile = lab.sign_in(Role::Conservator).await;
        let asked = url_encoded(&[("context", "no such context")]);
        let book = odile.get(&format!("{}?{asked}", links::finds_file(lab.site.code, "xlsx"))).await;
        assert_eq!(book.status, StatusCode::OK);
        let mut book: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(book.body)).unwrap();
        assert_eq!(book.worksheet_range("Finds").unwrap().height(), 1, "the head alone");
        let text = odile.get(&format!("{}?{asked}", links::finds_file(lab.site.code, "csv"))).await;
        assert!(text.source().lines().count() <= 1, "{}", text.source());
    }
}
