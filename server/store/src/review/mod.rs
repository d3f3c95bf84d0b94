//! Specialists: what they were asked, what they say, what was made of it.
//!
//! - [`assignments`]: finds sent to a specialist with a question
//! - [`companions`]: what a specialist sees beside a find
//! - [`content`]: what an opinion holds several of
//! - [`opinions`]: drafts, submitted versions
//! - [`received`]: opinions by letter, entered for their author
//! - [`reopenings`]: what opens a settlement again
//! - [`settlements`]: the editor's decision, dissent kept
pub mod assignments;
pub mod companions;
pub mod content;
pub mod opinions;
pub mod received;
pub mod reopenings;
pub mod settlements;
