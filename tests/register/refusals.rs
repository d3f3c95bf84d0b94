//! Files that are no register, and files that would harm: each refused with a sentence that says what to do.
use super::bytes;
use register::table::{Limits, Reading, Unreadable, read};
use std::io::{Cursor, Write};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

fn refused_within(bytes: &[u8], limits: &Limits) -> Unreadable {
    read(bytes, &Reading::default(), limits).map(|table| table.rows.len()).unwrap_err()
}

fn refused(bytes: &[u8]) -> Unreadable {
    refused_within(bytes, &Limits::default())
}

/// A packed file with those parts.
fn packed(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in parts {
        writer.start_file(*name, SimpleFileOptions::default()).unwrap();
        writer.write_all(content).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

fn workbook(sheet: &[u8]) -> Vec<u8> {
    packed(&[
        ("[Content_Types].xml", b"<Types/>"),
        ("xl/workbook.xml", b"<workbook/>"),
        ("xl/worksheets/sheet1.xml", sheet),
    ])
}

fn spreadsheet(rows: &str) -> Vec<u8> {
    let spaces = "xmlns:office='o' xmlns:table='t' xmlns:text='x'";
    let content = format!(
        "<office:document-content {spaces}><office:body><office:spreadsheet><table:table table:name='A'>{rows}\
         </table:table></office:spreadsheet></office:body></office:document-content>"
    );
    packed(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", b"<manifest:manifest/>"),
        ("content.xml", content.as_bytes()),
    ])
}

#[test]
fn an_old_excel_file_is_refused_with_what_to_do() {
    let why = refused(&bytes("western.xls"));
    assert_eq!(why, Unreadable::OldExcel);
    assert_eq!(
        why.to_string(),
        "This is a spreadsheet in the old .xls format. Open it in a spreadsheet program and save it as .xlsx, .ods or CSV."
    );
}

#[test]
fn files_protected_by_a_password_are_refused() {
    let mut compound = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1".to_vec();
    compound.resize(2_000, 0);
    compound.extend("EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes));
    assert_eq!(refused(&compound), Unreadable::Protected);
    let manifest = b"<manifest:manifest><manifest:file-entry><manifest:encryption-data/></manifest:file-entry></manifest:manifest>";
    let kind = b"application/vnd.oasis.opendocument.spreadsheet";
    let noise = vec![0x5au8; 3_000_000];
    let parts: [(&str, &[u8]); 3] =
        [("mimetype", kind), ("META-INF/manifest.xml", manifest), ("content.xml", &noise)];
    assert_eq!(refused(&packed(&parts)), Unreadable::Protected);
}

#[test]
fn what_is_no_table_is_named() {
    let named = |bytes: &[u8]| match refused(bytes) {
        Unreadable::NotATable { what, .. } => what,
        other => panic!("{other:?}"),
    };
    assert_eq!(named(&bytes("western.pdf")), "a PDF");
    assert_eq!(named(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"), "a picture");
    assert_eq!(named(b"\0\0\0\x18ftypheic"), "a picture or a film");
    assert_eq!(named(b"\r\n <html><table><tr><td>1</td></tr></table></html>"), "a web page");
    assert_eq!(named(b"<?xml version=\"1.0\"?><Workbook/>"), "an XML file");
    assert_eq!(named(b"SQLite format 3\0"), "a database");
    assert_eq!(named(b"a,b\0\n1,2\n"), "a file of a kind that is not known here");
    assert_eq!(
        named(&packed(&[("[Content_Types].xml", b"<Types/>"), ("word/document.xml", b"<d/>")])),
        "a word-processor document"
    );
    assert_eq!(named(&packed(&[("register.csv", b"a,b")])), "a packed file");
    assert_eq!(named(&packed(&[("Index/Document.iwa", b"x")])), "a Numbers document");
    let text = b"application/vnd.oasis.opendocument.text";
    assert_eq!(named(&packed(&[("mimetype", text), ("content.xml", b"<c/>")])), "a document of another kind");
    assert_eq!(refused(&packed(&[("xl/workbook.bin", b"x")])), Unreadable::BinaryExcel);
    assert_eq!((refused(b""), refused(b" \r\n")), (Unreadable::Empty, Unreadable::Empty));
}

#[test]
fn the_kind_is_told_by_content_whatever_the_name() {
    // read() takes no name at all: a workbook sent as .csv is a workbook
    assert_eq!(super::table("messy_saved.xlsx").kind, register::table::FileKind::Xlsx);
}

#[test]
fn a_damaged_workbook_is_refused() {
    let whole = bytes("messy_saved.xlsx");
    assert_eq!(refused(&whole[..whole.len() / 2]), Unreadable::Damaged);
    let whole = bytes("messy_saved.ods");
    assert_eq!(refused(&whole[..whole.len() - 40]), Unreadable::Damaged);
}

#[test]
fn a_spreadsheet_that_unpacks_to_too_much_is_refused_though_it_lies_about_its_size() {
    let limits = Limits { unpacked: 1_000_000, ..Limits::default() };
    let content = "<c/>".repeat(500_000).into_bytes();
    let honest = workbook(&content);
    assert!(honest.len() < 100_000);
    assert_eq!(refused_within(&honest, &limits), Unreadable::TooLargeUnpacked { limit: 1_000_000 });
    let mut lying = honest;
    let size = 2_000_000u32.to_le_bytes();
    let places: Vec<usize> = (0..lying.len() - 4).filter(|at| lying[*at..].starts_with(&size)).collect();
    for at in places {
        lying[at..at + 4].copy_from_slice(&9u32.to_le_bytes());
    }
    assert!(matches!(
        refused_within(&lying, &limits),
        Unreadable::TooLargeUnpacked { limit: 1_000_000 } | Unreadable::Damaged
    ));
}

#[test]
fn entities_false_counts_and_endless_texts_are_refused() {
    let odd = |bytes: &[u8]| match refused(bytes) {
        Unreadable::OddlyBuilt { part } => part,
        other => panic!("{other:?}"),
    };
    let laughs = b"<!DOCTYPE x [<!ENTITY a 'ha'><!ENTITY b '&a;&a;&a;'>]><worksheet>&b;</worksheet>";
    assert_eq!(odd(&workbook(laughs)), "entities of its own");
    assert_eq!(odd(&workbook(&vec![b'x'; 2_000_000])), "a text without end");
    let wide: Vec<u8> = "<worksheet/>".encode_utf16().flat_map(u16::to_be_bytes).collect();
    assert_eq!(odd(&workbook(&wide)), "two-byte letters");
    let strings = |count: &str| {
        let sst = format!("<sst uniqueCount{count}><si><t>a</t></si></sst>");
        packed(&[("xl/workbook.xml", b"<workbook/>"), ("xl/sharedStrings.xml", sst.as_bytes())])
    };
    for count in ["=\"99999999999\"", " = '999999999999999999999999'", &format!("{}=\"1\"", " ".repeat(100))]
    {
        assert_eq!(odd(&strings(count)), "a false count", "{count}");
    }
    let styles = "<xf/>".repeat(500_000);
    assert_eq!(
        odd(&packed(&[("xl/workbook.xml", b"<w/>"), ("xl/styles.xml", styles.as_bytes())])),
        "too many styles"
    );
}

#[test]
fn repeated_rows_and_columns_of_a_small_file_fill_no_memory() {
    let cell = "<table:table-cell office:value-type='string'><text:p>x</text:p></table:table-cell>";
    let rows = format!("<table:table-row table:number-rows-repeated='1048576'>{cell}</table:table-row>");
    assert_eq!(refused(&spreadsheet(&rows)), Unreadable::TooManyRows { limit: 200_000 });
    let wide = cell.replace("<table:table-cell ", "<table:table-cell table:number-columns-repeated='16384' ");
    let rows = format!("<table:table-row>{wide}</table:table-row>");
    assert_eq!(refused(&spreadsheet(&rows)), Unreadable::TooManyColumns { limit: 200 });
    let full = cell.replace("<table:table-cell ", "<table:table-cell table:number-columns-repeated='200' ");
    let rows = format!("<table:table-row table:number-rows-repeated='200000'>{full}</table:table-row>");
    assert_eq!(refused(&spreadsheet(&rows)), Unreadable::TooManyCells { limit: 5_000_000 });
    let empty = "<table:table-row table:number-rows-repeated='1048570'><table:table-cell table:number-columns-repeated='16384'/>\
                 </table:table-row>";
    let good = format!("<table:table-row>{cell}</table:table-row>{empty}");
    let table = read(&spreadsheet(&good), &Reading::default(), &Limits::default()).unwrap();
    assert_eq!(table.rows.len(), 1, "empty rows to the end of the sheet are what every program writes");
}

#[test]
fn each_limit_of_a_text_file_has_its_sentence() {
    let limits = Limits { bytes: 1_000_000, rows: 3, columns: 2, cell: 5, words: 1_000, ..Limits::default() };
    assert_eq!(
        refused_within(&vec![b'a'; 1_000_001], &limits),
        Unreadable::TooManyBytes { limit: 1_000_000 }
    );
    assert_eq!(refused_within(b"a\nb\nc\nd\n", &limits), Unreadable::TooManyRows { limit: 3 });
    assert_eq!(refused_within(b"a,b,c\n", &limits), Unreadable::TooManyColumns { limit: 2 });
    let long = Unreadable::TooLongCell { row: 2, column: 1, limit: 5, quoted: false };
    assert_eq!(refused_within(b"a,b\nc,defghi\n", &limits), long);
    assert_eq!(refused_within(b"a\n\"open\n", &limits), Unreadable::UnclosedQuote { row: 2, column: 0 });
    assert_eq!(
        Unreadable::UnclosedQuote { row: 2, column: 0 }.to_string(),
        "The quotation mark (\") that opens the cell in row 2, column A, is never closed. Close it or take it out."
    );
}
