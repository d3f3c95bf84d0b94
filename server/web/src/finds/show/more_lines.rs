//! What records of some kinds say beyond the common words.
use super::record_line::RecordLine;
use crate::error::Answer;
use crate::work::test_words;
use domain::ids::RecordId;
use domain::stages::Stage;
use store::Tx;
use store::finds::Find;
use store::work::records::Record;
use store::work::spot_tests::{self, SpotTest};

/// What was read beside the records of a find.
pub(super) struct MoreLines {
    tests: Vec<SpotTest>,
}

/// Reads it, as far as there are records of such a kind.
pub(super) async fn of(tx: &mut Tx, find: &Find, records: &[Record]) -> Answer<MoreLines> {
    let tested = records.iter().any(|record| record.stage == Stage::SpotTest);
    Ok(MoreLines { tests: if tested { spot_tests::list_of_find(tx, find.id).await? } else { Vec::new() } })
}

impl MoreLines {
    /// Adds to a record what its kind says more.
    pub(super) fn add_to(&self, id: RecordId, line: &mut RecordLine) {
        if let Some(test) = self.tests.iter().find(|test| test.row.record_id == id) {
            line.lines.extend(test_words::more(test));
        }
    }
}
