//! Computations of the laboratory, pure: no clock, no files, no database, no async.
//!
//! Every computation says its rule, its source ([`source::Source`]) and its limits, and refuses what it cannot answer
//! ([`error::CalcError`]) instead of returning a silent default.
//!
//! - [`air`]: moist air, dew point, what happens when a box changes room
//! - [`chronology`]: years without a year nought, date ranges, dates as specialists write them, the standard date notation
//! - [`climate`]: the humidity and temperature that a material is kept in
//! - [`desalination`]: what baths take out, the end rule, conductivity as chloride
//! - [`drying`]: constant mass, the curve through weighings, set points and schedules of humidity
//! - [`opinions`]: opinions on a date side by side and pooled
//! - [`quantity`]: an input with its name, unit and limits
//! - [`regression`]: straight lines and falling exponentials through measured points
//! - [`rings`]: ring diameters against the moulds of a list
//! - [`sorbent`]: conditioned gel in a box, how much and how long
//! - [`stratigraphy`]: what lies over what, the dates that follow from it, the diagram
//! - [`compute`]: the same computations over JSON lines, for the command line and for checking

pub mod air;
pub mod chronology;
pub mod climate;
pub mod compute;
pub mod desalination;
pub mod drying;
pub mod error;
pub mod opinions;
pub mod quantity;
pub mod regression;
pub mod rings;
mod root;
pub mod sorbent;
pub mod source;
pub mod stratigraphy;

pub use error::CalcError;
pub use quantity::Quantity;
pub use source::{Basis, Evidence, Source};
