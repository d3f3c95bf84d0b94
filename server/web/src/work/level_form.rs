//! The part of the form that a cleaning level alone has: what was asked, on what evidence, who was consulted.
use crate::form::Errors;
use domain::ids::RecordId;
use store::work::levels::Reasons;
use store::work::spot_tests::SpotTest;

/// As typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct LevelForm {
    pub question: String,
    pub options: String,
    pub evidence: String,
    pub consulted: String,
    /// Spot tests that speak for it.
    pub test: Vec<String>,
}

impl LevelForm {
    /// A level that is to be corrected.
    pub(super) fn of(reasons: &Reasons) -> Self {
        Self {
            question: reasons.question.clone(),
            options: reasons.options.clone(),
            evidence: reasons.evidence.clone(),
            consulted: reasons.consulted.clone(),
            test: reasons.tests.iter().map(ToString::to_string).collect(),
        }
    }

    /// A new level, every standing test of the find ticked.
    pub(super) fn with_tests(tests: &[SpotTest]) -> Self {
        let standing = tests.iter().filter(|test| test.row.superseded_at.is_none());
        Self { test: standing.map(|test| test.row.record_id.to_string()).collect(), ..Self::default() }
    }

    /// The reasons; of the tests ticked only those that are of these finds.
    pub(super) fn parse(&self, tests: &[RecordId], errors: &mut Errors) -> Reasons {
        let mut ticked: Vec<RecordId> = self.test.iter().filter_map(|id| id.parse().ok()).collect();
        ticked.retain(|id| tests.contains(id));
        ticked.dedup();
        Reasons {
            question: errors.text("question", &self.question),
            options: errors.text("options", &self.options),
            evidence: errors.text("evidence", &self.evidence),
            consulted: errors.line("consulted", &self.consulted),
            tests: ticked,
        }
    }
}
