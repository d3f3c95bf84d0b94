//! Finds: registering, reading as the person may, changing.
//!
//! - [`register`]: new finds, one or a hundred thousand
//! - [`find`](find()): one find as a person may see it
//! - [`marks`]: the marks of many newly registered finds at once
//! - [`progress`]: where a find stands on its route; the running totals of the backlog
pub mod fields;
mod find;
pub mod marks;
pub mod progress;
pub mod quantity;
mod register;
mod seen;

pub use find::{
    Find, find_by_number, find_unguarded, find_visible, refresh_search, update, update_assignee,
    update_own_route, update_place,
};
pub use register::{NewFind, find_alike, insert, insert_many, next_number};
pub use seen::Seen;
