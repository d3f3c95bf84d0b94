//! Ring diameters against lists of moulds: what may be said, never more.
use super::account::{Block, Section};
use super::register::Register;
use super::tables::{Holds, Table};
use super::wording::NONE;

/// The section; nothing while no rings are measured.
pub fn section(register: &Register) -> Option<Section> {
    let rings = &register.interim.rings;
    if rings.is_empty() {
        return None;
    }
    let columns = [
        ("Find", Holds::Words),
        ("Rings", Holds::Text),
        ("Compared with", Holds::Text),
        ("Finding", Holds::Text),
        ("Nearest", Holds::Text),
    ];
    let mut table = Table::new("Rings compared with moulds.", &columns);
    table.rows = rings
        .iter()
        .map(|line| {
            let nearest = if line.nearest.is_empty() { NONE.to_owned() } else { line.nearest.join("; ") };
            let measured = format!("{}. {}", line.measured, line.by);
            vec![line.find.clone(), measured, line.list.clone(), line.finding.clone(), nearest]
        })
        .collect();
    let opening = "Each find with the diameters measured last. The weights take for granted that the true mould is in the list; \
                   a find of an unlisted mould gives weights as well.";
    Some(Section::new(1, "Rings and moulds", vec![Block::paragraph(opening), Block::table(table)]))
}
