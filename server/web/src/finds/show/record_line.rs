//! A working record as the find page shows it.
use crate::filters::{show_count, show_day, show_measure};
use crate::images::Picture;
use crate::links;
use domain::stages::Stage;
use domain::work::{EffectOnOriginal, TestDecision};
use store::work::records::Record;

/// A record with its lines.
pub(super) struct RecordLine {
    pub title: &'static str,
    pub day: String,
    pub done_by: String,
    pub recorded_by: String,
    pub lines: Vec<(&'static str, String)>,
    pub pictures: Vec<Picture>,
    pub open: bool,
    /// What an open record still lacks.
    pub lacks: Vec<&'static str>,
    pub superseded: bool,
    /// Where a lead answers, when an answer is waited for and this person may give it.
    pub answer: Option<String>,
    /// The form that corrects the record.
    pub stage: Stage,
    pub id: String,
    /// The run or the box that tells of itself by this record, and what it is.
    pub told_by: Option<(String, &'static str)>,
}

impl RecordLine {
    pub(super) fn new(record: Record, may_authorise: bool) -> Self {
        let waiting = record.level_answer.as_deref() == Some("waiting")
            && record.finished
            && record.superseded_at.is_none();
        Self {
            title: record.stage.label(),
            day: show_day(record.done_on),
            done_by: record.done_by.clone(),
            recorded_by: record.recorded_by.clone(),
            pictures: Vec::new(),
            open: !record.finished,
            lacks: Vec::new(),
            superseded: record.superseded_at.is_some(),
            answer: (waiting && may_authorise).then(|| links::authorisation(record.id)),
            stage: record.stage,
            id: record.id.to_string(),
            told_by: None,
            lines: lines(record),
        }
    }
}

fn lines(r: Record) -> Vec<(&'static str, String)> {
    let grams = |mass: Option<f64>| mass.map(|g| format!("{} g", show_measure(g)));
    let effect =
        r.test_original.and_then(|code| code.parse::<EffectOnOriginal>().ok()).map(|e| e.label().to_owned());
    let decision =
        r.test_decision.and_then(|code| code.parse::<TestDecision>().ok()).map(|d| d.label().to_owned());
    let answer = r.level_answer.map(|answer| match answer.as_str() {
        "waiting" => "waits for the lead".to_owned(),
        other => other.to_owned(),
    });
    let lines = [
        ("Pieces", r.quantity.map(show_count)),
        ("Spot", r.test_site),
        ("Mixture", r.test_mixture.or(r.wet_mixture)),
        ("Time on the surface", r.test_dwell_s.map(|s| format!("{s} s"))),
        ("Effect on soiling", r.test_soiling),
        ("Effect on the original", effect),
        ("Decision", decision),
        ("Level", r.level),
        ("Layers to keep", r.layers_to_keep),
        ("Stop-point", r.stop_point),
        ("Decided by", r.decided_by),
        ("Authorisation", answer),
        ("Standing authorisation", r.standing_words),
        ("Mass at the start", grams(r.start_mass_g)),
        ("Mass at the end", grams(r.end_mass_g)),
        ("Found dry by", r.end_rule),
        ("Checked by", r.checked_by),
        ("Container", r.container),
        ("Climate aimed at", r.microclimate),
        ("Sealed", r.sealed_on.map(show_day)),
        ("Next look", r.next_check_on.map(show_day)),
        ("Method", Some(r.method)),
        ("Materials", Some(r.materials)),
        ("Outcome", Some(r.outcome)),
        ("Note", Some(r.note)),
    ];
    lines.into_iter().filter_map(|(name, words)| words.filter(|w| !w.is_empty()).map(|w| (name, w))).collect()
}
