//! What records of some kinds say beyond the common words.
use super::record_line::RecordLine;
use crate::error::Answer;
use crate::work::{step_words, test_words};
use domain::ids::{FindId, RecordId};
use domain::stages::Stage;
use domain::treatment::{Need, Treatment};
use store::Tx;
use store::work::levels::{self, Reasoned};
use store::work::open::{self, Open};
use store::work::records::Record;
use store::work::spot_tests::{self, SpotTest};
use store::work::treatments::{self, Beyond};

/// What was read beside the records of a find.
pub(super) struct MoreLines {
    tests: Vec<SpotTest>,
    levels: Vec<Reasoned>,
    steps: Vec<(RecordId, Treatment)>,
    beyond: Vec<Beyond>,
    open: Vec<Open>,
    /// Minutes of the standing steps together.
    minutes: i64,
}

/// Reads it, as far as there are records of such a kind.
pub(super) async fn of(tx: &mut Tx, find: FindId, records: &[Record]) -> Answer<MoreLines> {
    let has = |stage: Stage| records.iter().any(|record| record.stage == stage);
    let tested = has(Stage::SpotTest) || has(Stage::CleaningLevel);
    let tests = if tested { spot_tests::list_of_find(tx, find).await? } else { Vec::new() };
    let levels = if has(Stage::CleaningLevel) { levels::list_reasoned(tx, find).await? } else { Vec::new() };
    let steps = if records.is_empty() { Vec::new() } else { treatments::list_of_find(tx, find).await? };
    let beyond = if steps.is_empty() && records.is_empty() {
        Vec::new()
    } else {
        treatments::list_beyond(tx, find).await?
    };
    let any_open = records.iter().any(|record| !record.finished && record.superseded_at.is_none());
    let open = if any_open { open::list_of_find(tx, find).await? } else { Vec::new() };
    let stands = |id: &RecordId| records.iter().any(|r| r.id == *id && r.superseded_at.is_none());
    let standing = steps.iter().filter(|(record, _)| stands(record));
    let minutes = standing.filter_map(|(_, step)| step.minutes()).sum();
    Ok(MoreLines { tests, levels, steps, beyond, open, minutes })
}

impl MoreLines {
    /// Adds to a record what its kind says more.
    pub(super) fn add_to(&self, id: RecordId, line: &mut RecordLine) {
        if let Some(test) = self.tests.iter().find(|test| test.row.record_id == id) {
            line.lines.extend(test_words::more(test));
        }
        if let Some(level) = self.levels.iter().find(|level| level.record == id) {
            let spoken = |test: &&SpotTest| level.reasons.tests.contains(&test.row.record_id);
            let numbers: Vec<usize> = self.tests.iter().filter(spoken).map(|test| test.number).collect();
            line.lines.extend(step_words::of_level(level, &numbers));
        }
        if let Some((_, step)) = self.steps.iter().find(|(record, _)| *record == id) {
            line.lines.extend(step_words::of_step(step));
        }
        let beyond = self.beyond.iter().filter(|step| step.record_id == id);
        line.lines.extend(beyond.map(|step| ("Beyond the agreed level", step.words.clone())));
        if let Some(open) = self.open.iter().find(|open| open.id == id) {
            line.lacks = open.lacks().into_iter().map(Need::label).collect();
        }
    }

    /// Every standing step that went beyond the level, in words.
    pub(super) fn beyond(&self) -> Vec<String> {
        let words = |step: &Beyond| {
            let stage = crate::work::stage_label(&step.stage);
            format!("{stage}, {}, {}: {}", crate::filters::show_day(step.done_on), step.done_by, step.words)
        };
        self.beyond.iter().map(words).collect()
    }

    /// The working time of everybody, where any was noted.
    pub(super) fn hours(&self) -> Option<String> {
        (self.minutes > 0).then(|| step_words::hours(self.minutes))
    }
}
