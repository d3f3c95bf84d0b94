//! Pictures drawn for the demo: invented objects on a grey board with a scale and a number card.
//!
//! Nothing here is a photograph of anything. The same [`Subject`] always gives the same bytes.
//!
//! - `kind`: what can be drawn, and how large it usually is
//! - `objects`: how each kind is shaped and coloured
//! - `bench`: one thing being drawn, with its soil before cleaning
//! - `table`, `light`, `card`: what lies under the camera, what falls on it, the scale and the number
//! - `outline`, `noise`, `tone`, `field`, `lettering`: shapes, grain, colour, grids, figures
//! - [`chance`]: what differs from thing to thing, the same every time; the site is invented by it too
//! - `jpeg`, `exif`: the file, with a camera's words in it
mod bench;
mod card;
pub mod chance;
mod exif;
mod field;
mod jpeg;
mod kind;
mod lettering;
mod light;
mod noise;
mod objects;
mod outline;
mod table;
mod tone;

pub use exif::{Exif, Position};
pub use jpeg::jpeg;
pub use kind::Kind;

use crate::chance::Chance;
use bench::Bench;
use table::{Pose, Table};
use tone::Tone;

/// From where a thing is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum View {
    Front,
    Back,
    /// Part of the front, nearer.
    Detail,
}

/// Whether it has been cleaned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cleaning {
    Before,
    After,
}

/// What falls on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Light {
    Visible,
    Raking,
    Ultraviolet,
    Xray,
}

/// What a picture shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Subject {
    pub kind: Kind,
    /// Which thing of its kind: the same seed is the same thing in every view and light.
    pub seed: u64,
    pub view: View,
    pub cleaning: Cleaning,
    pub light: Light,
    /// How many of the kind lie side by side; at least one is drawn, at most 40.
    pub pieces: u32,
    /// Its length in mm (the larger side), or what is usual for the kind.
    pub length_mm: Option<f32>,
    /// The lines on the card: site code and number.
    pub card: Vec<String>,
    pub width: usize,
    pub height: usize,
}

impl Subject {
    /// One thing from the front, uncleaned, in ordinary light, 1400 by 1050 pixels.
    pub fn of(kind: Kind, seed: u64, card: Vec<String>) -> Self {
        Self {
            kind,
            seed,
            view: View::Front,
            cleaning: Cleaning::Before,
            light: Light::Visible,
            pieces: 1,
            length_mm: None,
            card,
            width: 1400,
            height: 1050,
        }
    }
}

/// A finished picture: three bytes a pixel (sRGB), row by row from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    pub width: usize,
    pub height: usize,
    pub rgb: Vec<u8>,
}

impl Picture {
    fn blank(width: usize, height: usize) -> Self {
        Self { width, height, rgb: vec![0; width * height * 3] }
    }

    fn set(&mut self, x: usize, y: usize, tone: Tone) {
        let at = (y * self.width + x) * 3;
        self.rgb[at..at + 3].copy_from_slice(&tone.bytes());
    }

    fn blend(&mut self, x: usize, y: usize, tone: Tone, cover: f32) {
        if cover >= 1.0 {
            return self.set(x, y, tone);
        }
        let at = (y * self.width + x) * 3;
        let below = Tone::from_bytes([self.rgb[at], self.rgb[at + 1], self.rgb[at + 2]]);
        self.set(x, y, below.towards(tone, cover));
    }
}

/// Most pieces on one picture.
const MOST_PIECES: u32 = 40;

/// Draws the picture.
pub fn draw(subject: &Subject) -> Picture {
    let layout = Layout::of(subject);
    let mut table = Table::new(subject.width.max(64), subject.height.max(64), layout.ppm);
    for (number, pose) in layout.poses.iter().enumerate() {
        let seed = subject.seed.wrapping_mul(1_000).wrapping_add(number as u64);
        let chance = Chance::named(subject.kind.code(), seed);
        subject.kind.lay(&mut Bench::new(&mut table, *pose, subject, chance));
    }
    card::lay_scale(&mut table);
    let mut words: Vec<&str> = subject.card.iter().map(String::as_str).collect();
    words.extend(match subject.light {
        Light::Ultraviolet => Some("UV"),
        Light::Raking => Some("RAKING"),
        Light::Xray => Some("X-RAY"),
        Light::Visible => None,
    });
    if !words.is_empty() {
        card::lay_card(&mut table, &words);
    }
    match subject.light {
        Light::Visible => light::lit(&table, &light::soft_box()),
        Light::Raking => light::lit(&table, &light::raking()),
        Light::Ultraviolet => light::ultraviolet(&table),
        Light::Xray => light::xray(&table),
    }
}

/// Where the pieces lie and how large a millimetre is.
struct Layout {
    ppm: f32,
    poses: Vec<Pose>,
}

impl Layout {
    fn of(subject: &Subject) -> Self {
        let (usual_w, usual_h) = subject.kind.usual_mm();
        let scale = subject.length_mm.map_or(1.0, |mm| (mm / usual_w.max(usual_h)).clamp(0.2, 6.0));
        let (cell_w, cell_h) = (usual_w * scale * 1.12, usual_h * scale * 1.12);
        let (px_w, px_h) = (subject.width as f32, subject.height as f32);
        // tall and narrow things may reach down between the scale and the card
        let narrow = subject.pieces <= 1 && cell_h > 1.15 * cell_w;
        let (room_w, room_h) = if narrow { (px_w * 0.52, px_h * 0.93) } else { (px_w * 0.88, px_h * 0.76) };
        let pieces = subject.pieces.clamp(1, MOST_PIECES) as usize;
        let fit = |columns: usize| {
            let rows = pieces.div_ceil(columns);
            (room_w / (cell_w * columns as f32)).min(room_h / (cell_h * rows as f32))
        };
        let columns = (1..=pieces).max_by(|a, b| fit(*a).total_cmp(&fit(*b))).unwrap_or(1);
        let near = if subject.view == View::Detail { 2.2 } else { 1.0 };
        // never nearer than a 20 mm scale allows
        let ppm = fit(columns).min(px_w * 0.62 / 20.0 / near) * near;
        let rows = pieces.div_ceil(columns);
        let mut chance = Chance::named("layout", subject.seed);
        let lift = if narrow { 0.0 } else { px_h * 0.055 / ppm };
        let poses = (0..pieces)
            .map(|i| {
                let (column, row) = (i % columns, i / columns);
                let in_row = if row + 1 == rows { pieces - row * columns } else { columns };
                let loose = if pieces > 1 { 0.16 } else { 0.05 };
                Pose {
                    x: (column as f32 - (in_row - 1) as f32 / 2.0) * cell_w * near.min(1.0),
                    y: (row as f32 - (rows - 1) as f32 / 2.0) * cell_h - lift,
                    turn: chance.between(-loose, loose),
                    scale: scale * if pieces > 1 { chance.between(0.72, 1.0) } else { 1.0 },
                }
            })
            .collect();
        Self { ppm, poses }
    }
}
