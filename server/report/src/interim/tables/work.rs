//! What the working records say: how many finds have been through which work.
use super::super::input::{FindLine, WorkMark};
use super::super::register::Register;
use super::super::wording::{NONE, capital, counted, day, together, whole};
use super::quantities::or_none;
use super::{Holds, Table};
use domain::stages::{Stage, StageState};
use std::collections::BTreeMap;

/// The work a conservation report accounts for, in the order it is done.
const ACCOUNTED: [Stage; 9] = [
    Stage::FirstAid,
    Stage::Condition,
    Stage::Xray,
    Stage::DryClean,
    Stage::SpotTest,
    Stage::WetClean,
    Stage::Drying,
    Stage::Desalination,
    Stage::Packing,
];

/// Work by how far it has come; the four always sum to the finds asked about.
#[derive(Default, Clone, Copy)]
struct Progress {
    done: usize,
    in_hand: usize,
    waiting: usize,
    not_needed: usize,
}

impl Progress {
    fn needed(&self) -> usize {
        self.done + self.in_hand + self.waiting
    }
}

/// For one chapter: each kind of work, by how many finds have been through it and how far it went.
pub fn of_chapter(group: &str, finds: &[&FindLine]) -> Table {
    let columns = [
        ("Work", Holds::Words),
        ("Done", Holds::Figures),
        ("In hand", Holds::Figures),
        ("Waiting", Holds::Figures),
        ("Not needed", Holds::Figures),
        ("How far, by the record", Holds::Text),
    ];
    let mut table = Table::new(format!("{group}: condition and treatment, in finds."), &columns);
    for stage in ACCOUNTED {
        let progress = progress(stage, finds);
        if progress.needed() == 0 && stage != Stage::Xray {
            continue;
        }
        let counts = [progress.done, progress.in_hand, progress.waiting, progress.not_needed].map(or_none);
        let mut row = vec![capital(stage.label())];
        row.extend(counts);
        row.push(extents(stage, finds));
        table.rows.push(row);
    }
    table
}

/// For the whole project: what is done out of what is needed, by material.
pub fn by_material(register: &Register) -> Table {
    let asked: Vec<Stage> =
        ACCOUNTED.into_iter().filter(|stage| progress(*stage, &register.finds).needed() > 0).collect();
    let heads: Vec<String> = asked.iter().map(|stage| capital(stage.label())).collect();
    let mut columns = vec![("Material", Holds::Text)];
    columns.extend(heads.iter().map(|head| (head.as_str(), Holds::Figures)));
    columns.push(("On hold", Holds::Figures));
    let mut table = Table::new("Work done, of the finds that need it.", &columns);
    let row = |name: &str, finds: &[&FindLine]| {
        let mut row = vec![name.to_owned()];
        row.extend(asked.iter().map(|stage| done_of_needed(progress(*stage, finds))));
        row.push(or_none(on_hold(finds)));
        row
    };
    table.rows = register.groups().iter().map(|(name, finds)| row(name, finds)).collect();
    table.total = (table.rows.len() > 1).then(|| row("Total", &register.finds));
    table.notes.push("“3 of 5”: done for 3 of the 5 finds that need it. A dash: no find needs it.".into());
    table
}

/// Every find that waits on a hold, and why; `None` when nothing is held.
pub fn holds(register: &Register) -> Option<Table> {
    let columns = [
        ("Find", Holds::Words),
        ("Material", Holds::Words),
        ("On hold since", Holds::Words),
        ("Reason", Holds::Text),
    ];
    let mut table = Table::new("Finds on hold.", &columns);
    for find in &register.finds {
        let Some(hold) = &find.hold else { continue };
        table.rows.push(vec![
            find.number.clone(),
            find.material.clone(),
            day(hold.since),
            hold.reason.clone(),
        ]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// How many of these finds are on hold.
pub fn on_hold(finds: &[&FindLine]) -> usize {
    finds.iter().filter(|find| find.hold.is_some()).count()
}

/// How many finds have had this work done, and how many need it.
pub fn done_and_needed(stage: Stage, finds: &[&FindLine]) -> (usize, usize) {
    let progress = progress(stage, finds);
    (progress.done, progress.needed())
}

fn mark(stage: Stage, find: &FindLine) -> Option<&WorkMark> {
    find.work.iter().find(|mark| mark.stage == stage)
}

fn progress(stage: Stage, finds: &[&FindLine]) -> Progress {
    let mut progress = Progress::default();
    for find in finds {
        match mark(stage, find).map(|mark| mark.state) {
            Some(StageState::Done) => progress.done += 1,
            Some(StageState::InHand) => progress.in_hand += 1,
            Some(StageState::Waiting | StageState::Ready | StageState::Held) => progress.waiting += 1,
            Some(StageState::NotNeeded) | None => progress.not_needed += 1,
        }
    }
    progress
}

fn done_of_needed(progress: Progress) -> String {
    match progress.needed() {
        0 => NONE.to_owned(),
        needed => together(&[&whole(progress.done), "of", &whole(needed)]),
    }
}

/// The extents on record of finished work, commonest first: "surface soil off (12), slip exposed (3)".
fn extents(stage: Stage, finds: &[&FindLine]) -> String {
    let mut extents: BTreeMap<&str, usize> = BTreeMap::new();
    for mark in
        finds.iter().filter_map(|find| mark(stage, find)).filter(|mark| mark.state == StageState::Done)
    {
        if let Some(extent) = mark.extent.as_deref().map(str::trim).filter(|words| !words.is_empty()) {
            *extents.entry(extent).or_default() += 1;
        }
    }
    let mut extents: Vec<(&str, usize)> = extents.into_iter().collect();
    extents.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    extents
        .iter()
        .map(|(words, count)| format!("{words} ({})", counted(*count, "find", "finds")))
        .collect::<Vec<_>>()
        .join("; ")
}
