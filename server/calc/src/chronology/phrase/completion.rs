//! What a bound leaves unsaid and its neighbour says: the century of "late" in "late or early 2nd century", the unit of
//! "1st–2nd millennium", the first figures of "AD 120–25".
use super::bound::{Bound, Core, Part, Written};
use super::grammar::{Clause, Joiner, Statement};
use super::refusal::Refusal;
use super::segment::{self, LAST_CENTURY};
use super::token::{Era, Named};
use super::{Likelihood, suggest};
use crate::chronology::{Period, periods};

/// Fills in what the neighbours say; returns the steps taken, in words.
pub(super) fn complete(statement: &mut Statement) -> Result<Vec<String>, Refusal> {
    let mut steps = Vec::new();
    lend_names(&mut statement.clauses)?;
    lend_backwards(&mut statement.clauses);
    lend_forwards(&mut statement.clauses)?;
    for clause in &mut statement.clauses {
        lend_units(clause)?;
        write_out_second_year(clause, &mut steps)?;
    }
    Ok(steps)
}

/// A numeral behind a ruler counts rulers of that name: "Edward I–III", "Henry II or III".
fn lend_names(clauses: &mut [Clause]) -> Result<(), Refusal> {
    let mut ruler: Option<&'static Period> = None;
    for bound in clauses.iter_mut().flat_map(|clause| clause.bounds.iter_mut()) {
        if let (Some(Core::Ordinal { value, roman: true }), Some(before)) = (bound.core, ruler)
            && let Some((name, number)) = before.name.rsplit_once(' ')
            && segment::roman(number).is_some()
        {
            let wanted = format!("{name} {}", suggest::roman(value));
            let reason = || Refusal::plain(format!("The list of reigns has no {wanted}."));
            bound.core = Some(Core::Period(periods::named(&wanted).ok_or_else(reason)?));
        }
        ruler = match bound.core {
            Some(Core::Period(period)) if period.is_reign() => Some(period),
            _ => None,
        };
    }
    Ok(())
}

/// "mid" in "mid to late 2nd century" takes the century that follows.
fn lend_backwards(clauses: &mut [Clause]) {
    let mut lent: Option<Core> = None;
    for clause in clauses.iter_mut().rev() {
        for bound in clause.bounds.iter_mut().rev() {
            match (bound.core, lent) {
                (None, Some(core)) => lend(core, bound),
                (Some(core), _) => lent = Some(core),
                (None, None) => {}
            }
        }
        if clause.joiner == Joiner::Gloss || clause.likelihood != Likelihood::Unsaid {
            lent = None;
        }
    }
}

/// "early" in "2nd century, probably early" takes the century before it.
fn lend_forwards(clauses: &mut [Clause]) -> Result<(), Refusal> {
    let mut lent: Option<Bound> = None;
    for bound in clauses.iter_mut().flat_map(|clause| clause.bounds.iter_mut()) {
        if bound.core.is_none() {
            let Some(lender) = &lent else {
                return Err(Refusal::plain("The century, or the name of a period, is wanting."));
            };
            if let Some(core) = lender.core {
                lend(core, bound);
            }
            bound.era = bound.era.or(lender.era);
        }
        lent = Some(bound.clone());
    }
    Ok(())
}

/// A period is lent under the name that its part makes with it: "middle" before "late Saxon" is "middle Saxon".
fn lend(core: Core, bound: &mut Bound) {
    bound.core = Some(core);
    let (Core::Period(period), Some(Part::Named(named))) = (core, bound.part) else { return };
    let word = match named {
        Named::Early | Named::Earlier => "early",
        Named::Mid => "middle",
        Named::Late | Named::Later => "late",
    };
    let named = period.name.split_once(' ').and_then(|(_, kind)| periods::named(&format!("{word} {kind}")));
    if let Some(other) = named {
        (bound.core, bound.part) = (Some(Core::Period(other)), None);
    }
}

/// An ordinal, or a small number beside a century, counts what its neighbour counts.
fn lend_units(clause: &mut Clause) -> Result<(), Refusal> {
    let is_millennium = |bound: &Bound| matches!(bound.core, Some(Core::Millennium(_)));
    let is_century = |bound: &Bound| matches!(bound.core, Some(Core::Century { .. }));
    for at in 0..clause.bounds.len() {
        let next = clause.bounds.get(at + 1);
        let previous = at.checked_sub(1).and_then(|n| clause.bounds.get(n));
        let beside_century = next.is_some_and(is_century) || previous.is_some_and(is_century);
        let before_numbered =
            matches!(next.and_then(|one| one.core), Some(Core::Century { written: Written::Number, .. }));
        let after_century = previous.is_some_and(is_century);
        let after_letter = previous.is_some_and(is_short_for_both);
        let beside_millennium = next.is_some_and(is_millennium);
        let bound = &clause.bounds[at];
        let is_plain = bound.part.is_none() && bound.spread.is_none();
        let is_bare = is_plain && bound.era.is_none();
        let shares_letter = is_plain && !bound.era_leads && after_letter;
        let core = match bound.core {
            Some(Core::Ordinal { value, .. }) if beside_millennium => Some(Core::Millennium(value)),
            Some(Core::Ordinal { value, roman: true }) if is_bare && !beside_century => {
                let reason = "A Roman numeral alone may count anything.";
                return Err(Refusal::with(reason, vec![format!("{} century", suggest::ordinal(value))]));
            }
            Some(Core::Ordinal { value, .. }) => Some(Core::Century { value, written: Written::Word }),
            Some(Core::Year { value, .. })
                if value <= LAST_CENTURY
                    && (is_bare && (before_numbered || after_century)
                        || shares_letter
                        || bound.part.is_some() && next.is_some_and(is_century)) =>
            {
                Some(Core::Century { value, written: Written::Number })
            }
            core => core,
        };
        clause.bounds[at].core = core;
    }
    Ok(())
}

/// "C1" before "2AD", the era and the letter said once for both.
fn is_short_for_both(bound: &Bound) -> bool {
    bound.era.is_none() && matches!(bound.core, Some(Core::Century { written: Written::Letter, .. }))
}

/// "AD 120–25" is AD 120 to 125: a second year with fewer figures takes the first ones of the year before it.
///
/// Only where nothing else can be meant: not for years that count down, and not in "120–25 AD", which is as likely to
/// have lost a BC.
fn write_out_second_year(clause: &mut Clause, steps: &mut Vec<String>) -> Result<(), Refusal> {
    for at in 1..clause.bounds.len() {
        let (first, second) = (&clause.bounds[at - 1], &clause.bounds[at]);
        let Some(((value, digits), (short, few))) = figures(first.core).zip(figures(second.core)) else {
            continue;
        };
        let counts_down = |era: Option<Era>| matches!(era, Some(Era::Bc | Era::CalBp));
        let later_era = clause.bounds[at..].iter().find_map(|bound| bound.era);
        if few >= digits
            || short >= value
            || counts_down(first.era)
            || counts_down(later_era)
            || second.era_leads
        {
            continue;
        }
        let scale = 10_i64.pow(u32::try_from(few).unwrap_or(u32::MAX).min(18));
        let whole = value - value % scale + short;
        let is_decade = matches!(second.core, Some(Core::Decade { .. }));
        let said_behind = first.era.is_none() && later_era.is_some();
        if whole < value {
            continue;
        }
        if said_behind && digits < 4 && !is_decade {
            let reason = format!(
                "{value}–{short} AD may be {value}–{whole}, or the years in the wrong order, or a lost BC."
            );
            let suggestions = [
                format!("AD {value} to AD {whole}"),
                format!("AD {short} to AD {value}"),
                format!("{value} BC to AD {short}"),
            ];
            return Err(Refusal::with(reason, suggestions.to_vec()));
        }
        steps.push(format!("{short} after {value} is short for {whole}."));
        clause.bounds[at].core = Some(match second.core {
            Some(Core::Decade { .. }) => Core::Decade { value: whole, digits },
            _ => Core::Year { value: whole, digits },
        });
    }
    Ok(())
}

fn figures(core: Option<Core>) -> Option<(i64, usize)> {
    match core {
        Some(Core::Year { value, digits } | Core::Decade { value, digits }) => Some((value, digits)),
        _ => None,
    }
}
