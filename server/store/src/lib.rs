//! Everything that is kept. The only crate that knows SQL: one text for SQLite and PostgreSQL.
//!
//! Every function takes a [`Tx`]: pages open one with [`Db::read`], changes with [`Db::write`] and commit it themselves.
//!
//! - [`db`]: the two engines behind one transaction and one statement
//! - `dialect`: the only place that asks which engine it is
//! - [`statement`]: every statement registers itself, so that a test can prepare all of them on both engines
//! - [`bulk`]: many rows in few statements
#![cfg(not(doctest))] // no examples here, and reading it all to find none takes long
pub mod attachments;
pub mod boxes;
pub mod bulk;
pub mod clocks;
pub mod contexts;
pub mod daily;
pub mod dating;
pub mod db;
mod dialect;
pub mod dispatches;
pub mod error;
pub mod filter;
pub mod finds;
pub mod groups;
pub mod health;
pub mod images;
pub mod imports;
pub mod journal;
pub mod letter_wishes;
pub mod letters;
pub mod mail_links;
pub mod materials;
pub mod members;
pub mod people;
pub mod pins;
pub mod places;
pub mod planning;
mod plans;
pub mod projects;
pub mod reminders;
pub mod reporting;
pub mod review;
pub mod rings;
pub mod rows;
pub mod runs;
pub mod saved_filters;
pub mod search;
pub mod sessions;
pub mod shots;
pub mod statement;
pub mod submissions;
pub mod tablets;
pub mod tray;
pub mod work;

pub use db::{Db, Engine, Tx};
pub use error::StoreError;

/// What every function of this crate returns.
pub type Result<T> = std::result::Result<T, StoreError>;
