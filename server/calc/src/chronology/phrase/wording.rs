//! A bound written out in full, for the steps of the rule and for suggestions.
use super::bound::{Bound, Core, Part, Spread};
use super::suggest::ordinal;
use super::token::{Era, Named, Share};

/// "c. late 1st century BC", with the era given in place of its own.
pub(super) fn with_era(bound: &Bound, era: Option<Era>) -> String {
    let circa = if bound.spread == Some(Spread::Circa) { "c. " } else { "" };
    let width = match bound.spread {
        Some(Spread::Years(years)) => format!(" ± {years}"),
        _ => String::new(),
    };
    let part = bound.part.map(part).unwrap_or_default();
    let core = bound.core.map(|one| core(one, era)).unwrap_or_default();
    format!("{circa}{part}{core}{width}")
}

/// The bound in full, with its own era.
pub(super) fn in_full(bound: &Bound) -> String {
    with_era(bound, bound.era)
}

fn part(part: Part) -> String {
    match part {
        Part::Named(named) => format!("{} ", named.word()),
        Part::Shares { share, from, to } if from == to => {
            format!("{} of the ", nth_share(share, from))
        }
        Part::Shares { share, from, to } => {
            let plural =
                if share == Share::Half { "halves".to_owned() } else { format!("{}s", share.word()) };
            format!("{} and {} {plural} of the ", ordinal(from), ordinal(to))
        }
    }
}

/// "first half", "4th quarter".
pub(super) fn nth_share(share: Share, nth: i64) -> String {
    let number = match nth {
        1 => "first".to_owned(),
        2 => "second".to_owned(),
        3 => "third".to_owned(),
        nth if nth == share.of() => "last".to_owned(),
        nth => ordinal(nth),
    };
    format!("{number} {}", share.word())
}

fn core(core: Core, era: Option<Era>) -> String {
    let behind = match era {
        Some(Era::Bc) => " BC",
        Some(Era::Ad) => " AD",
        Some(Era::CalBp) => " cal BP",
        None => "",
    };
    match core {
        Core::Year { value, .. } if era == Some(Era::Ad) => format!("AD {value}"),
        Core::Year { value, .. } => format!("{value}{behind}"),
        Core::Ordinal { value, .. } | Core::Century { value, .. } => {
            format!("{} century{behind}", ordinal(value))
        }
        Core::Millennium(value) => format!("{} millennium{behind}", ordinal(value)),
        Core::Decade { value, .. } => format!("{value}s{behind}"),
        Core::Turn { before: (before, _), into } => {
            format!("turn of the {} and {} centuries{behind}", ordinal(before), ordinal(into))
        }
        Core::TurnOfEra => "turn of the era".to_owned(),
        Core::Period(period) => period.name.to_owned(),
    }
}

impl Named {
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Early => "early",
            Self::Mid => "mid",
            Self::Late => "late",
            Self::Earlier => "earlier",
            Self::Later => "later",
        }
    }
}
