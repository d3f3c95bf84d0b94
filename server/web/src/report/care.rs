//! Assessments, examinations and treatment steps of each find, for its report.
use crate::error::Answer;
use crate::filters::show_measure;
use domain::ids::{FindId, ProjectId, RecordId};
use domain::treatment::Basis;
use report::interim::{AssessmentLine, ExaminationLine, TreatmentLine};
use std::collections::HashMap;
use store::Tx;
use store::reporting::care::{self, Alteration, Assessment, Step, Used};

/// What was seen on one find and done to it.
#[derive(Default)]
pub(super) struct Care {
    pub assessed: Option<AssessmentLine>,
    pub examined: Vec<ExaminationLine>,
    pub treated: Vec<TreatmentLine>,
}

/// Of every find of a project that may be printed.
pub(super) async fn of_finds(tx: &mut Tx, project: ProjectId) -> Answer<HashMap<FindId, Care>> {
    let mut of: HashMap<FindId, Care> = HashMap::new();
    let seen = by_record(care::list_alterations(tx, project).await?, |line| line.record_id);
    for one in care::list_assessments(tx, project).await? {
        let find = one.find_id;
        // the earliest come first, so that the latest stays
        of.entry(find).or_default().assessed = Some(assessment(one, &seen));
    }
    for one in care::list_examinations(tx, project).await? {
        of.entry(one.find_id).or_default().examined.push(ExaminationLine {
            on: one.done_on,
            method: one.method,
            question: one.question,
            result: one.result,
            seen: one.seen,
        });
    }
    let used = by_record(care::list_used(tx, project).await?, |line| line.record_id);
    for step in care::list_steps(tx, project).await? {
        let find = step.find_id;
        of.entry(find).or_default().treated.push(treatment(step, &used));
    }
    Ok(of)
}

fn by_record<T>(lines: Vec<T>, record: impl Fn(&T) -> RecordId) -> HashMap<RecordId, Vec<T>> {
    let mut by: HashMap<RecordId, Vec<T>> = HashMap::new();
    for line in lines {
        by.entry(record(&line)).or_default().push(line);
    }
    by
}

fn assessment(one: Assessment, seen: &HashMap<RecordId, Vec<Alteration>>) -> AssessmentLine {
    let words = |line: &Alteration| {
        let extent = line.extent_pct.map(|pct| format!("{} %", show_measure(pct))).unwrap_or_default();
        let parts = [line.word.clone(), line.place.clone(), extent];
        parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
    };
    AssessmentLine {
        on: one.done_on,
        condition: one.condition_word,
        stability: one.stability_word,
        seen: seen.get(&one.record_id).map_or_else(Vec::new, |lines| lines.iter().map(words).collect()),
        risk: one.risk,
        recommendation: one.recommendation,
    }
}

fn treatment(step: Step, used: &HashMap<RecordId, Vec<Used>>) -> TreatmentLine {
    let mut materials: Vec<String> = step.mixture.into_iter().chain([step.materials]).collect();
    materials.extend(used.get(&step.record_id).into_iter().flatten().map(material));
    materials.retain(|words| !words.is_empty());
    materials.dedup();
    TreatmentLine {
        stage: step.stage,
        on: step.done_on,
        by: step.done_by,
        method: step.method,
        materials: materials.join(", "),
        removed: step.removed.unwrap_or_default(),
        outcome: step.outcome,
        beyond: step.beyond.unwrap_or_default(),
    }
}

fn material(used: &Used) -> String {
    let mut words = used.name.clone();
    if let (Some(percent), Ok(basis)) = (used.concentration_pct, used.basis.parse::<Basis>()) {
        words += &format!(" {} {}", show_measure(percent), basis.label());
    }
    if !used.batch.is_empty() {
        words += &format!(" (batch {})", used.batch);
    }
    words
}
