//! One date said in two ways: "Antonine (AD 138–161)", "Tetricus I, 271–274", "Roman, 2nd–3rd century", "14th century
//! (second half)", "17th century, before 1666".
use super::bound::{Core, Part};
use super::grammar::{Clause, Joiner};
use super::refusal::Refusal;
use super::settle::{Placed, Trail};
use super::span;
use super::{Likelihood, Settings};
use crate::chronology::DateRange;

/// The years a clause names, before circa and limits; `None` for a range that does not run forwards.
fn years(clause: &Clause, from: usize, settings: &Settings) -> Result<Option<DateRange>, Refusal> {
    let (Some(first), Some(last)) = (clause.bounds.get(from), clause.bounds.last()) else { return Ok(None) };
    let (first, last) = (span::of(first, settings)?, span::of(last, settings)?);
    Ok(DateRange::new(first.range.lo(), last.range.hi()).ok())
}

fn lies_in(inner: &DateRange, outer: &DateRange) -> bool {
    outer.overlap(inner) == Some(*inner)
}

/// "Late Bronze Age, c. 1100–800 BC", "late Roman (4th century)": the list has no part of the period, but the date beside
/// it says what is meant. It must lie in the whole period; plain years need only touch it.
pub(super) fn set_parts_aside(
    clauses: &mut [Clause],
    settings: &Settings,
    trail: &mut Trail,
) -> Result<(), Refusal> {
    let [_, behind] = &*clauses else { return Ok(()) };
    if !matches!(behind.joiner, Joiner::Comma | Joiner::Gloss) || behind.likelihood != Likelihood::Unsaid {
        return Ok(());
    }
    for (at, other) in [(0, 1), (1, 0)] {
        let beside = &clauses[other];
        let [bound] = clauses[at].bounds.as_slice() else { continue };
        let (Some(Core::Period(period)), Some(Part::Named(part))) = (bound.core, bound.part) else {
            continue;
        };
        if beside.is_named() || beside.limit.is_some() {
            continue;
        }
        let (Some(years), Ok(whole)) = (years(beside, 0, settings)?, period.range()) else { continue };
        if lies_in(&years, &whole) || beside.is_in_years() && years.overlap(&whole).is_some() {
            clauses[at].bounds[0].part = None;
            let (word, name) = (part.word(), period.name);
            trail.steps.push(format!("“{word}” is set aside: no published division of “{name}” is listed."));
        }
    }
    Ok(())
}

/// "Roman – probably 3rd/4th century": a doubted date behind a dash that lies within the one before it is no end of a
/// range; it is what the writer thinks.
pub(super) fn narrow(clauses: &mut [Clause], settings: &Settings, trail: &mut Trail) -> Result<(), Refusal> {
    for clause in clauses {
        let (Some(first), Some(true)) = (clause.bounds.first(), clause.bounds.get(1).map(|one| one.aside))
        else {
            continue;
        };
        let Some(inner) = years(clause, 1, settings)? else { continue };
        if lies_in(&inner, &span::of(first, settings)?.range) {
            trail.steps.push(format!("Thought to lie within the date before it: {inner}."));
            clause.bounds.remove(0);
        }
    }
    Ok(())
}

/// Puts together the clauses that say one thing.
pub(super) fn merge(placed: Vec<Placed>, trail: &mut Trail) -> Result<Vec<Placed>, Refusal> {
    let mut merged: Vec<Placed> = Vec::new();
    for one in placed {
        match merged.pop() {
            Some(previous) if cuts(&previous, &one) => merged.extend(cut(previous, one, trail)?),
            Some(previous) if explains(&previous, &one) => merged.push(closer(previous, &one, trail)?),
            Some(previous) => merged.extend([previous, one]),
            None => merged.push(one),
        }
    }
    Ok(merged)
}

/// A limit behind a date, or two limits joined by "and", leave the years that both allow.
fn cuts(previous: &Placed, one: &Placed) -> bool {
    match one.joiner {
        Joiner::Comma => one.is_limit,
        Joiner::And => one.is_limit && previous.is_limit,
        Joiner::First | Joiner::Or | Joiner::Gloss => false,
    }
}

fn cut(previous: Placed, one: Placed, trail: &mut Trail) -> Result<Vec<Placed>, Refusal> {
    let is_doubted = one.likelihood != Likelihood::Unsaid;
    let Some(range) = previous.range.overlap(&one.range) else {
        return if is_doubted { Ok(vec![previous, one]) } else { Err(disagree(&previous, &one)) };
    };
    let stated = previous.stated.overlap(&one.stated).unwrap_or(range);
    if is_doubted {
        return Ok(vec![previous, Placed { range, stated, ..one }]);
    }
    trail.steps.push(format!("The limit cuts the date before it: {range}."));
    let is_limit = range.years().is_none();
    Ok(vec![Placed { range, stated, is_limit, ..previous }])
}

/// Whether the second says again what the first says: in brackets, or behind a comma as a part of it, in years, or as a
/// date that lies within the other. Years behind years are a list.
fn explains(previous: &Placed, one: &Placed) -> bool {
    let is_list = previous.in_years && one.in_years;
    let is_nested = lies_in(&one.stated, &previous.stated) || lies_in(&previous.stated, &one.stated);
    let says_again = match one.joiner {
        Joiner::Gloss => true,
        Joiner::Comma => !is_list && (!one.has_own_core || one.in_years || is_nested),
        Joiner::First | Joiner::Or | Joiner::And => false,
    };
    says_again && one.likelihood == Likelihood::Unsaid
}

/// The closer of two: years in figures before names and centuries, the narrower where it lies in the other, and otherwise
/// the years that both allow. They must share a year.
fn closer(previous: Placed, other: &Placed, trail: &mut Trail) -> Result<Placed, Refusal> {
    let Some(shared) = previous.range.overlap(&other.range) else { return Err(disagree(&previous, other)) };
    let (range, stated) = match (previous.in_years, other.in_years) {
        (true, false) => (previous.range, previous.stated),
        (false, true) => (other.range, other.stated),
        _ if lies_in(&other.stated, &previous.stated) => (other.range, other.stated),
        _ if lies_in(&previous.stated, &other.stated) => (previous.range, previous.stated),
        _ => (shared, previous.stated.overlap(&other.stated).unwrap_or(shared)),
    };
    trail.steps.push(format!("Said in two ways; the closer one holds: {range}."));
    let in_years = previous.in_years || other.in_years;
    Ok(Placed { range, stated, in_years, ..previous })
}

fn disagree(one: &Placed, two: &Placed) -> Refusal {
    Refusal::plain(format!("The two do not agree: {} and {}.", one.range, two.range))
}
