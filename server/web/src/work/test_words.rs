//! A spot test in words, as the find page and the page of all its tests show it.
use crate::filters::{show_measure, show_moment};
use domain::solvents::{self, Solvent};
use store::work::spot_tests::SpotTest;

/// The solvents of a test’s mixture.
pub(super) fn solvents_of(test: &SpotTest) -> Vec<&'static Solvent> {
    if test.parts.is_empty() {
        let read = solvents::Mixture::read(&test.row.mixture).ok();
        return read.map(|m| m.parts.iter().map(|part| part.solvent).collect()).unwrap_or_default();
    }
    test.parts.iter().filter_map(|(name, _)| solvents::find(name)).collect()
}

/// What a test says beyond site, mixture, effects and decision.
pub(crate) fn more(test: &SpotTest) -> Vec<(&'static str, String)> {
    let row = &test.row;
    let seconds = |s: Option<i64>| s.map(|s| format!("{s} s")).unwrap_or_default();
    let marked = test.spot().map(|(_, x, y)| {
        format!("{} % from the left, {} % from the top of its photograph", show_measure(x), show_measure(y))
    });
    let mut lines = vec![
        ("Test", test.number.to_string()),
        ("Marked at", marked.unwrap_or_default()),
        ("Carrier", test.carrier().map(|c| c.label().to_owned()).unwrap_or_default()),
        ("Swabs", row.swabs.map(|n| n.to_string()).unwrap_or_default()),
        ("Working time", seconds(row.working_time_s)),
        ("pH", row.ph.map(show_measure).unwrap_or_default()),
        ("Cleared with", row.cleared_with.clone()),
        ("Residue", row.residue.clone()),
        ("Later look", looks(test)),
    ];
    lines.extend(safety(test));
    lines.retain(|(_, words)| !words.is_empty());
    lines
}

/// The later looks, or when one is due.
pub(super) fn looks(test: &SpotTest) -> String {
    let seen = |look: &store::work::spot_tests::Look| {
        let said = if look.seen.is_empty() { String::new() } else { format!(": {}", look.seen) };
        format!(
            "{}, {}, {}{said}",
            show_moment(look.looked_at),
            look.looked_by,
            look.effect_on_original.label()
        )
    };
    match (test.looks.as_slice(), test.row.recheck_due_at) {
        ([], Some(due)) if test.row.superseded_at.is_none() => format!("due {}", show_moment(due)),
        (looks, _) => looks.iter().map(seen).collect::<Vec<_>>().join("; "),
    }
}

/// What the table of solvents says of the mixture, each with its source.
pub(super) fn safety(test: &SpotTest) -> Vec<(&'static str, String)> {
    let parts = solvents_of(test);
    let of_each = |say: &dyn Fn(&Solvent) -> String| {
        let said = parts.iter().map(|s| (s, say(s))).filter(|(_, words)| !words.is_empty());
        said.map(|(s, words)| format!("{}: {words}", s.name)).collect::<Vec<_>>().join("; ")
    };
    let flash = |s: &Solvent| s.flash_c.map(|_| s.flash()).unwrap_or_default();
    let limit = |s: &Solvent| match s.limit().as_str() {
        "none in the table" => String::new(),
        words => format!("{words}, {}", s.wel_source),
    };
    vec![
        ("To mind", of_each(&|s| s.caution.clone())),
        ("Flash point", of_each(&flash)),
        ("Limit of exposure", of_each(&limit)),
    ]
}
