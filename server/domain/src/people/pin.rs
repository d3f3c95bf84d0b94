//! PINs that open the bench on a shared tablet. A PIN counts only together with the tablet, so that a few digits do; ten
//! wrong ones in a row close it (NIST SP 800-63B §3.2.2 allows at most a hundred).

/// Fewest digits.
pub const SHORTEST: usize = 4;
/// Most digits.
pub const LONGEST: usize = 8;
/// Wrong PINs in a row after which it is closed until it is set anew.
pub const MOST_FAILURES: i64 = 10;

/// Why a PIN will not do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum WeakPin {
    #[error("Use {SHORTEST} to {LONGEST} digits and nothing else.")]
    NotDigits,
    #[error("Use more than one different digit.")]
    OneDigit,
    #[error("Digits in a row like 1234 or 9876 are the first that anybody tries. Choose others.")]
    InARow,
}

/// Accepts a PIN or says why not.
pub fn judge(pin: &str) -> Result<(), WeakPin> {
    let digits = pin.as_bytes();
    if !(SHORTEST..=LONGEST).contains(&digits.len()) || !digits.iter().all(u8::is_ascii_digit) {
        return Err(WeakPin::NotDigits);
    }
    let steps: Vec<i16> = digits.windows(2).map(|pair| i16::from(pair[1]) - i16::from(pair[0])).collect();
    match steps[0] {
        0 if steps.iter().all(|step| *step == 0) => Err(WeakPin::OneDigit),
        first @ (1 | -1) if steps.iter().all(|step| *step == first) => Err(WeakPin::InARow),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_anybody_would_try_first_is_refused() {
        for (pin, why) in [
            ("123", WeakPin::NotDigits),
            ("123456789", WeakPin::NotDigits),
            ("12a4", WeakPin::NotDigits),
            ("७७७७", WeakPin::NotDigits),
            ("0000", WeakPin::OneDigit),
            ("23456", WeakPin::InARow),
            ("9876", WeakPin::InARow),
        ] {
            assert_eq!(judge(pin), Err(why), "{pin}");
        }
        assert_eq!(judge("4071"), Ok(()));
    }
}
