//! How much of what, from where, and how far it has come.
use super::super::input::FindLine;
use super::super::register::Register;
use super::super::wording::{NONE, capital, listed, whole};
use super::{Holds, Table, Tally, weight_cells};
use domain::finds::number::sort_key;
use domain::stages::Headline;
use std::collections::BTreeMap;

/// Rows of any table that ends in finds, pieces and grams: what each row is called, and what it counts.
type Counted = Vec<(Vec<String>, Tally)>;

/// Finds, pieces and weight of each material group, and how many finds stand at each headline stage.
pub fn by_material_and_stage(register: &Register) -> Table {
    let mut columns = vec![
        ("Material", Holds::Text),
        ("Finds", Holds::Figures),
        ("Pieces", Holds::Figures),
        ("Weight,\u{a0}g", Holds::Figures),
    ];
    let heads: Vec<String> = Headline::ALL.iter().map(|headline| capital(headline.label())).collect();
    columns.extend(heads.iter().map(|head| (head.as_str(), Holds::Figures)));
    let mut table = Table::new("Finds by material and by the stage they stand at.", &columns);
    let groups = register.groups();
    let rows =
        groups.iter().map(|(name, finds)| (vec![(*name).to_owned()], Tally::of(finds.iter().copied())));
    fill(&mut table, rows.collect());
    for (row, (_, finds)) in table.rows.iter_mut().zip(&groups) {
        row.extend(stage_cells(finds));
    }
    if let Some(total) = &mut table.total {
        total.extend(stage_cells(&register.finds));
    }
    table.notes.insert(0, "Stages count finds, each at the first stage it has still to finish.".into());
    table
}

/// Finds, pieces and weight of each phase.
pub fn by_phase(register: &Register) -> Table {
    let columns = [
        ("Phase", Holds::Words),
        ("Contexts", Holds::Figures),
        ("Finds", Holds::Figures),
        ("Pieces", Holds::Figures),
        ("Weight,\u{a0}g", Holds::Figures),
    ];
    let mut phases: BTreeMap<(bool, String, &str), Vec<&FindLine>> = BTreeMap::new();
    for find in &register.finds {
        let phase = register.phase(find);
        let key = (phase.is_none(), phase.map(sort_key).unwrap_or_default(), phase.unwrap_or("Not phased"));
        phases.entry(key).or_default().push(find);
    }
    let row = |name: &str, finds: &[&FindLine]| {
        (vec![name.to_owned(), or_none(register.count_contexts(finds))], Tally::of(finds.iter().copied()))
    };
    let mut table = Table::new("Finds by phase.", &columns);
    fill(&mut table, phases.iter().map(|((_, _, name), finds)| row(name, finds)).collect());
    if let Some(total) = &mut table.total {
        total[1] = or_none(register.count_contexts(&register.finds));
    }
    table
}

/// Finds, pieces and weight of each context, with its phase and the materials it gave.
pub fn by_context(register: &Register) -> Table {
    let columns = [
        ("Context", Holds::Words),
        ("Phase", Holds::Words),
        ("Thought to be", Holds::Text),
        ("Materials", Holds::Text),
        ("Finds", Holds::Figures),
        ("Pieces", Holds::Figures),
        ("Weight,\u{a0}g", Holds::Figures),
    ];
    let groups = register.groups();
    let mut table = Table::new("Finds by context.", &columns);
    let contexts = register.by_context(&register.finds);
    let rows = contexts.iter().map(|(number, finds)| {
        let interpretation =
            number.and_then(|n| register.context(n)).map(|context| context.interpretation.trim());
        let materials: Vec<String> = groups
            .iter()
            .filter(|(group, _)| finds.iter().any(|find| find.group == *group))
            .map(|(group, _)| group.to_lowercase())
            .collect();
        let interpretation = interpretation.filter(|words| !words.is_empty()).unwrap_or(NONE);
        let [number, phase] = context_cells(register, *number);
        (vec![number, phase, interpretation.to_owned(), listed(&materials)], Tally::of(finds.iter().copied()))
    });
    fill(&mut table, rows.collect());
    table
}

/// Count and weight by context of the finds of one chapter.
pub fn assemblage(register: &Register, group: &str, finds: &[&FindLine]) -> Table {
    let columns = [
        ("Context", Holds::Words),
        ("Phase", Holds::Words),
        ("Identified as", Holds::Text),
        ("Finds", Holds::Figures),
        ("Pieces", Holds::Figures),
        ("Weight,\u{a0}g", Holds::Figures),
    ];
    let mut table = Table::new(format!("{group} by context."), &columns);
    let contexts = register.by_context(finds);
    let rows = contexts.iter().map(|(number, finds)| {
        let [number, phase] = context_cells(register, *number);
        (vec![number, phase, identified_as(finds)], Tally::of(finds.iter().copied()))
    });
    fill(&mut table, rows.collect());
    table
}

/// What finds are thought to be, commonest first, with how many of each: "nail (3), hinge".
pub fn identified_as(finds: &[&FindLine]) -> String {
    let mut kinds: BTreeMap<String, (&str, usize)> = BTreeMap::new();
    for find in finds {
        let words = find.identification.trim();
        let words = if words.is_empty() { "not identified" } else { words };
        kinds.entry(words.to_lowercase()).or_insert((words, 0)).1 += 1;
    }
    let mut kinds: Vec<(&str, usize)> = kinds.into_values().collect();
    kinds.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let kinds: Vec<String> = kinds
        .iter()
        .map(
            |(words, count)| {
                if *count == 1 { (*words).to_owned() } else { format!("{words} ({})", whole(*count)) }
            },
        )
        .collect();
    kinds.join(", ")
}

fn context_cells(register: &Register, number: Option<&str>) -> [String; 2] {
    let phase =
        number.and_then(|number| register.context(number)).and_then(|context| context.phase.as_deref());
    [number.unwrap_or("No context").to_owned(), phase.unwrap_or(NONE).to_owned()]
}

fn stage_cells(finds: &[&FindLine]) -> Vec<String> {
    let at = |headline: Headline| finds.iter().filter(|find| find.stage.headline() == headline).count();
    Headline::ALL.iter().map(|headline| or_none(at(*headline))).collect()
}

/// A count for a cell; a dash for none, so that the eye finds the others.
pub fn or_none(count: usize) -> String {
    if count == 0 { NONE.to_owned() } else { whole(count) }
}

/// Appends finds, pieces and weight to the named rows, and a total row when there is more than one.
fn fill(table: &mut Table, rows: Counted) {
    let mut sum = Tally::default();
    for (_, tally) in &rows {
        sum.finds += tally.finds;
        sum.pieces += tally.pieces;
        sum.uncounted += tally.uncounted;
        sum.weight_cg += tally.weight_cg;
        sum.unweighed += tally.unweighed;
    }
    let names = rows.first().map_or(0, |(names, _)| names.len());
    let tallies: Vec<Tally> = rows.iter().map(|(_, tally)| *tally).chain([sum]).collect();
    let weights = weight_cells(&tallies.iter().map(Tally::weight).collect::<Vec<_>>());
    let total = (vec!["Total".to_owned(); names.min(1)], sum);
    let mut filled: Vec<Vec<String>> = rows
        .into_iter()
        .chain([total])
        .zip(weights)
        .map(|((mut row, tally), weight)| {
            row.resize(names, String::new());
            row.extend([whole(tally.finds), tally.pieces_cell(), weight]);
            row
        })
        .collect();
    table.total = filled.pop().filter(|_| filled.len() > 1);
    table.rows = filled;
    table.notes.extend(sum.gaps());
}
