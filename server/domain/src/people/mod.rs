//! Accounts.
pub mod email;
pub mod link;
pub mod password;
pub mod pin;
