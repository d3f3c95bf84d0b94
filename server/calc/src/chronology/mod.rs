//! Years, ranges of years, dates as they are written.
//!
//! - [`aoristic`]: dated finds spread over slices of time
//! - [`year`]: one calendar year, astronomical inside, BC and AD outside
//! - [`interval`]: a range of years, open at one end if need be
//! - [`phrase`]: "late 1st–early 2nd century AD" to a range, with the rule that was applied
//! - [`periods`]: named spans and reigns, each with its region and source
//! - [`edtf`]: the standard date notation, written and read

pub mod aoristic;
pub mod edtf;
pub mod interval;
pub mod periods;
pub mod phrase;
pub mod year;

pub use aoristic::{AoristicSum, Slice, aoristic_sum};
pub use interval::DateRange;
pub use periods::Period;
pub use phrase::{Convention, Reading, Settings, read};
pub use year::Year;
