//! What specialists said and what was settled, as a report prints it.
use crate::error::Answer;
use crate::filters::show_day;
use crate::review::{dating, opinion_view};
use domain::finds::number::sort_key;
use domain::ids::FindId;
use domain::review::{Finality, Stance, Years};
use report::interim::{Author, DateGiven, DateStatement, Dissent, OpinionLine, SettlementLine};
use std::collections::HashMap;
use store::Tx;
use store::reporting::ReportFind;
use store::review::content::DateLine;
use store::review::opinions::Opinion;
use store::review::reopenings::Reopening;
use store::review::settlements::Settlement;

/// The settled date, or the only one given; none is made up where authors differ.
pub(super) fn dated(
    find: &ReportFind,
    opinions: &[Opinion],
    settlements: &[Settlement],
) -> (Option<DateStatement>, Option<String>) {
    let said: Vec<&Opinion> = opinions.iter().filter(|o| o.find_id == find.id).collect();
    let settled = settlements.iter().find(|s| s.find_id == find.id);
    let date = match (settled, said.as_slice()) {
        (Some(s), _) => statement(&s.date_words, s.date_lo, s.date_hi, ""),
        (None, [one]) => statement(&one.date_words, one.date_lo, one.date_hi, &one.date_rule),
        (None, []) => statement(&find.period, None, None, ""),
        (None, _) => None,
    };
    let parallel = match said.as_slice() {
        [one] => Some(opinion_view::parallels(one).join("; ")).filter(|p| !p.is_empty()),
        _ => None,
    };
    (date, parallel)
}

fn statement(words: &str, lo: Option<i64>, hi: Option<i64>, rule: &str) -> Option<DateStatement> {
    (!words.is_empty()).then(|| DateStatement {
        words: words.to_owned(),
        range: (lo.is_some() || hi.is_some()).then(|| dating::label(Years { lo, hi })),
        rule: Some(rule.to_owned()).filter(|r| !r.is_empty()),
    })
}

/// One submitted opinion; nothing when its find is not printed.
pub(super) fn opinion_line(o: &Opinion, numbers: &HashMap<FindId, String>) -> Option<OpinionLine> {
    let first = Author { name: o.author_name.clone(), qualification: o.qualification.clone() };
    let joint = o
        .parts
        .joint
        .iter()
        .map(|author| Author { name: author.name.clone(), qualification: author.qualification.clone() });
    let told = |words: &str| Some(words.to_owned()).filter(|words| !words.is_empty());
    Some(OpinionLine {
        find: numbers.get(&o.find_id)?.clone(),
        authors: std::iter::once(first).chain(joint).collect(),
        submitted_on: o.submitted_at.date_naive(),
        version: u32::try_from(o.version).unwrap_or(1),
        preliminary: o.finality == Finality::Preliminary,
        seen_as: o.seen_as.label(),
        entered: opinion_view::entered(o),
        identification: o.identification.clone(),
        confidence: o.confidence().map(|confidence| confidence.label().to_owned()),
        dates: o.parts.dates.chunk_by(|a, b| a.statement == b.statement).filter_map(given).collect(),
        material: told(&o.material_words),
        origin: told(&o.origin),
        parallels: opinion_view::parallels(o),
        basis: o.basis.clone(),
        negative_findings: o.negative_findings.clone(),
        significance: o.significance.clone(),
        recommendations: o.parts.recommendations.iter().map(opinion_view::advice).collect(),
        covers: o.parts.covers.iter().map(|covered| covered.number.clone()).collect(),
    })
}

/// The ranges of one statement.
fn given(lines: &[DateLine]) -> Option<DateGiven> {
    let first = lines.first()?;
    let ranges = lines.iter().map(|line| dating::weighed(line.dated().years, line.weight));
    let date = DateStatement {
        words: first.words.clone(),
        range: Some(ranges.collect::<Vec<_>>().join(" or ")),
        rule: Some(first.rule.clone()).filter(|rule| !rule.is_empty()),
    };
    Some(DateGiven { kind: opinion_view::kind_of(first.kind).into(), date })
}

/// The standing settlements, with every dissent as it was said then.
pub(super) async fn settlement_lines(
    tx: &mut Tx,
    settlements: &[Settlement],
    reopened: &[Reopening],
    numbers: &HashMap<FindId, String>,
) -> Answer<Vec<SettlementLine>> {
    let mut lines = Vec::new();
    for settlement in settlements {
        let Some(find) = numbers.get(&settlement.find_id) else { continue };
        let stances = store::review::settlements::list_stances(tx, settlement.id).await?;
        let against = stances.iter().filter(|stance| stance.stance == Stance::Dissent);
        let dissent = against.map(|stance| Dissent {
            author: Author { name: stance.author_name.clone(), qualification: stance.qualification.clone() },
            words: stance.words(),
        });
        lines.push(SettlementLine {
            find: find.clone(),
            outcome: settlement.outcome.label().into(),
            identification: settlement.identification.clone(),
            date: statement(&settlement.date_words, settlement.date_lo, settlement.date_hi, ""),
            reason: settlement.reason.clone(),
            settled_by: Author { name: settlement.settled_by.clone(), qualification: String::new() },
            settled_on: settlement.settled_at.date_naive(),
            reopened: reopened_words(reopened, settlement),
            dissent: dissent.collect(),
        });
    }
    lines.sort_by_key(|line| sort_key(&line.find));
    Ok(lines)
}

/// Why a settlement is open again, in the words it was noted with.
fn reopened_words(all: &[Reopening], settlement: &Settlement) -> Option<String> {
    let of_it = all.iter().filter(|one| one.settlement_id == settlement.id);
    let words: Vec<String> = of_it
        .map(|one| {
            format!("{}, {}", show_day(one.happened_at.date_naive()), one.said().trim_end_matches('.'))
        })
        .collect();
    (!words.is_empty()).then(|| words.join("; "))
}
