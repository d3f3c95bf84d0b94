//! Which way a bound counts when it does not say so itself.
use super::bound::{Bound, Core};
use super::grammar::Statement;
use super::refusal::Refusal;
use super::token::Era;
use super::{Settings, span, wording};

/// Where the bound stands: its clause and its place in it.
type Place = (usize, usize);

/// Gives every bound its era; returns the steps taken, in words.
///
/// In this order: an era written before the first of a range holds for the rest ("AD 43–70"); one written behind the
/// last holds for those before it ("3rd–1st century BC"); the era of the bound before; AD. Where BC and AD would both
/// make sense, the phrase is refused.
pub(super) fn settle(statement: &mut Statement, settings: &Settings) -> Result<Vec<String>, Refusal> {
    let mut steps = Vec::new();
    let places: Vec<Place> = statement
        .clauses
        .iter()
        .enumerate()
        .flat_map(|(clause, one)| (0..one.bounds.len()).map(move |bound| (clause, bound)))
        .collect();
    for at in 0..places.len() {
        let bound = bound(statement, places[at]);
        if bound.era.is_some() || !counts(bound) {
            continue;
        }
        let era = era_of(statement, &places, at, settings)?;
        if era.is_none() && steps.is_empty() {
            steps.push("No era is written: read as AD.".to_owned());
        }
        let (clause, place) = places[at];
        statement.clauses[clause].bounds[place].era = Some(era.unwrap_or(Era::Ad));
    }
    Ok(steps)
}

fn bound(statement: &Statement, place: Place) -> &Bound {
    &statement.clauses[place.0].bounds[place.1]
}

fn counts(bound: &Bound) -> bool {
    !matches!(bound.core, Some(Core::Period(_) | Core::TurnOfEra) | None)
}

/// The era that the neighbours lend; `None` if none is written anywhere near.
fn era_of(
    statement: &Statement,
    places: &[Place],
    at: usize,
    settings: &Settings,
) -> Result<Option<Era>, Refusal> {
    let before: Vec<Place> =
        places[..at].iter().copied().filter(|place| counts(bound(statement, *place))).collect();
    let previous = before.last().map(|place| (*place, bound(statement, *place)));
    if let Some((place, one)) = previous
        && place.0 == places[at].0
        && one.era_leads
    {
        return Ok(one.era);
    }
    let behind = places[at + 1..].iter().map(|place| bound(statement, *place)).find(|one| one.era.is_some());
    if let Some(one) = behind
        && !(one.era_leads && one.era == Some(Era::Ad))
    {
        return Ok(one.era);
    }
    if let Some(one) = behind
        && matches!(bound(statement, places[at]).core, Some(Core::Year { .. }))
    {
        return Err(unsaid(bound(statement, places[at]), one));
    }
    match previous {
        Some((place, one)) if one.era == Some(Era::Bc) => {
            let own = bound(statement, places[at]);
            after_bc(one, own, place.0 == places[at].0, settings).map(Some)
        }
        Some((_, one)) => Ok(one.era),
        None => Ok(None),
    }
}

/// "50–AD 100": the first year may be BC or AD.
fn unsaid(own: &Bound, next: &Bound) -> Refusal {
    let reason = format!("Whether {} is BC or AD is not said.", wording::with_era(own, None));
    let range = |era| format!("{} to {}", wording::with_era(own, Some(era)), wording::in_full(next));
    Refusal::with(reason, vec![range(Era::Bc), range(Era::Ad)])
}

/// An era that is not said after a BC date: BC if the phrase goes on to another possibility and stays in order, AD if BC
/// would turn the range round, otherwise not to be guessed.
fn after_bc(previous: &Bound, own: &Bound, is_range: bool, settings: &Settings) -> Result<Era, Refusal> {
    let as_bc = Bound { era: Some(Era::Bc), ..own.clone() };
    let runs_on = span::of(previous, settings)?.range.lo() <= span::of(&as_bc, settings)?.range.lo();
    match (is_range, runs_on) {
        (true, false) => Ok(Era::Ad),
        (false, true) => Ok(Era::Bc),
        (_, _) => {
            let link = if is_range { "to" } else { "or" };
            let range =
                |era| format!("{} {link} {}", wording::in_full(previous), wording::with_era(own, Some(era)));
            let reason = format!("Whether {} is BC or AD is not said.", wording::with_era(own, None));
            Err(Refusal::with(reason, vec![range(Era::Bc), range(Era::Ad)]))
        }
    }
}
