//! Desalination in baths: what was released, how it goes on, when to stop.
//!
//! - [`conductivity`]: conductivity as sodium chloride and chloride
//! - [`diffusion`]: release from a wall by diffusion
//! - [`end_point`]: the end rule over successive baths
//! - [`release`]: readings corrected for the blank and normalised, cumulative release, its line against √t
//!
//! ```
//! use calc::desalination::{EndRule, normalised};
//! let readings = [310.0, 140.0, 66.0, 31.0, 15.0]; // µS/cm, blank 4, 2.5 L, 850 g
//! let comparable: Vec<f64> =
//!     readings.iter().map(|one| normalised(*one, 4.0, 2.5, 850.0)).collect::<Result<_, _>>()?;
//! assert_eq!(comparable.iter().map(|one| one.round()).collect::<Vec<_>>(), [900.0, 400.0, 182.0, 79.0, 32.0]);
//! assert!(!EndRule::new(30.0, 2)?.judge(&comparable)?.is_reached());
//! # Ok::<(), calc::CalcError>(())
//! ```

pub mod conductivity;
pub mod diffusion;
pub mod end_point;
pub mod release;

pub use conductivity::SaltLoad;
pub use diffusion::Slab;
pub use end_point::{EndPoint, EndRule};
pub use release::{Bath, Release, normalised, sqrt_time_line};
