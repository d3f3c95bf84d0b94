//! The two faces of a report. Both show the same [`Account`](crate::interim::Account) and add nothing to it.
pub mod html;
pub mod pdf;
