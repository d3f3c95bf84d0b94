//! What is kept comes back as it was, on both engines.
mod engines;
mod finds;
mod growth;
mod people;
mod sessions;
