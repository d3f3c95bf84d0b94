//! The kinds of letters, and which of them a person may do without.

crate::text_enum! {
    /// What a letter is about. The label completes "letters about …".
    LetterKind, "kind of letter" {
        Invitation = "invitation", "your account";
        Password = "password", "your password";
        Assignment = "assignment", "finds sent to you for an opinion";
        Confirmation = "confirmation", "opinions entered for you to confirm";
        Question = "question", "questions on finds";
        Answer = "answer", "answers to your questions";
        DueSoon = "due_soon", "opinions due soon";
        Overdue = "overdue", "opinions overdue";
        Settlement = "settlement", "settlements, made and opened again";
        Level = "level", "cleaning levels, asked and answered";
        Dispatch = "dispatch", "objects on their way, and what came back otherwise";
        Digest = "digest", "what is due today, once a day";
    }
}

impl LetterKind {
    /// Whether a person may do without. What brings a link that comes by no other way, or warns of somebody else at one's
    /// account, everybody gets.
    pub const fn may_be_stopped(self) -> bool {
        match self {
            LetterKind::Invitation
            | LetterKind::Password
            | LetterKind::Assignment
            | LetterKind::Confirmation => false,
            LetterKind::Question
            | LetterKind::Answer
            | LetterKind::DueSoon
            | LetterKind::Overdue
            | LetterKind::Settlement
            | LetterKind::Level
            | LetterKind::Dispatch
            | LetterKind::Digest => true,
        }
    }

    /// The kinds a person may do without.
    pub fn stoppable() -> impl Iterator<Item = LetterKind> {
        Self::ALL.iter().copied().filter(|kind| kind.may_be_stopped())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_brings_a_link_or_a_warning_cannot_be_stopped() {
        let must: Vec<&str> =
            LetterKind::ALL.iter().filter(|kind| !kind.may_be_stopped()).map(|kind| kind.code()).collect();
        assert_eq!(must, ["invitation", "password", "assignment", "confirmation"]);
    }
}
