//! Files that are kept and handed out but never opened here.

use std::io::Read;

use crate::{Arrived, Foreign, MediaError, sniff, sniff::HEAD_BYTES};

/// The kinds of document that may be attached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Document {
    Pdf,
    /// A drawing as SVG. It can carry programs: it is handed out as a file, never shown.
    Svg,
}

impl Document {
    /// Every kind.
    pub const ALL: &'static [Document] = &[Document::Pdf, Document::Svg];

    /// Ending for a file name offered to a visitor, without the dot; also the word it is stored by.
    pub fn ending(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Svg => "svg",
        }
    }

    /// Media type it is handed out as. An SVG goes out as plain bytes, so that no browser opens it as a page.
    pub fn mime(self) -> &'static str {
        match self {
            Self::Pdf => "application/pdf",
            Self::Svg => "application/octet-stream",
        }
    }

    /// The kind of a stored word.
    pub fn of_ending(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.ending() == word)
    }
}

impl Arrived {
    /// The kind of document this is, by its first bytes; none for pictures and everything else.
    ///
    /// # Errors
    /// [`MediaError::Unavailable`] if the file cannot be read back.
    pub async fn document(&self) -> Result<Option<Document>, MediaError> {
        let path = self.path().to_owned();
        crate::files::blocking(move || {
            let mut head = Vec::with_capacity(HEAD_BYTES);
            std::fs::File::open(path)?.take(HEAD_BYTES as u64).read_to_end(&mut head)?;
            Ok(match sniff(&head) {
                Err(MediaError::Unsupported(Foreign::Pdf)) => Some(Document::Pdf),
                Err(MediaError::Unsupported(Foreign::Svg)) => Some(Document::Svg),
                _ => None,
            })
        })
        .await
    }
}
