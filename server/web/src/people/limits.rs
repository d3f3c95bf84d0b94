//! How often one may try to sign in, without letting a stranger lock the owner out.
//!
//! Three limits, all of them about failures: of one address on the network, of one account from one address, and of one
//! account from everywhere. The last does not bind a browser that signed in to that account before (it carries a cookie
//! that proves it), so hammering an account from outside never shuts its owner out.
use governor::{DefaultKeyedRateLimiter, Quota, RateLimiter};
use std::net::IpAddr;
use std::num::NonZeroU32;
use std::time::Duration;

/// Attempts in a burst, and how long until one more is allowed.
const PER_ADDRESS: (u32, u64) = (60, 15);
const PER_ACCOUNT_AND_ADDRESS: (u32, u64) = (10, 60);
const PER_ACCOUNT: (u32, u64) = (50, 30);

/// The counters, kept in memory.
pub struct SignInLimits {
    address: DefaultKeyedRateLimiter<IpAddr>,
    account_and_address: DefaultKeyedRateLimiter<(String, IpAddr)>,
    account: DefaultKeyedRateLimiter<String>,
}

impl SignInLimits {
    pub(crate) fn new() -> Self {
        Self {
            address: RateLimiter::keyed(quota(PER_ADDRESS)),
            account_and_address: RateLimiter::keyed(quota(PER_ACCOUNT_AND_ADDRESS)),
            account: RateLimiter::keyed(quota(PER_ACCOUNT)),
        }
    }

    /// Whether one more attempt is allowed; counts it.
    pub fn allow(&self, email: &str, from: IpAddr, known_browser: bool) -> bool {
        let key = (email.to_owned(), from);
        if known_browser {
            return self.account_and_address.check_key(&key).is_ok();
        }
        self.address.check_key(&from).is_ok()
            && self.account_and_address.check_key(&key).is_ok()
            && self.account.check_key(&key.0).is_ok()
    }

    /// Forgets those who have been quiet.
    pub fn forget_quiet(&self) {
        self.address.retain_recent();
        self.account_and_address.retain_recent();
        self.account.retain_recent();
    }
}

fn quota((burst, seconds): (u32, u64)) -> Quota {
    let burst = NonZeroU32::new(burst).unwrap_or(NonZeroU32::MIN);
    Quota::with_period(Duration::from_secs(seconds))
        .unwrap_or(Quota::per_minute(NonZeroU32::MIN))
        .allow_burst(burst)
}
