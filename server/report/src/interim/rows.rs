//! What specialists recorded row by row: sums, where they leave the register, and short lists whole.
use super::account::{Block, Section, credited};
use super::input::{RowsLine, WordSums};
use super::register::Register;
use super::tables::{Holds, Table};
use super::wording::{NONE, day, sentence, whole};

/// Rows of one list that are printed; a longer one stands in the records.
const MOST_PRINTED: usize = 60;

/// The lists, one section of level 2 each, under their common heading; nothing while there is none.
pub fn sections(register: &Register) -> Vec<Section> {
    let lists = &register.interim.rows;
    if lists.is_empty() {
        return Vec::new();
    }
    let opening =
        "Sums are of the rows as their authors submitted them last. Rows of restricted finds are left out.";
    let heading = Section::new(1, "Recorded row by row", vec![Block::paragraph(opening)]);
    std::iter::once(heading).chain(lists.iter().map(section)).collect()
}

/// “Bone, Dr Joss Penhallick: 95: 3 pieces in the rows, 4 in the register”, where nobody has said why.
pub fn unexplained(register: &Register) -> Vec<String> {
    let open = register.interim.rows.iter().filter(|list| list.note.trim().is_empty());
    open.flat_map(|list| list.differences.iter().map(|words| format!("{}: find {words}", title(list))))
        .collect()
}

fn title(list: &RowsLine) -> String {
    format!("{}, {}", list.discipline, list.author.name)
}

fn section(list: &RowsLine) -> Section {
    let author = credited(&list.author);
    let mut blocks = vec![Block::paragraph(format!(
        "{author}, version {}, {}. Together {}.",
        list.version,
        day(list.submitted_on),
        list.together
    ))];
    if !list.differences.is_empty() {
        blocks.push(Block::paragraph("Rows and register differ:"));
        blocks.push(Block::Points {
            items: list.differences.iter().map(|words| format!("Find {words}.")).collect(),
        });
    }
    if !list.note.trim().is_empty() {
        blocks.push(Block::paragraph(format!("The author on this: {}", sentence(&list.note))));
    }
    blocks.extend(list.by.iter().map(|by| Block::table(sums(list, by))));
    match list.rows.len() {
        0 => {}
        few if few <= MOST_PRINTED => blocks.push(Block::table(rows(list))),
        many => blocks.push(Block::paragraph(format!(
            "The {} rows stand in the records and can be taken away as a spreadsheet.",
            whole(many)
        ))),
    }
    Section::new(2, &title(list), blocks)
}

fn sums(list: &RowsLine, by: &WordSums) -> Table {
    let columns = [
        (by.column.as_str(), Holds::Text),
        ("Rows", Holds::Figures),
        ("Pieces", Holds::Figures),
        ("Mass,\u{a0}g", Holds::Figures),
    ];
    let caption = format!("{} by {}.", list.discipline, by.column.to_lowercase());
    let mut table = Table::new(caption, &columns);
    table.rows = by.lines.iter().map(|line| line.iter().map(|cell| or_none(cell)).collect()).collect();
    table
}

/// The rows whole, without columns in which nobody wrote.
fn rows(list: &RowsLine) -> Table {
    let used: Vec<usize> = (0..list.heads.len())
        .filter(|&at| list.rows.iter().any(|row| row.cells.get(at).is_some_and(|cell| !cell.is_empty())))
        .collect();
    let parts = list.rows.iter().any(|row| !row.part.is_empty());
    let mut columns = vec![("Find", Holds::Words)];
    if parts {
        columns.push(("Sub-number", Holds::Words));
    }
    columns.extend(used.iter().map(|&at| {
        let (head, numbers) = &list.heads[at];
        (head.as_str(), if *numbers { Holds::Figures } else { Holds::Text })
    }));
    let mut table = Table::new(format!("{}, row by row.", list.discipline), &columns);
    table.rows = list
        .rows
        .iter()
        .map(|row| {
            let part = parts.then(|| or_none(&row.part));
            let cells = used.iter().map(|&at| or_none(row.cells.get(at).map_or("", String::as_str)));
            std::iter::once(row.find.clone()).chain(part).chain(cells).collect()
        })
        .collect();
    table
}

fn or_none(cell: &str) -> String {
    if cell.is_empty() { NONE.to_owned() } else { cell.to_owned() }
}
