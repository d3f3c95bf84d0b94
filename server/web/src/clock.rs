//! Time as an input: the machine's in earnest, a fixed one in tests.
use domain::Instant;

/// Where the present moment comes from.
#[derive(Clone, Debug)]
pub enum Clock {
    Machine,
    Fixed(Instant),
}

impl Clock {
    /// The present moment, to the microsecond.
    pub fn now(&self) -> Instant {
        match self {
            #[allow(clippy::disallowed_methods, reason = "the one place that asks the machine")]
            Clock::Machine => domain::cut(chrono::Utc::now()),
            Clock::Fixed(at) => *at,
        }
    }
}
