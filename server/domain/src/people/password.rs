//! What a password must be. Length over tricks: NIST SP 800-63B §3.1.1 asks for length and no composition rules, and that what is
//! tried first is refused: common passwords, the name of the service, the name of the user.

/// Fewest characters of a password.
pub const SHORTEST: usize = 12;
/// Most characters of a password.
pub const LONGEST: usize = 200;

/// Why a password will not do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum WeakPassword {
    #[error("Use at least {SHORTEST} characters; a few unrelated words are easy to remember.")]
    TooShort,
    #[error("Use at most {LONGEST} characters.")]
    TooLong,
    #[error("Do not use your e-mail address as the password.")]
    IsTheAddress,
    #[error("Use more than one different character.")]
    OneCharacter,
    #[error("This is among the first that are tried. Take a few unrelated words.")]
    TriedFirst,
}

/// Words of passwords that are tried first, digits and signs left out (from memory, no source).
const TRIED_FIRST: &[&str] = &[
    "password",
    "passwort",
    "passphrase",
    "mypassword",
    "passwordpassword",
    "qwerty",
    "qwertyuiop",
    "qwertyuiopasdf",
    "qwertz",
    "qwertzuiop",
    "azerty",
    "azertyuiop",
    "asdfghjkl",
    "letmein",
    "welcome",
    "iloveyou",
    "administrator",
    "admin",
    "abc",
    "abcdef",
    "abcdefghijkl",
    "changeme",
    "secret",
    "sunshine",
    "princess",
    "dragon",
    "football",
    "monkey",
];

/// Accepts a password or says why not.
///
/// ```
/// use domain::people::password::{WeakPassword, judge};
/// assert_eq!(judge("seven gulls over the quay", "odile@vessenholt.example"), Ok(()));
/// for first in ["Password1234", "odile-2031-2031", "201020302040", "Qwertyuiop.123"] {
///     assert_eq!(judge(first, "odile@vessenholt.example"), Err(WeakPassword::TriedFirst));
/// }
/// ```
pub fn judge(password: &str, email: &str) -> Result<(), WeakPassword> {
    let length = password.chars().count();
    if length < SHORTEST {
        return Err(WeakPassword::TooShort);
    }
    if length > LONGEST {
        return Err(WeakPassword::TooLong);
    }
    if password.eq_ignore_ascii_case(email) {
        return Err(WeakPassword::IsTheAddress);
    }
    let first = password.chars().next();
    if password.chars().all(|c| Some(c) == first) {
        return Err(WeakPassword::OneCharacter);
    }
    let letters: String = password.chars().filter(|c| c.is_alphabetic()).collect::<String>().to_lowercase();
    let user = email.split('@').next().unwrap_or_default().to_lowercase();
    let named = letters == crate::PROGRAM.to_lowercase() || letters == user;
    if letters.is_empty() || named || TRIED_FIRST.contains(&letters.as_str()) {
        return Err(WeakPassword::TriedFirst);
    }
    Ok(())
}
