//! Chance that falls the same way every time.

/// A small generator of numbers (Steele, Lea & Flood 2014, SplitMix64); the same start gives the same numbers.
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Begins from a number.
    pub fn new(start: u64) -> Self {
        Self(start)
    }

    /// A number from 0 up to but not including `end`; 0 when `end` is 0.
    pub fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        if end == 0 { 0 } else { (z % end as u64) as usize }
    }
}
