//! Chance that repeats: the same seed gives the same numbers for ever, so that the demo can be tested to the byte.

/// A small seeded generator. The mixing function is SplitMix64 (Steele, Lea and Flood 2014, "Fast splittable pseudorandom
/// number generators", figure 17; constants from memory, and nothing here depends on their quality).
#[derive(Debug, Clone)]
pub struct Chance(u64);

impl Chance {
    /// A generator of its own for each seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A generator named by words: the same words and seed always give the same one.
    pub fn named(words: &str, seed: u64) -> Self {
        // FNV-1a, 64 bits
        let hash = words
            .bytes()
            .fold(0xcbf2_9ce4_8422_2325_u64, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3));
        Self::new(hash ^ seed.wrapping_mul(0x9e37_79b9_7f4a_7c15))
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number from 0 up to but not including `end`; 0 when `end` is 0.
    pub fn below(&mut self, end: usize) -> usize {
        (self.bits() % (end as u64).max(1)) as usize
    }

    /// From 0 to below 1.
    pub fn unit(&mut self) -> f32 {
        (self.bits() >> 40) as f32 / (1u32 << 24) as f32
    }

    /// From `low` to below `high`.
    pub fn between(&mut self, low: f32, high: f32) -> f32 {
        low + (high - low) * self.unit()
    }

    /// A whole number from `low` to `high`, both included; `low` when they are crossed.
    pub fn whole(&mut self, low: i64, high: i64) -> i64 {
        if high <= low {
            return low;
        }
        low + (self.bits() % (high - low + 1) as u64) as i64
    }

    /// True in `share` of all cases.
    pub fn odds(&mut self, share: f32) -> bool {
        self.unit() < share
    }

    /// One of several; the first of an empty list does not exist, so lists are never empty here.
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[(self.bits() % from.len().max(1) as u64) as usize]
    }

    /// The position of one of several weights, chosen in proportion.
    pub fn weighted(&mut self, weights: &[u32]) -> usize {
        let total: u64 = weights.iter().map(|w| u64::from(*w)).sum();
        let mut left = self.bits() % total.max(1);
        for (position, weight) in weights.iter().enumerate() {
            if left < u64::from(*weight) {
                return position;
            }
            left -= u64::from(*weight);
        }
        0
    }
}

#[cfg(test)]
mod tests {
    use super::Chance;

    #[test]
    fn the_same_words_and_seed_give_the_same_numbers() {
        let draw = |seed| {
            let mut chance = Chance::named("nail", seed);
            (0..5).map(|_| chance.bits()).collect::<Vec<_>>()
        };
        assert_eq!(draw(7), draw(7));
        assert_ne!(draw(7), draw(8));
    }

    #[test]
    fn numbers_stay_within_their_bounds() {
        let mut chance = Chance::new(1);
        for _ in 0..1000 {
            assert!((3..=5).contains(&chance.whole(3, 5)));
            assert!((2.0..4.0).contains(&chance.between(2.0, 4.0)));
            assert!(chance.weighted(&[0, 3, 1]) > 0);
        }
        assert_eq!(chance.whole(4, 2), 4);
    }
}
