//! What assessments, examinations and treatment steps of a material say, each find or record counted once.
use super::super::input::{ExaminationLine, FindLine, TreatmentLine};
use super::super::register::Register;
use super::super::wording::{capital, counted, day, sentence};
use super::quantities::or_none;
use super::{Holds, Table};
use domain::examination::{Method, Verdict};
use domain::stages::Stage;
use std::collections::{BTreeMap, BTreeSet};

/// Wordings of one cell; what is rarer is counted together.
const MOST_WORDINGS: usize = 5;

/// The finds of a chapter by condition, with stability and what was seen; `None` where nothing is assessed.
pub fn condition(group: &str, finds: &[&FindLine]) -> Option<Table> {
    let columns = [
        ("Condition", Holds::Words),
        ("Finds", Holds::Figures),
        ("Stability", Holds::Text),
        ("Seen most often", Holds::Text),
    ];
    let mut by_word: BTreeMap<&str, Vec<&FindLine>> = BTreeMap::new();
    let mut left = 0;
    for find in finds {
        match &find.assessed {
            Some(assessed) => by_word.entry(assessed.condition.as_str()).or_default().push(find),
            None => left += 1,
        }
    }
    if by_word.is_empty() {
        return None;
    }
    let mut table = Table::new(format!("{group}: condition at the latest assessment, in finds."), &columns);
    let mut words: Vec<(&str, Vec<&FindLine>)> = by_word.into_iter().collect();
    words.sort_by_key(|(_, of_it)| std::cmp::Reverse(of_it.len()));
    for (word, of_it) in words {
        let assessed = || of_it.iter().filter_map(|find| find.assessed.as_ref());
        let seen = assessed().flat_map(|one| {
            let once: BTreeSet<&str> = one.seen.iter().map(|seen| first_words(seen)).collect();
            once.into_iter().collect::<Vec<_>>()
        });
        table.rows.push(vec![
            if word.is_empty() { "not said".to_owned() } else { word.to_owned() },
            or_none(of_it.len()),
            tallied(assessed().map(|one| one.stability.as_str()), "find", "finds"),
            tallied(seen, "find", "finds"),
        ]);
    }
    if left > 0 {
        table.rows.push(vec!["not assessed".into(), or_none(left), String::new(), String::new()]);
    }
    table.total = Some(vec!["Total".into(), or_none(finds.len()), String::new(), String::new()]);
    table.notes.push("Words of the project’s own scales; each find is given in the catalogue.".into());
    Some(table)
}

/// The examinations of a chapter by method and result; `None` where there is none.
pub fn examinations(group: &str, finds: &[&FindLine]) -> Option<Table> {
    let columns = [
        ("Examined by", Holds::Words),
        ("Finds", Holds::Figures),
        ("Positive", Holds::Figures),
        ("Negative", Holds::Figures),
        ("Inconclusive", Holds::Figures),
        ("Not possible", Holds::Figures),
        ("Asked", Holds::Text),
    ];
    let mut table = Table::new(format!("{group}: examinations by their results."), &columns);
    for method in Method::ALL {
        let of_it = |find: &&&FindLine| find.examined.iter().any(|one| one.method == *method);
        let all: Vec<&ExaminationLine> =
            finds.iter().flat_map(|find| &find.examined).filter(|one| one.method == *method).collect();
        if all.is_empty() {
            continue;
        }
        let mut row = vec![capital(method.label()), or_none(finds.iter().filter(of_it).count())];
        for verdict in [Verdict::Positive, Verdict::Negative, Verdict::Inconclusive, Verdict::NotPossible] {
            row.push(or_none(all.iter().filter(|one| one.result == verdict).count()));
        }
        row.push(tallied(all.iter().map(|one| one.question.as_str()), "time", "times"));
        table.rows.push(row);
    }
    table.notes.push("One find and one question count once; a negative result is a result.".into());
    (!table.rows.is_empty()).then_some(table)
}

/// The treatment steps of a chapter by kind; `None` where there is none.
pub fn treatments(group: &str, finds: &[&FindLine]) -> Option<Table> {
    let columns = [
        ("Treatment", Holds::Words),
        ("Finds", Holds::Figures),
        ("Steps", Holds::Figures),
        ("How", Holds::Text),
        ("With", Holds::Text),
        ("Removed", Holds::Text),
    ];
    let mut table = Table::new(format!("{group}: treatment by its closed records."), &columns);
    for stage in [Stage::DryClean, Stage::WetClean, Stage::Desalination, Stage::Drying] {
        let of_it = |find: &&&FindLine| find.treated.iter().any(|step| step.stage == stage);
        let steps: Vec<&TreatmentLine> =
            finds.iter().flat_map(|find| &find.treated).filter(|step| step.stage == stage).collect();
        if steps.is_empty() {
            continue;
        }
        let told = |words: fn(&TreatmentLine) -> &str| {
            tallied(steps.iter().map(|step| words(step)), "time", "times")
        };
        table.rows.push(vec![
            capital(stage.label()),
            or_none(finds.iter().filter(of_it).count()),
            or_none(steps.len()),
            told(|step| &step.method),
            told(|step| &step.materials),
            told(|step| &step.removed),
        ]);
    }
    table.notes.push("A step on several finds together counts once for each.".into());
    (!table.rows.is_empty()).then_some(table)
}

/// Every step of the project that went beyond the level agreed; `None` where there is none.
pub fn beyond(register: &Register) -> Option<Table> {
    let columns = [
        ("Find", Holds::Words),
        ("Step", Holds::Words),
        ("Day", Holds::Words),
        ("By", Holds::Words),
        ("In what way", Holds::Text),
    ];
    let mut table = Table::new("Steps beyond the agreed cleaning level.", &columns);
    for find in &register.finds {
        for step in find.treated.iter().filter(|step| !step.beyond.is_empty()) {
            table.rows.push(vec![
                find.number.clone(),
                capital(step.stage.label()),
                day(step.on),
                step.by.clone(),
                sentence(&step.beyond),
            ]);
        }
    }
    (!table.rows.is_empty()).then_some(table)
}

/// What was seen without where and how far: "crack, rim, 5 %" is a crack.
fn first_words(seen: &str) -> &str {
    seen.split(',').next().unwrap_or(seen).trim()
}

/// Wordings with how often each stands, the commonest first.
fn tallied<'a>(words: impl Iterator<Item = &'a str>, one: &str, many: &str) -> String {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for words in words.map(str::trim).filter(|words| !words.is_empty()) {
        *counts.entry(words).or_default() += 1;
    }
    let mut counts: Vec<(&str, usize)> = counts.into_iter().collect();
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let rest = counts.split_off(counts.len().min(MOST_WORDINGS));
    let mut said: Vec<String> =
        counts.iter().map(|(words, count)| format!("{words} ({})", counted(*count, one, many))).collect();
    if !rest.is_empty() {
        let times = rest.iter().map(|(_, count)| count).sum();
        said.push(format!("{} ({})", counted(rest.len(), "other", "others"), counted(times, one, many)));
    }
    said.join("; ")
}
