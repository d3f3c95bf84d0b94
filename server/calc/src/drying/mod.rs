//! Controlled drying: when a mass is constant, when it will be, and at which humidities to get there.
//!
//! - [`constant_mass`]: the rule of a named standard over weighings, and whether the balance is fine enough to prove it
//! - [`curve`]: the exponential through weighings, with its projected end
//! - [`salts`]: the humidity over saturated salt solutions
//! - [`step_down`]: a schedule of falling humidities
//!
//! ```
//! use calc::drying::{ConstantMass, Standard};
//! let (hours, grams) = ([0.0, 24.0, 48.0, 72.0, 96.0], [182.40, 175.10, 173.00, 172.90, 172.90]);
//! let dry = ConstantMass::of(&hours, &grams, &Standard::EN_ISO_12570, Some(0.01))?;
//! assert_eq!(dry.reached_at_h, Some(96.0));
//! let coarse = ConstantMass::of(&hours, &grams, &Standard::EN_ISO_12570, Some(0.1)).unwrap_err();
//! assert!(coarse.to_string().starts_with("This balance cannot prove constant mass"));
//! # Ok::<(), calc::CalcError>(())
//! ```
use crate::error::CalcError;
use crate::quantity::Quantity;

pub mod constant_mass;
pub mod curve;
pub mod salts;
pub mod step_down;

pub use constant_mass::{ConstantMass, Drying, Standard};
pub use curve::DryingCurve;
pub use salts::Salt;
pub use step_down::StepDown;

/// Hours since the first weighing.
pub const TIME: Quantity = Quantity::new("t_h", "the time", "h", 0.0, 1e6);
/// Mass of the find, with its tray or not but always the same way.
pub const MASS: Quantity = Quantity::new("mass_g", "the mass", "g", 0.001, 1e8);

/// Times that rise and a mass for each.
fn check_weighings(times_h: &[f64], masses_g: &[f64]) -> Result<(), CalcError> {
    if times_h.is_empty() {
        return Err(CalcError::unsuitable(TIME.field, "There is no weighing."));
    }
    TIME.check_paired(times_h.len(), &MASS, masses_g.len())?;
    TIME.check_rising(times_h)?;
    MASS.check_each(masses_g)
}
