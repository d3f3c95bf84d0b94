//! What lies beside the forms and pages of cleaning: the table of solvents, and what the tests of a find have shown.
use super::site_map::{self, SiteMap};
use crate::error::Answer;
use crate::filters::show_moment;
use crate::links;
use domain::solvents::{self, Solvent};
use domain::spot_tests::Carrier;
use domain::stages::Stage;
use domain::work::EffectOnOriginal;
use store::Tx;
use store::finds::Find;
use store::images::Image;
use store::work::levels;
use store::work::spot_tests::SpotTest;

/// Finds of one form whose agreed levels are told.
const MOST_AGREED: usize = 20;

/// The table, the sites and the verdict.
pub(super) struct BenchView {
    pub solvents: &'static [Solvent],
    pub caution: &'static str,
    pub carriers: &'static [Carrier],
    pub dry: &'static str,
    pub maps: Vec<SiteMap>,
    pub verdict: Verdict,
    /// Id and words of each standing test, to be ticked.
    pub to_tick: Vec<(String, String)>,
    /// The level authorised for each find, where there is one.
    pub agreed: Vec<AgreedLine>,
    /// The page of the tests so far, where there are any.
    pub tests: Option<String>,
}

/// A level that is agreed for a find.
pub(super) struct AgreedLine {
    pub number: String,
    pub href: String,
    pub level: String,
    pub keep: String,
    pub stop_point: String,
    /// Who authorised it, when, with what words.
    pub answer: String,
}

/// What the tests together allow.
#[derive(Debug, Default)]
pub(super) struct Verdict {
    /// Mixtures whose latest test stands accepted.
    pub accepted: Vec<String>,
    /// Mixtures that did harm, with the harm.
    pub barred: Vec<String>,
    /// Colour came away with any of them.
    pub painted: bool,
}

/// For the form of a stage; the tests are told where the form is about a single find.
pub(super) async fn of(tx: &mut Tx, stage: Stage, finds: &[Find]) -> Answer<BenchView> {
    let agreed = agreed(tx, stage, finds).await?;
    let with_tests = matches!(stage, Stage::SpotTest | Stage::CleaningLevel | Stage::WetClean);
    let (true, [find]) = (with_tests, finds) else {
        return Ok(BenchView { agreed, ..BenchView::empty() });
    };
    let tests = store::work::spot_tests::list_of_find(tx, find.id).await?;
    let images = store::images::list_seen(tx, find).await?;
    Ok(BenchView { agreed, ..BenchView::of(find, &images, &tests) })
}

/// The agreed levels, for whoever is about to clean.
async fn agreed(tx: &mut Tx, stage: Stage, finds: &[Find]) -> Answer<Vec<AgreedLine>> {
    let mut lines = Vec::new();
    let cleaned = if super::step_form::cleans(stage) { finds } else { &[] };
    for find in cleaned.iter().take(MOST_AGREED) {
        let Some(agreed) = levels::find_agreed(tx, find.id).await? else { continue };
        let said =
            if agreed.answer_words.is_empty() { String::new() } else { format!(": {}", agreed.answer_words) };
        let answer = agreed.answered_by.zip(agreed.answered_at);
        lines.push(AgreedLine {
            number: find.number.clone(),
            href: links::find(find.id),
            level: agreed.level,
            keep: agreed.layers_to_keep,
            stop_point: agreed.stop_point,
            answer: answer.map(|(by, at)| format!("{by}, {}{said}", show_moment(at))).unwrap_or_default(),
        });
    }
    Ok(lines)
}

impl BenchView {
    /// The table alone.
    pub(super) fn empty() -> Self {
        Self {
            solvents: solvents::all(),
            caution: solvents::CAUTION,
            carriers: Carrier::ALL,
            dry: solvents::mixture::DRY,
            maps: Vec::new(),
            verdict: Verdict::default(),
            to_tick: Vec::new(),
            agreed: Vec::new(),
            tests: None,
        }
    }

    /// With the tests of a find.
    pub(super) fn of(find: &Find, images: &[Image], tests: &[SpotTest]) -> Self {
        Self {
            maps: site_map::of(images, &find.number, tests),
            verdict: Verdict::of(tests),
            to_tick: tests.iter().filter(|test| test.row.superseded_at.is_none()).map(tick).collect(),
            tests: (!tests.is_empty()).then(|| links::spot_tests(find.id)),
            ..Self::empty()
        }
    }
}

fn tick(test: &SpotTest) -> (String, String) {
    let row = &test.row;
    let words =
        format!("Test {}: {}, {}: {}", test.number, row.mixture, row.site, test.worst_effect().label());
    (row.record_id.to_string(), words)
}

impl Verdict {
    /// The latest standing test of each mixture decides.
    pub(super) fn of(tests: &[SpotTest]) -> Self {
        let mut verdict = Self::default();
        let mut known: Vec<String> = Vec::new();
        for test in tests.iter().rev().filter(|test| test.row.superseded_at.is_none()) {
            let worst = test.worst_effect();
            verdict.painted |= worst == EffectOnOriginal::ColourTaken;
            let key = domain::solvents::key(&test.row.mixture);
            if known.contains(&key) {
                continue;
            }
            known.push(key);
            if test.stands_accepted() {
                verdict.accepted.push(test.row.mixture.clone());
            } else if worst != EffectOnOriginal::None {
                verdict.barred.push(format!(
                    "{} ({}, test {})",
                    test.row.mixture,
                    worst.label(),
                    test.number
                ));
            }
        }
        verdict.accepted.reverse();
        verdict.barred.reverse();
        verdict
    }
}
