//! What a specialist and the project's people write to each other about a find.

crate::text_enum! {
    /// What a line of a thread is.
    LineKind, "kind of line" {
        Question = "question", "a question";
        Measurement = "measurement", "a measurement asked for";
        Image = "image", "a further image asked for";
        /// Of the project's people; nobody has to answer it.
        Word = "word", "a word of the project";
    }
}

impl LineKind {
    /// What a specialist may ask.
    pub const ASKED: &'static [LineKind] = &[LineKind::Question, LineKind::Measurement, LineKind::Image];

    /// What its writer did, as a journal and a letter tell it.
    pub const fn told(self) -> &'static str {
        match self {
            LineKind::Question => "asked a question",
            LineKind::Measurement => "asked for a measurement",
            LineKind::Image => "asked for a further image",
            LineKind::Word => "wrote",
        }
    }

    /// Whether somebody is to answer.
    pub const fn asks(self) -> bool {
        !matches!(self, LineKind::Word)
    }
}
