//! The packs of a round as a page shows them.
use super::form::{Faults, RoundForm};
use super::words::standing;
use crate::form::Errors;
use crate::links;
use domain::Instant;
use domain::clocks::ClockKind;
use store::clocks::round::Passed;

/// One row.
pub(crate) struct PackRow {
    /// Place on the page or on the paper, from 1.
    pub at: usize,
    pub clock: String,
    pub number: String,
    pub href: String,
    pub what: String,
    pub place: String,
    pub project: String,
    pub stands: String,
    pub overdue: bool,
    pub left_open: Option<String>,
    pub well: bool,
    pub words: String,
    pub put_right: bool,
    /// Whether an indicator is read.
    pub reads: bool,
    pub reading: String,
    pub error: Option<String>,
}

/// The rows of a round with what was typed and what is wrong.
pub(super) fn rows(
    packs: &[Passed],
    places: impl Iterator<Item = usize>,
    (form, faults): (&RoundForm, &Faults),
    now: Instant,
) -> Vec<PackRow> {
    packs.iter().zip(places).map(|(pack, at)| row(pack, at, form, faults, now)).collect()
}

/// Whether anything keeps a round from being kept.
pub(crate) fn is_wrong(errors: &Errors, rows: &[PackRow]) -> bool {
    !errors.is_empty() || rows.iter().any(|row| row.error.is_some())
}

/// What a pack holds, in words.
pub(crate) fn what(pack: &Passed) -> String {
    let words = [pack.object_type.as_str(), pack.material_name.as_str()];
    let what = words.iter().filter(|w| !w.is_empty()).copied().collect::<Vec<_>>().join(", ");
    match (&pack.box_name, pack.beside) {
        (Some(name), 1) => format!("{what}, and 1 more find in {name}"),
        (Some(name), n) if n > 1 => format!("{what}, and {n} more finds in {name}"),
        _ => what,
    }
}

fn row(pack: &Passed, at: usize, form: &RoundForm, faults: &Faults, now: Instant) -> PackRow {
    let typed = form.row(pack.id);
    let stands = standing(pack.limit_at, pack.next_check_at, now);
    PackRow {
        at,
        clock: pack.id.to_string(),
        number: pack.number.clone(),
        href: links::find(pack.find_id),
        what: what(pack),
        place: pack.place_path.clone().unwrap_or_default(),
        project: pack.project_code.clone(),
        stands: stands.words,
        overdue: stands.overdue,
        left_open: pack.left_open.clone().filter(|words| !words.is_empty()),
        well: typed.well,
        words: typed.words,
        put_right: typed.put_right,
        reads: pack.kind == ClockKind::Indicator,
        reading: typed.reading,
        error: faults.of(pack.id).map(str::to_owned),
    }
}
