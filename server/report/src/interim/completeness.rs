//! What the report lacks: owed work, and gaps that the records show by themselves.
//!
//! The gaps looked for follow the Chartered Institute for Archaeologists' toolkit for specialist reporting (checklist:
//! authors with qualification, both dates, size by count and weight); the rest is common practice, no source.
use super::account::Block;
use super::input::{Interim, OutstandingWork};
use super::register::Register;
use super::rows;
use super::tables::{Holds, Table, Tally};
use super::wording::{NONE, counted, day, sentence};
use domain::finds::number::sort_key;

/// Notes on gaps, then the list of owed work.
pub fn blocks(register: &Register) -> Vec<Block> {
    let items = gaps(register);
    let work = &register.interim.outstanding;
    if items.is_empty() && work.is_empty() {
        return vec![Block::paragraph("Nothing is listed as outstanding.")];
    }
    let mut blocks = Vec::new();
    if !items.is_empty() {
        blocks.push(Block::paragraph("The records show these gaps:"));
        blocks.push(Block::Points { items });
    }
    if !work.is_empty() {
        blocks.push(Block::table(owed(register.interim)));
    }
    blocks
}

fn gaps(register: &Register) -> Vec<String> {
    let interim = register.interim;
    let finds = &register.finds;
    let mut gaps: Vec<String> = interim.completeness.iter().map(|note| sentence(note)).collect();
    if interim.prepared_by.is_empty() {
        gaps.push("Nobody is named as having prepared this report.".into());
    }
    if interim.recorded.is_none() {
        gaps.push("The dates of recording are not stated.".into());
    }
    let authors = interim.opinions.iter().flat_map(|opinion| &opinion.authors).chain(&interim.prepared_by);
    let mut unqualified: Vec<&str> = authors
        .filter(|author| author.qualification.trim().is_empty())
        .map(|author| author.name.as_str())
        .collect();
    unqualified.sort_unstable();
    unqualified.dedup();
    if !unqualified.is_empty() {
        gaps.push(format!("No qualification is recorded for {}.", unqualified.join("; ")));
    }
    gaps.extend(Tally::of(finds.iter().copied()).gaps());
    let count = |missing: usize, has: &str, have: &str| {
        (missing > 0).then(|| {
            format!("{} {}.", counted(missing, "find", "finds"), if missing == 1 { has } else { have })
        })
    };
    let lacking = |lacks: &dyn Fn(&super::FindLine) -> bool| finds.iter().filter(|find| lacks(find)).count();
    gaps.extend(count(lacking(&|f| f.context.is_none()), "has no context", "have no context"));
    gaps.extend(count(
        lacking(&|f| f.identification.trim().is_empty()),
        "is not identified",
        "are not identified",
    ));
    gaps.extend(count(
        lacking(&|f| f.condition.is_none()),
        "has no condition recorded",
        "have no condition recorded",
    ));
    let early = interim.opinions.iter().filter(|opinion| opinion.preliminary).count();
    if early > 0 {
        let are = if early == 1 { "opinion is" } else { "opinions are" };
        gaps.push(format!("{} {are} preliminary.", super::wording::whole(early)));
    }
    let open =
        lacking(&|f| register.opinions(&f.number).len() > 1 && register.settlement(&f.number).is_none());
    gaps.extend(rows::unexplained(register));
    gaps.extend(count(
        open,
        "has several opinions and no settlement",
        "have several opinions and no settlement",
    ));
    gaps
}

/// Owed work, the most overdue first, what has no date last.
fn owed(interim: &Interim) -> Table {
    let columns = [
        ("Find", Holds::Words),
        ("What is owed", Holds::Text),
        ("By whom", Holds::Words),
        ("Due", Holds::Words),
        ("Standing", Holds::Words),
    ];
    let mut table = Table::new("Outstanding work.", &columns);
    let mut work: Vec<&OutstandingWork> = interim.outstanding.iter().collect();
    work.sort_by_cached_key(|owed| (owed.due_on.is_none(), owed.due_on, owed.find.as_deref().map(sort_key)));
    for owed in work {
        let late = owed.due_on.map(|due| (interim.reported_on - due).num_days());
        table.rows.push(vec![
            owed.find.clone().unwrap_or_else(|| NONE.into()),
            owed.what.clone(),
            owed.who.clone().unwrap_or_else(|| "nobody yet".into()),
            owed.due_on.map_or_else(|| "no date".into(), day),
            match late {
                Some(days) if days > 0 => {
                    format!("{} overdue", counted(days.unsigned_abs() as usize, "day", "days"))
                }
                Some(_) => "in time".into(),
                None => NONE.into(),
            },
        ]);
    }
    table
}
