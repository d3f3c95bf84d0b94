//! The invented site: Vessenholt Quay, its people, contexts and finds, and a small second site. Nobody and nothing in it exists.
//!
//! - [`cast`]: who signs in, in which role
//! - [`ground`]: contexts of the quay and how they lie
//! - [`objects`]: what was found, told once for every material
//! - [`work`]: what is written in the records of the bench
//! - [`stories`]: the finds that the acceptance stories tell of
//! - [`load`]: all of it into a database
pub mod cast;
pub mod ground;
pub mod load;
pub mod objects;
pub mod stories;
pub mod work;
