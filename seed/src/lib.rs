//! seed
