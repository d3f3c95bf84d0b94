//! Single-use links sent by mail.
use chrono::Duration;

crate::text_enum! {
    /// What a link in a letter is for.
    LinkPurpose, "purpose of a link" {
        Invitation = "invitation", "invitation";
        Reset = "reset", "new password";
    }
}

impl LinkPurpose {
    /// How long the link works: an invited specialist may be in the field for a week, a new password is asked for now.
    /// Common practice, no source.
    pub const fn lasts(self) -> Duration {
        match self {
            LinkPurpose::Invitation => Duration::days(14),
            LinkPurpose::Reset => Duration::hours(1),
        }
    }
}
