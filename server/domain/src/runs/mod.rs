//! Runs: finds followed by readings through drying or desalination until a rule says that it is enough.
//!
//! - [`pasted`]: two columns out of a spreadsheet
pub mod pasted;

use crate::stages::Stage;

/// Groups of one metal each.
const METALS: &[&str] = &["iron", "copper_alloy", "lead", "silver_gold"];

/// Why these finds do not lie in one bath, by number and material group of each.
///
/// Different metals never share a solution (Archaeology Underwater: the NAS Guide, p. 153); what a coin or a composite is made of
/// the group does not tell.
pub fn not_in_one_bath(finds: &[(&str, &str)]) -> Option<String> {
    let mut metals = finds.iter().filter(|(_, group)| METALS.contains(group));
    let (first, metal) = metals.next()?;
    let (other, _) = metals.find(|(_, group)| group != metal)?;
    Some(format!(
        "{first} and {other} are of different metals, which never share a solution: begin a run for each metal."
    ))
}

crate::text_enum! {
    /// What a run does.
    RunKind, "kind of run" {
        Drying = "drying", "drying run";
        Desalination = "desalination", "desalination run";
    }
}

impl RunKind {
    /// The stage that its end closes.
    pub const fn stage(self) -> Stage {
        match self {
            RunKind::Drying => Stage::Drying,
            RunKind::Desalination => Stage::Desalination,
        }
    }
}

/// What a run goes by.
#[derive(Debug, Clone, PartialEq)]
pub enum Plan {
    Drying(DryingPlan),
    Desalination(BathPlan),
}

/// A drying run: its standard of constant mass by key, the smallest difference in g that its balance shows, and the
/// humidities it steps down by, where it does.
#[derive(Debug, Clone, PartialEq)]
pub struct DryingPlan {
    pub standard: String,
    pub balance_g: f64,
    pub schedule: Option<Schedule>,
}

/// Falling humidities, %, each held for some days in a chamber of a temperature, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Schedule {
    pub start_pct: f64,
    pub end_pct: f64,
    pub step_pct: f64,
    pub hold_days: f64,
    pub chamber_c: f64,
}

/// A desalination run: mass of what lies in the bath, g; water carried over at a change, L; the end rule, at or below
/// so many µS/cm · L/kg in so many baths in a row, and the reason for that threshold.
#[derive(Debug, Clone, PartialEq)]
pub struct BathPlan {
    pub mass_g: f64,
    pub carry_over_l: f64,
    pub threshold: f64,
    pub baths_in_row: i64,
    pub threshold_reason: String,
}

impl Plan {
    /// Which kind of run it is for.
    pub const fn kind(&self) -> RunKind {
        match self {
            Plan::Drying(_) => RunKind::Drying,
            Plan::Desalination(_) => RunKind::Desalination,
        }
    }
}
