//! What a password must be. Length over tricks: NIST SP 800-63B §3.1.1 asks for length and no composition rules.

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
}

/// Accepts a password or says why not.
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
    Ok(())
}
