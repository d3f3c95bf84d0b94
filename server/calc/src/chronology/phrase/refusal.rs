//! A phrase that is not read: the reason in a sentence, and texts that might have been meant.

/// Why a phrase is not read.
#[derive(Debug)]
pub(super) struct Refusal {
    pub reason: String,
    /// Candidates; those that would not be read themselves are dropped before anyone sees them.
    pub suggestions: Vec<String>,
}

impl Refusal {
    pub fn plain(reason: impl Into<String>) -> Self {
        Self { reason: reason.into(), suggestions: Vec::new() }
    }

    pub fn with(reason: impl Into<String>, suggestions: Vec<String>) -> Self {
        Self { reason: reason.into(), suggestions }
    }
}
