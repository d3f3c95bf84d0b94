//! A person's task from beginning to end, in a real browser.
mod sign_in;
