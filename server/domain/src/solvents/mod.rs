//! Solvents of the bench: what a table says of each, and mixtures by volume percentage.
//!
//! - [`table`]: the embedded table, a source beside every column
//! - [`mixture`]: parts that make up a whole, read from words or from a form
pub mod mixture;
pub mod table;

pub use mixture::{Mixture, MixtureFault, Part, key};
pub use table::{Solvent, all, find};

/// The caution at the point of use (common practice, no source).
pub const CAUTION: &str = "Solvents: small volumes, extraction, gloves that suit the solvent, no flame or spark. Local rules and your own risk assessment come first.";
