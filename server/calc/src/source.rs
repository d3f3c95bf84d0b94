//! Citations as values: what stands behind a rule or a number, and how well it was seen.
use serde::Serialize;
use std::fmt;

/// How well the makers know the statement behind a rule or a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Evidence {
    /// The statement or table was read in the source named.
    #[serde(rename = "seen")]
    Seen,
    /// Written from memory of the source named: confirm it before relying on it.
    #[serde(rename = "from memory")]
    FromMemory,
    /// What the trade does, without a publication to point to.
    #[serde(rename = "common practice, no source")]
    CommonPractice,
}

impl Evidence {
    /// The mark in words, as it is printed.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::FromMemory => "from memory",
            Self::CommonPractice => "common practice, no source",
        }
    }

    /// The mark that the words stand for.
    pub fn from_words(words: &str) -> Option<Self> {
        [Self::Seen, Self::FromMemory, Self::CommonPractice].into_iter().find(|mark| mark.words() == words)
    }
}

/// A citation. Parts that do not apply are empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Source {
    pub author: &'static str,
    /// Year of publication, as printed.
    pub year: &'static str,
    pub title: &'static str,
    /// Place in the source: page, table, clause.
    pub at: &'static str,
    pub evidence: Evidence,
}

impl Source {
    /// A statement that was read in the source.
    pub const fn seen(
        author: &'static str,
        year: &'static str,
        title: &'static str,
        at: &'static str,
    ) -> Self {
        Self { author, year, title, at, evidence: Evidence::Seen }
    }

    /// A statement written from memory of the source.
    pub const fn from_memory(author: &'static str, year: &'static str, title: &'static str) -> Self {
        Self { author, year, title, at: "", evidence: Evidence::FromMemory }
    }

    /// What the trade does; `title` says what that is.
    pub const fn common_practice(title: &'static str) -> Self {
        Self { author: "", year: "", title, at: "", evidence: Evidence::CommonPractice }
    }
}

impl fmt::Display for Source {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = [self.author, self.year]
            .into_iter()
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>()
            .join(" ");
        let parts = [name.as_str(), self.title, self.at];
        let text = parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
        write!(out, "{text} ({})", self.evidence.words())
    }
}

/// What a figure on screen opens to: how it was reached, within which limits, after whom, and what it leaves out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Basis {
    /// The rule in one line, its symbols with their units.
    pub formula: &'static str,
    /// The limits within which it is used.
    pub range: &'static str,
    pub sources: &'static [Source],
    /// What the rule does not cover or how far it may be off; empty where there is nothing to say.
    pub caution: &'static str,
}
