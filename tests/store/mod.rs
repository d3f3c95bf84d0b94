//! What is kept comes back as it was, on both engines.
mod engines;
mod finds;
mod growth;
mod lists;
mod people;
mod sessions;
