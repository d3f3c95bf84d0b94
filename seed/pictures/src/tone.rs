//! Colour as amounts of light: red, green and blue, linear, 1 being white paper in full light.
use std::sync::OnceLock;

/// An amount of red, green and blue light.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Tone(pub [f32; 3]);

impl Tone {
    pub const BLACK: Tone = Tone([0.0; 3]);

    /// From the six hexadecimal digits used on the web (sRGB, IEC 61966-2-1).
    pub fn hex(code: u32) -> Self {
        let part = |shift: u32| light_of(((code >> shift) & 0xff) as u8);
        Self([part(16), part(8), part(0)])
    }

    /// The same amount of each.
    pub const fn grey(amount: f32) -> Self {
        Self([amount; 3])
    }

    /// Part of the way to another tone; `share` is held between 0 and 1.
    #[inline]
    pub fn towards(self, other: Tone, share: f32) -> Tone {
        let (t, [r, g, b], [or, og, ob]) = (share.clamp(0.0, 1.0), self.0, other.0);
        Tone([r + (or - r) * t, g + (og - g) * t, b + (ob - b) * t])
    }

    /// More or less of it.
    #[inline]
    pub fn times(self, factor: f32) -> Tone {
        Tone([self.0[0] * factor, self.0[1] * factor, self.0[2] * factor])
    }

    /// Seen through, or lit by, another tone.
    #[inline]
    pub fn by(self, other: Tone) -> Tone {
        Tone([self.0[0] * other.0[0], self.0[1] * other.0[1], self.0[2] * other.0[2]])
    }

    /// Both lights together.
    #[inline]
    pub fn plus(self, other: Tone) -> Tone {
        Tone([self.0[0] + other.0[0], self.0[1] + other.0[1], self.0[2] + other.0[2]])
    }

    /// The bytes of a file.
    #[inline]
    pub fn bytes(self) -> [u8; 3] {
        let table = bytes();
        self.0.map(|v| table[(v.clamp(0.0, 1.0) * (STEPS - 1) as f32) as usize])
    }

    /// From the bytes of a file.
    #[inline]
    pub fn from_bytes(bytes: [u8; 3]) -> Tone {
        Tone(bytes.map(light_of))
    }
}

/// Steps of the table from light to byte.
const STEPS: usize = 8192;

fn bytes() -> &'static [u8] {
    static TABLE: OnceLock<Vec<u8>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let encode = |light: f32| {
            if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 }
        };
        (0..STEPS).map(|i| (encode(i as f32 / (STEPS - 1) as f32) * 255.0 + 0.5) as u8).collect()
    })
}

fn light_of(byte: u8) -> f32 {
    static TABLE: OnceLock<Vec<f32>> = OnceLock::new();
    let decode = |v: f32| if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) };
    TABLE.get_or_init(|| (0..256).map(|i| decode(i as f32 / 255.0)).collect())[byte as usize]
}
