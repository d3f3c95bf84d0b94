//! Every reason a rule says no. A refusal is not a fault of the program: it is shown beside the form.
use crate::runs::RunKind;
use crate::stages::{Gate, Stage};

/// Why a thing may not be done now.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    #[error("This find is on hold: {reason}. Release the hold first.")]
    Held { reason: String },
    #[error("{stage} is not on this find’s route.")]
    NotOnRoute { stage: Stage },
    #[error("{}", gate.sentence())]
    GateShut { gate: Gate, stage: Stage },
    #[error("The number {number} is taken in this project. Numbers are never used twice.")]
    NumberTaken { number: String },
    #[error("{number} would be taken for {other}, which is there already. Give it another number.")]
    NumberAlike { number: String, other: String },
    #[error("Only {available} are there; {asked} cannot be taken out.")]
    NotThatMany { available: i64, asked: i64 },
    #[error("This find is void ({reason}) and takes no further records.")]
    Void { reason: String },
    #[error("Your role records plain work on bulk and robust finds only; this one is the conservator’s.")]
    NotYours,
    #[error("The standing authorisation is for another material, or has been withdrawn.")]
    StandingDoesNotFit,
    #[error("A mixture that changed the original cannot be accepted for it.")]
    HarmfulTest,
    #[error("A {kind} is on: it is ended on its own page, by what its readings say.")]
    RunIsOn { kind: RunKind },
    #[error("{number} is out, or some of it, on dispatch D{serial}. What became of it is said there.")]
    Out { number: String, serial: i64 },
    #[error("{0}")]
    Contradiction(String),
}

impl Refusal {
    /// Why a number may not be given, `other` being the number it would be taken for.
    pub fn of_number(number: &str, other: &str) -> Self {
        let number = number.to_owned();
        if number == other {
            Refusal::NumberTaken { number }
        } else {
            Refusal::NumberAlike { number, other: other.to_owned() }
        }
    }
}
