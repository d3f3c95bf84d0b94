//! Accounts.
pub mod email;
pub mod password;
