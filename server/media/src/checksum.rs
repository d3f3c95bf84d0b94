//! The name of a file in the store: the SHA-256 of its bytes.

use std::{fmt, str::FromStr};

use serde::{Deserialize, Serialize};

/// SHA-256 (FIPS 180-4) of a file, written as 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct Checksum([u8; 32]);

/// The text is not 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a checksum has 64 hexadecimal digits")]
pub struct NotAChecksum;

impl Checksum {
    pub(crate) fn of_digest(digest: impl Into<[u8; 32]>) -> Self {
        Self(digest.into())
    }
}

impl fmt::Display for Checksum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Checksum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Checksum({self})")
    }
}

impl FromStr for Checksum {
    type Err = NotAChecksum;

    /// Upper case is refused, so that one file has one spelling in paths and tables.
    fn from_str(text: &str) -> Result<Self, NotAChecksum> {
        let digits = text.as_bytes();
        if digits.len() != 64 || !digits.iter().all(|d| matches!(d, b'0'..=b'9' | b'a'..=b'f')) {
            return Err(NotAChecksum);
        }
        let mut bytes = [0; 32];
        for (byte, at) in bytes.iter_mut().zip((0..64).step_by(2)) {
            *byte = u8::from_str_radix(&text[at..at + 2], 16).map_err(|_| NotAChecksum)?;
        }
        Ok(Self(bytes))
    }
}

impl From<Checksum> for String {
    fn from(checksum: Checksum) -> Self {
        checksum.to_string()
    }
}

impl TryFrom<String> for Checksum {
    type Error = NotAChecksum;

    fn try_from(text: String) -> Result<Self, NotAChecksum> {
        text.parse()
    }
}
