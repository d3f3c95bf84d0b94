//! The years of the bounds put together into one reading.
use super::bound::{Bound, Spread};
use super::grammar::{Clause, Joiner, Statement};
use super::refusal::Refusal;
use super::span::Span;
use super::token::{Era, Limit};
use super::{
    Alternative, Likelihood, Reading, Settings, Together, completion, era, gloss, sources, span, wording,
};
use crate::chronology::{DateRange, Year};
use crate::source::Source;

/// One clause in years.
pub(super) struct Placed {
    pub stated: DateRange,
    pub range: DateRange,
    pub joiner: Joiner,
    pub likelihood: Likelihood,
    /// Made of plain years, which say more than a name or a century.
    pub in_years: bool,
    pub has_own_core: bool,
    /// "before", "after": open at one end because the phrase says so.
    pub is_limit: bool,
}

/// What is gathered on the way.
#[derive(Default)]
pub(super) struct Trail {
    pub steps: Vec<String>,
    sources: Vec<&'static Source>,
    approximate: bool,
}

/// Completes a statement and turns it into years.
pub(super) fn settle(mut statement: Statement, settings: &Settings) -> Result<Reading, Refusal> {
    let own_cores: Vec<bool> = statement
        .clauses
        .iter()
        .map(|clause| clause.bounds.iter().any(|bound| bound.core.is_some()))
        .collect();
    let mut trail = Trail::default();
    trail.steps.extend(completion::complete(&mut statement)?);
    trail.steps.extend(era::settle(&mut statement, settings)?);
    gloss::set_parts_aside(&mut statement.clauses, settings, &mut trail)?;
    gloss::narrow(&mut statement.clauses, settings, &mut trail)?;
    let mut placed = Vec::new();
    for (clause, has_own_core) in statement.clauses.iter().zip(own_cores) {
        placed.push(place(clause, has_own_core, settings, &mut trail)?);
    }
    let placed = gloss::merge(placed, &mut trail)?;
    reading(&placed, statement.uncertain, settings, trail)
}

fn reading(
    placed: &[Placed],
    uncertain: bool,
    settings: &Settings,
    trail: Trail,
) -> Result<Reading, Refusal> {
    let (Some(first), rest) = (placed.first(), placed.get(1..).unwrap_or_default()) else {
        return Err(Refusal::plain("The phrase names no date."));
    };
    let (mut range, mut stated) = (first.range, first.stated);
    for one in rest {
        let open = |_| Refusal::plain("Together that leaves both ends open: it is no date.");
        range = range.span(&one.range).map_err(open)?;
        stated = stated.span(&one.stated).map_err(open)?;
    }
    let is_all = !rest.is_empty() && rest.iter().all(|one| one.joiner == Joiner::And);
    let together = match (rest.is_empty(), is_all) {
        (true, _) => Together::One,
        (_, true) => Together::AllOf,
        _ => Together::OneOf,
    };
    let alternatives = placed.iter().map(|one| Alternative { range: one.range, likelihood: one.likelihood });
    let alternatives = if rest.is_empty() { Vec::new() } else { alternatives.collect() };
    let Trail { mut steps, sources, approximate } = trail;
    if !rest.is_empty() {
        steps.push(format!("The shortest range that holds all that is named: {range}."));
    }
    let settings = *settings;
    Ok(Reading {
        range,
        stated,
        approximate,
        uncertain,
        alternatives,
        together,
        rule: steps,
        settings,
        sources,
    })
}

fn place(
    clause: &Clause,
    has_own_core: bool,
    settings: &Settings,
    trail: &mut Trail,
) -> Result<Placed, Refusal> {
    let mut spans = Vec::new();
    for bound in &clause.bounds {
        spans.push(span::of(bound, settings).map_err(|refusal| without_parts(clause, refusal))?);
    }
    check_order(clause, &spans, settings)?;
    let (Some(first), Some(last)) = (spans.first(), spans.last()) else {
        return Err(Refusal::plain("The phrase names no date."));
    };
    let stated = DateRange::new(first.range.lo(), last.range.hi()).map_err(|_| reversed(clause, settings))?;
    for one in &spans {
        trail.steps.extend(one.steps.iter().cloned());
        trail.approximate |= one.approximate;
        for source in &one.sources {
            trail.cite(source);
        }
    }
    let (stated, range) = limited(clause, stated, settings, trail)?;
    if clause.doubted_end {
        trail.steps.push("The end that is doubted is kept within the range.".to_owned());
    }
    let (joiner, likelihood, in_years) = (clause.joiner, clause.likelihood, clause.is_in_years());
    let is_limit = clause.limit.is_some();
    Ok(Placed { stated, range, joiner, likelihood, in_years, has_own_core, is_limit })
}

/// The range suggested whole where a part of one of its periods is in no list: "Bronze Age to Iron Age".
fn without_parts(clause: &Clause, mut refusal: Refusal) -> Refusal {
    if clause.is_named() && clause.bounds.len() > 1 {
        let whole = |bound: &Bound| wording::in_full(&Bound { part: None, ..bound.clone() });
        let wholes: Vec<String> = clause.bounds.iter().map(whole).collect();
        refusal.suggestions.push(wholes.join(" to "));
    }
    refusal
}

impl Trail {
    fn cite(&mut self, source: &'static Source) {
        if !self.sources.contains(&source) {
            self.sources.push(source);
        }
    }
}

/// The years that circa or ± adds before the first bound and behind the last one. Circa carries on to the bounds behind
/// it as long as they are written like it: both ends of "c. 1480–1550", not the end of "c. AD 250 to the early 4th century".
fn widths(bounds: &[Bound], settings: &Settings) -> (i64, i64) {
    let width = |bound: &Bound| match bound.spread {
        Some(Spread::Circa) => settings.circa_years,
        Some(Spread::Years(years)) => years.min(super::WIDEST_CIRCA),
        None => 0,
    };
    let mut held: Option<&Bound> = None;
    for bound in bounds {
        let carries = held.is_some_and(|circa| circa.spread == Some(Spread::Circa) && circa.is_kin_of(bound));
        if bound.spread.is_some() || !carries {
            held = Some(bound);
        }
    }
    (bounds.first().map_or(0, width), held.map_or(0, width))
}

/// Applies circa, then "before" and its kin.
fn limited(
    clause: &Clause,
    stated: DateRange,
    settings: &Settings,
    trail: &mut Trail,
) -> Result<(DateRange, DateRange), Refusal> {
    let (before, behind) = widths(&clause.bounds, settings);
    let has_circa = clause.bounds.iter().any(|one| one.spread == Some(Spread::Circa));
    if before != 0 || behind != 0 || has_circa {
        trail.approximate = true;
        trail.steps.push(format!("Approximate: {before} years earlier, {behind} years later than written."));
        let spread = clause.bounds.iter().any(|one| one.spread == Some(Spread::Circa));
        if spread {
            trail.cite(sources::circa(settings));
        }
    }
    let (lo, hi) = (stated.lo(), stated.hi());
    let wide = (lo.map(|year| year.plus(-before)), hi.map(|year| year.plus(behind)));
    let ((lo, hi), wide) = match clause.limit {
        None => ((lo, hi), wide),
        Some(Limit::Before) => ((None, lo), (None, lo.map(|year| year.plus(behind)))),
        Some(Limit::By) => ((None, hi), (None, wide.1)),
        Some(Limit::From) => ((lo, None), (wide.0, None)),
        Some(Limit::After) => ((hi, None), (hi.map(|year| year.plus(-before)), None)),
    };
    if clause.limit.is_some() {
        trail.cite(&sources::LIMITS);
        trail.steps.push("The year named is kept; the other end stays open.".to_owned());
    }
    let range = |(lo, hi): (Option<Year>, Option<Year>)| {
        DateRange::new(lo, hi)
            .map_err(|_| Refusal::plain("That sets no limit: the period named has not ended."))
    };
    Ok((range((lo, hi))?, range(wide)?))
}

/// A range must run forwards, bound by bound.
fn check_order(clause: &Clause, spans: &[Span], settings: &Settings) -> Result<(), Refusal> {
    for pair in spans.windows(2) {
        let forwards = pair[0].range.lo() <= pair[1].range.lo();
        let reaches = match (pair[0].range.lo(), pair[1].range.hi()) {
            (Some(lo), Some(hi)) => lo <= hi,
            _ => true,
        };
        if !forwards || !reaches {
            return Err(reversed(clause, settings));
        }
    }
    Ok(())
}

fn reversed(clause: &Clause, settings: &Settings) -> Refusal {
    let (Some(first), Some(last)) = (clause.bounds.first(), clause.bounds.last()) else {
        return Refusal::plain("The phrase names no date.");
    };
    let reason = format!("{} does not come before {}.", wording::in_full(first), wording::in_full(last));
    let mut suggestions = vec![format!("{} to {}", wording::in_full(last), wording::in_full(first))];
    let as_bc = Bound { era: Some(Era::Bc), ..first.clone() };
    if first.era == Some(Era::Ad)
        && !first.era_leads
        && last.era == Some(Era::Ad)
        && span::of(&as_bc, settings).is_ok()
    {
        suggestions.push(format!("{} to {}", wording::in_full(&as_bc), wording::in_full(last)));
    }
    Refusal::with(reason, suggestions)
}
