//! Clocks that run on a find: what runs, until when, how often somebody looks.
use crate::Instant;
use chrono::Duration;

crate::text_enum! {
    /// What a clock runs for.
    ClockKind, "kind of clock" {
        /// Waits in water for its treatment.
        Wet = "wet", "wet pack";
        /// Dries, until a record says that it is dry.
        Drying = "drying", "drying run";
        /// Lies packed with an indicator that somebody has to read.
        Indicator = "indicator", "indicator check";
        /// Runs from a condition assessment to the day it is to be assessed again.
        Review = "review", "condition review";
    }
}

impl ClockKind {
    /// What somebody looks at on a round; a review is answered by an assessment alone.
    pub const ROUNDS: &'static [ClockKind] = &[ClockKind::Wet, ClockKind::Drying, ClockKind::Indicator];

    /// Whether a round passes it.
    pub fn is_of_rounds(self) -> bool {
        Self::ROUNDS.contains(&self)
    }

    /// Several of them, at the beginning of a sentence.
    pub const fn plural(self) -> &'static str {
        match self {
            ClockKind::Wet => "Wet packs",
            ClockKind::Drying => "Drying runs",
            ClockKind::Indicator => "Indicator checks",
            ClockKind::Review => "Condition reviews",
        }
    }
}

/// How long a clock may run and how often somebody looks, in days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rule {
    /// From its start to its limit; `None` where only the looks count.
    pub limit_days: Option<i64>,
    /// How long before the limit it is spoken of.
    pub warn_days: i64,
    /// From one look to the next.
    pub look_days: i64,
}

/// The usual rule of a kind and a material group.
#[derive(Debug, Clone, Copy)]
pub struct UsualRule {
    pub kind: ClockKind,
    /// Code of the group, or [`OTHERS`].
    pub material: &'static str,
    pub rule: Rule,
    pub source: &'static str,
}

/// Stands for every group without a rule of its own.
pub const OTHERS: &str = "others";
/// Longest that any of the three may be, in days.
pub const MOST_DAYS: i64 = 3_650;
/// A pack that is not in order is looked at again after so many days (common practice, no source).
pub const AGAIN_AFTER_DAYS: i64 = 1;

const fn usual_rule(
    kind: ClockKind,
    material: &'static str,
    days: (Option<i64>, i64, i64),
    source: &'static str,
) -> UsualRule {
    let rule = Rule { limit_days: days.0, warn_days: days.1, look_days: days.2 };
    UsualRule { kind, material, rule, source }
}

const WET: &str = "limit derived from Archaeology Underwater: the NAS Guide, p. 158 (treatment within days or a couple of \
                   weeks); weekly looks common practice, no source";
const METAL: &str = "limit from Thunberg, Watkinson and Emmerson 2020 and its web guidance (air-dry to constant weight, or \
                     about 14 days if unweighed); weekly looks common practice, no source";
const CP: &str = "common practice, no source";

/// The rules a project starts with; a lead edits the project's own.
pub const USUAL: &[UsualRule] = &[
    usual_rule(ClockKind::Wet, OTHERS, (Some(14), 4, 7), WET),
    usual_rule(ClockKind::Wet, "textile", (Some(2), 1, 1), CP),
    usual_rule(ClockKind::Wet, "amber_jet_shale", (Some(5), 2, 1), CP),
    usual_rule(ClockKind::Wet, "composite", (Some(2), 1, 1), CP),
    usual_rule(ClockKind::Drying, OTHERS, (None, 0, 7), CP),
    usual_rule(ClockKind::Drying, "stone", (None, 0, 1), CP),
    usual_rule(ClockKind::Drying, "iron", (Some(14), 3, 7), METAL),
    usual_rule(ClockKind::Drying, "copper_alloy", (Some(14), 3, 7), METAL),
    usual_rule(ClockKind::Drying, "lead", (Some(14), 3, 7), METAL),
    usual_rule(ClockKind::Drying, "silver_gold", (Some(14), 3, 7), METAL),
    usual_rule(ClockKind::Drying, "coin", (Some(14), 3, 7), METAL),
    usual_rule(ClockKind::Indicator, OTHERS, (None, 0, 30), CP),
    usual_rule(ClockKind::Indicator, "lead", (None, 0, 182), CP),
];

/// The usual rule of that kind for that group alone, or for [`OTHERS`].
pub fn usual(kind: ClockKind, material: &str) -> Option<&'static UsualRule> {
    USUAL.iter().find(|usual| usual.kind == kind && usual.material == material)
}

impl Rule {
    /// The rule for a group: the project's own for it, else the usual one for it, else the project's own for all others,
    /// else the usual one for all others.
    pub fn of(kind: ClockKind, material: &str, own: impl Fn(&str) -> Option<Rule>) -> Rule {
        let one = |material: &str| own(material).or_else(|| usual(kind, material).map(|usual| usual.rule));
        let last = Rule { limit_days: None, warn_days: 0, look_days: 7 };
        one(material).or_else(|| one(OTHERS)).unwrap_or(last)
    }

    /// When the limit of a clock is reached that began then.
    pub fn limit_at(&self, start: Instant) -> Option<Instant> {
        self.limit_days.map(|days| start + Duration::days(days))
    }

    /// From when on the limit is spoken of.
    pub fn warn_at(&self, start: Instant) -> Option<Instant> {
        self.limit_at(start).map(|limit| limit - Duration::days(self.warn_days))
    }

    /// When the next look is due after one in order, or after one that left something to be done.
    pub fn next_look_at(&self, looked_at: Instant, settled: bool) -> Instant {
        let days = if settled { self.look_days } else { AGAIN_AFTER_DAYS.min(self.look_days) };
        looked_at + Duration::days(days)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_projects_own_rule_goes_before_the_usual_one() {
        let own = |material: &str| {
            (material == OTHERS).then_some(Rule { limit_days: Some(3), warn_days: 1, look_days: 2 })
        };
        assert_eq!(Rule::of(ClockKind::Wet, "wood_leather", own).look_days, 2);
        assert_eq!(
            Rule::of(ClockKind::Wet, "textile", own).limit_days,
            Some(2),
            "the usual rule of its group stays"
        );
        assert_eq!(Rule::of(ClockKind::Wet, "wood_leather", |_| None).limit_days, Some(14));
    }

    #[test]
    fn every_kind_has_a_rule_for_all_others() {
        for kind in ClockKind::ROUNDS {
            assert!(usual(*kind, OTHERS).is_some(), "{kind}");
        }
    }
}
