//! The state of conservation, from the working records.
use super::account::Block;
use super::register::Register;
use super::tables::{care, work};
use super::wording::{counted, whole};
use domain::stages::Stage;

/// Sentences and tables on the work done and the finds that wait.
pub fn blocks(register: &Register) -> Vec<Block> {
    let mut blocks = vec![Block::paragraph(work_done(register)), Block::table(work::by_material(register))];
    match work::holds(register) {
        Some(table) => blocks.push(Block::table(table)),
        None => blocks.push(Block::paragraph("No find is on hold.")),
    }
    match care::beyond(register) {
        Some(table) => blocks.push(Block::table(table)),
        None => blocks.push(Block::paragraph("No step beyond an agreed cleaning level is recorded.")),
    }
    blocks
}

fn work_done(register: &Register) -> String {
    let said = [
        (Stage::Xray, "X-rayed"),
        (Stage::DryClean, "cleaned dry"),
        (Stage::WetClean, "cleaned wet"),
        (Stage::Drying, "dried"),
        (Stage::Packing, "packed"),
    ];
    let said: Vec<String> = said
        .into_iter()
        .map(|(stage, verb)| (work::done_and_needed(stage, &register.finds), verb))
        .filter(|((_, needed), _)| *needed > 0)
        .map(|((done, needed), verb)| format!("{verb}, {} of {}", whole(done), whole(needed)))
        .collect();
    let finds = counted(register.finds.len(), "find", "finds");
    match said.as_slice() {
        [] => format!("No work is planned or recorded on the {finds}."),
        said => format!(
            "Of the {finds}, by closed working records and counting those that need each: {}.",
            said.join("; ")
        ),
    }
}
