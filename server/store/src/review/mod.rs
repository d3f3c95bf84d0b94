//! Specialists: what they were asked, what they say, what was made of it.
//!
//! - [`assignments`]: finds sent to a specialist with a question
//! - [`opinions`]: drafts, submitted versions
//! - [`settlements`]: the editor's decision, dissent kept
pub mod assignments;
pub mod opinions;
pub mod settlements;
