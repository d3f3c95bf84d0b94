//! How often one may try to sign in, without letting a stranger lock the owner out.
//!
//! Three limits: of one address on the network, of one account from one address, and of one account from everywhere. None
//! of them binds a browser that signed in to that account before, or was given a new password by letter (it carries a cookie
//! that proves it): it has a limit of its own, so hammering an account never shuts its owner out, also from the same office.
//! Another limits the letters one address may ask for.
//! The numbers: common practice, no source.
use domain::ids::{PersonId, TabletId};
use governor::{DefaultKeyedRateLimiter, Quota, RateLimiter};
use std::net::{IpAddr, Ipv6Addr};
use std::num::NonZeroU32;
use std::time::Duration;

/// Attempts in a burst, and how long until one more is allowed.
const PER_ADDRESS: (u32, u64) = (60, 15);
const PER_ACCOUNT_AND_ADDRESS: (u32, u64) = (10, 60);
const PER_ACCOUNT: (u32, u64) = (50, 30);
const LETTERS_PER_ADDRESS: (u32, u64) = (10, 60);
/// PINs of one person on one tablet; ten wrong ones in a row close the PIN besides.
const PINS_PER_TABLET: (u32, u64) = (5, 60);

/// The counters, kept in memory.
pub struct SignInLimits {
    address: DefaultKeyedRateLimiter<IpAddr>,
    account_and_address: DefaultKeyedRateLimiter<(String, IpAddr)>,
    account: DefaultKeyedRateLimiter<String>,
    known_browser: DefaultKeyedRateLimiter<(String, IpAddr)>,
    letters: DefaultKeyedRateLimiter<IpAddr>,
    pins: DefaultKeyedRateLimiter<(PersonId, TabletId)>,
}

impl Default for SignInLimits {
    fn default() -> Self {
        Self {
            address: RateLimiter::keyed(quota(PER_ADDRESS)),
            account_and_address: RateLimiter::keyed(quota(PER_ACCOUNT_AND_ADDRESS)),
            account: RateLimiter::keyed(quota(PER_ACCOUNT)),
            known_browser: RateLimiter::keyed(quota(PER_ACCOUNT_AND_ADDRESS)),
            letters: RateLimiter::keyed(quota(LETTERS_PER_ADDRESS)),
            pins: RateLimiter::keyed(quota(PINS_PER_TABLET)),
        }
    }
}

impl SignInLimits {
    /// Whether one more attempt is allowed; counts it.
    pub fn allow(&self, email: &str, from: IpAddr, known_browser: bool) -> bool {
        let from = subscriber(from);
        let key = (email.chars().take(LONGEST_ADDRESS).collect::<String>(), from);
        if known_browser {
            return self.known_browser.check_key(&key).is_ok();
        }
        self.address.check_key(&from).is_ok()
            && self.account_and_address.check_key(&key).is_ok()
            && self.account.check_key(&key.0).is_ok()
    }

    /// Whether this address may ask for one more letter; counts it.
    pub fn allow_letter(&self, from: IpAddr) -> bool {
        self.letters.check_key(&subscriber(from)).is_ok()
    }

    /// Whether one more PIN of this person may be tried on this tablet; counts it.
    pub fn allow_pin(&self, person: PersonId, tablet: TabletId) -> bool {
        self.pins.check_key(&(person, tablet)).is_ok()
    }

    /// Forgets those who have been quiet.
    pub fn forget_quiet(&self) {
        self.address.retain_recent();
        self.account_and_address.retain_recent();
        self.account.retain_recent();
        self.known_browser.retain_recent();
        self.letters.retain_recent();
        self.pins.retain_recent();
    }
}

/// Longest e-mail address there can be (RFC 5321 §4.5.3.1.3, without the brackets); more is not remembered.
const LONGEST_ADDRESS: usize = 254;

/// One subscriber: an IPv4 address, or the /64 network an IPv6 subscriber is usually given (RFC 6177 §2).
pub fn subscriber(from: IpAddr) -> IpAddr {
    match from {
        IpAddr::V4(_) => from,
        IpAddr::V6(six) => six
            .to_ipv4_mapped()
            .map_or_else(|| IpAddr::V6(Ipv6Addr::from_bits(six.to_bits() >> 64 << 64)), IpAddr::V4),
    }
}

fn quota((burst, seconds): (u32, u64)) -> Quota {
    let burst = NonZeroU32::new(burst).unwrap_or(NonZeroU32::MIN);
    Quota::with_period(Duration::from_secs(seconds))
        .unwrap_or(Quota::per_minute(NonZeroU32::MIN))
        .allow_burst(burst)
}
