//! The invented sites of the demo and of load tests. Nobody and nothing in them exists.
pub mod growth;
pub mod vessenholt;
