//! The invented sites of the demo and of load tests. Nobody and nothing in them exists.
pub mod chance;
pub mod dice;
pub mod pictures;
pub mod vessenholt;
