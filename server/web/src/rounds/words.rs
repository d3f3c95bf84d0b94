//! How a running clock stands, in words.
use crate::filters::show_day;
use domain::Instant;
use domain::clocks::ClockKind;

/// A clock in words at a moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// “9 days past its limit, look 2 days overdue”.
    pub words: String,
    pub overdue: bool,
}

/// How a clock stands that has these two dates.
pub fn standing(limit_at: Option<Instant>, next_look_at: Option<Instant>, now: Instant) -> Standing {
    let days = |at: Instant| (now - at).num_days();
    let limit = limit_at.map(|at| match days(at) {
        _ if at >= now => format!("limit {}", show_day(at.date_naive())),
        0 => "limit reached today".to_owned(),
        1 => "1 day past its limit".to_owned(),
        n => format!("{n} days past its limit"),
    });
    let look = next_look_at.map(|at| match days(at) {
        _ if at >= now => format!("next look {}", show_day(at.date_naive())),
        0 => "look due today".to_owned(),
        1 => "look 1 day overdue".to_owned(),
        n => format!("look {n} days overdue"),
    });
    Standing {
        words: [limit, look].into_iter().flatten().collect::<Vec<_>>().join(", "),
        overdue: [limit_at, next_look_at].into_iter().flatten().any(|at| at < now),
    }
}

/// What is looked at, as it stands in a sentence of the journal.
pub fn looked_at(kind: ClockKind) -> &'static str {
    match kind {
        ClockKind::Wet => "looked at the wet pack",
        ClockKind::Drying => "looked at it drying",
        ClockKind::Indicator => "read the indicator",
        ClockKind::Review => "assessed the condition",
    }
}

/// What to look at, above the list.
pub fn advice(kind: ClockKind) -> &'static str {
    match kind {
        ClockKind::Wet => {
            "Under water, dark and cool? Two labels legible? No smell, slime or mould? Top the water up. A biocide only \
             on a conservator’s advice."
        }
        ClockKind::Drying => {
            "New cracks, lifting, warping, salts or mould? Slow it down when the surface runs ahead of the core."
        }
        ClockKind::Indicator => {
            "Seal sound? Read the indicator through the lid. Any new powder, blister or droplet inside?"
        }
        ClockKind::Review => "Assess the condition again, find by find.",
    }
}
