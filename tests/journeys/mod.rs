//! A person's task from beginning to end, in a real browser.
mod looking;
mod sign_in;
