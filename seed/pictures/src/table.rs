//! The table under the camera: things laid on it in millimetres, kept as relief and surface until a light falls on them.
use super::field::{Field, depth};
use super::noise::{Noise, noise};
use super::tone::Tone;
use tiny_skia::{FillRule, Mask, Path, Rect, Transform};

/// What a surface is like at one spot.
#[derive(Debug, Clone, Copy)]
pub struct Surface {
    /// mm above the table
    pub height: f32,
    pub colour: Tone,
    /// 0 dull to 1 wet
    pub gloss: f32,
    /// share of light that passes through
    pub clear: f32,
    /// light given back under ultraviolet
    pub glow: Tone,
    /// how much of an X-ray is held back; 1 dims it to about a third
    pub absorb: f32,
}

impl Default for Surface {
    fn default() -> Self {
        Self { height: 1.0, colour: Tone::grey(0.4), gloss: 0.0, clear: 0.0, glow: Tone::BLACK, absorb: 0.2 }
    }
}

/// Where a thing lies: its centre in mm from the middle of the picture, turned, enlarged.
#[derive(Debug, Clone, Copy)]
pub struct Pose {
    pub x: f32,
    pub y: f32,
    pub turn: f32,
    pub scale: f32,
}

impl Pose {
    /// Moved within the thing's own axes.
    pub fn shifted(self, dx: f32, dy: f32) -> Pose {
        let (sin, cos) = self.turn.sin_cos();
        Pose {
            x: self.x + (dx * cos - dy * sin) * self.scale,
            y: self.y + (dx * sin + dy * cos) * self.scale,
            ..self
        }
    }

    /// Turned further.
    pub fn turned(self, by: f32) -> Pose {
        Pose { turn: self.turn + by, ..self }
    }
}

/// A shape to be laid, with drawings upon it that its surface may read as ink.
pub struct Piece {
    outline: Option<Path>,
    drawings: Vec<(Option<Path>, f32)>,
}

impl Piece {
    pub fn new(outline: Option<Path>) -> Self {
        Self { outline, drawings: Vec::new() }
    }

    /// A drawing on the piece, its edge softened over a distance in mm.
    pub fn with(mut self, drawing: Option<Path>, soft_mm: f32) -> Self {
        self.drawings.push((drawing, soft_mm));
        self
    }
}

/// Most drawings on one piece.
const INKS: usize = 4;

/// One spot of a piece as its surface is asked for.
pub struct Spot<'a> {
    /// mm in the piece's own axes
    pub x: f32,
    pub y: f32,
    /// mm to the nearest edge
    pub d: f32,
    inks: [f32; INKS],
    noise: &'a Noise,
    offset: [f32; 2],
    /// pixels to a mm
    per_mm: f32,
}

impl Spot<'_> {
    /// Soft clouds with puffs of a size in mm, 0..1 and mostly near 0.5.
    #[inline]
    pub fn cloud(&self, size: f32) -> f32 {
        self.stretched(size, size)
    }

    /// Clouds drawn out: sizes across and down in mm.
    #[inline]
    pub fn stretched(&self, across: f32, down: f32) -> f32 {
        self.noise.cloud(
            self.x / across + self.offset[0],
            self.y / down + self.offset[1],
            across.min(down) * self.per_mm,
        )
    }

    /// Distance from scattered points, these about a size in mm apart: 0 on a point, up to 1.
    #[inline]
    pub fn cell(&self, size: f32) -> f32 {
        self.stretched_cell(size, size)
    }

    /// The same, sizes across and down in mm.
    #[inline]
    pub fn stretched_cell(&self, across: f32, down: f32) -> f32 {
        self.noise.cell(
            self.x / across + self.offset[0],
            self.y / down + self.offset[1],
            across.min(down) * self.per_mm,
        )
    }

    /// Distance from the cracks between fields of a size in mm: 0 on a crack.
    #[inline]
    pub fn crack(&self, size: f32) -> f32 {
        self.noise.border(self.x / size + self.offset[1], self.y / size + self.offset[0], size * self.per_mm)
    }

    /// How much of a drawing lies here, 0..1.
    #[inline]
    pub fn ink(&self, drawing: usize) -> f32 {
        self.inks[drawing]
    }
}

/// From 0 at `from` to 1 at `to`, without a kink; `from` may be the larger.
#[inline]
pub fn ease(from: f32, to: f32, value: f32) -> f32 {
    let t = ((value - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// The length of the way to a point.
#[inline]
pub fn length(x: f32, y: f32) -> f32 {
    (x * x + y * y).sqrt()
}

/// The height of a rounded edge of a radius in mm, at a distance from the edge: a quarter circle, then flat.
#[inline]
pub fn round(d: f32, radius: f32) -> f32 {
    let inward = (radius - d).max(0.0);
    (radius * radius - inward * inward).max(0.0).sqrt()
}

/// One pixel of a piece.
#[derive(Clone, Copy)]
pub struct Texel {
    pub surface: Surface,
    pub cover: f32,
}

/// The pixels of a piece within its frame.
pub struct Patch {
    pub left: usize,
    pub top: usize,
    pub width: usize,
    pub texels: Vec<Texel>,
}

/// Everything that lies under the camera.
pub struct Table {
    pub width: usize,
    pub height: usize,
    /// pixels per mm
    pub ppm: f32,
    /// mm above the table, one per pixel
    pub relief: Vec<f32>,
    pub patches: Vec<Patch>,
}

/// A frame in pixels.
struct Frame {
    left: usize,
    top: usize,
    width: usize,
    height: usize,
}

impl Table {
    pub fn new(width: usize, height: usize, ppm: f32) -> Self {
        Self { width, height, ppm, relief: vec![0.0; width * height], patches: Vec::new() }
    }

    /// Lays a piece down; `offset` shifts its grain so that no two look alike.
    pub fn lay(&mut self, piece: &Piece, pose: Pose, offset: [f32; 2], surface: impl Fn(&Spot) -> Surface) {
        let per_mm = self.ppm * pose.scale;
        let (sin, cos) = pose.turn.sin_cos();
        let centre =
            [self.width as f32 / 2.0 + pose.x * self.ppm, self.height as f32 / 2.0 + pose.y * self.ppm];
        let to_pixels = Transform::from_row(
            cos * per_mm,
            sin * per_mm,
            -sin * per_mm,
            cos * per_mm,
            centre[0],
            centre[1],
        );
        let Some(outline) = piece.outline.clone().and_then(|path| path.transform(to_pixels)) else { return };
        let Some(frame) = self.frame(outline.bounds()) else { return };
        let Some(mask) = fill(&outline, &frame) else { return };
        let step = if frame.width * frame.height > 160_000 { 2 } else { 1 };
        let depth = depth(mask.data(), frame.width, frame.height, step);
        let drawings: Vec<Field> = piece
            .drawings
            .iter()
            .take(INKS)
            .map(|(path, soft)| {
                drawing(path.clone().and_then(|p| p.transform(to_pixels)), &frame, soft * per_mm)
            })
            .collect();
        let blank = Texel { surface: Surface::default(), cover: 0.0 };
        let mut texels = vec![blank; frame.width * frame.height];
        let (noise, shrink) = (noise(), 1.0 / per_mm);
        for row in 0..frame.height {
            let dy = (frame.top + row) as f32 + 0.5 - centre[1];
            for column in 0..frame.width {
                let at = row * frame.width + column;
                if mask.data()[at] == 0 {
                    continue;
                }
                let cover = f32::from(mask.data()[at]) / 255.0;
                let dx = (frame.left + column) as f32 + 0.5 - centre[0];
                let mut inks = [0.0; INKS];
                inks.iter_mut().zip(&drawings).for_each(|(ink, field)| *ink = field.at(column, row));
                let spot = Spot {
                    x: (dx * cos + dy * sin) * shrink,
                    y: (dy * cos - dx * sin) * shrink,
                    d: depth.at(column, row) * shrink,
                    inks,
                    noise,
                    offset,
                    per_mm,
                };
                let surface = surface(&spot);
                let relief = &mut self.relief[(frame.top + row) * self.width + frame.left + column];
                *relief += (surface.height * pose.scale - *relief) * cover;
                texels[at] = Texel { surface, cover };
            }
        }
        self.patches.push(Patch { left: frame.left, top: frame.top, width: frame.width, texels });
    }

    /// The pixels a shape reaches, with a margin of two, within the picture.
    fn frame(&self, bounds: Rect) -> Option<Frame> {
        let left = (bounds.left() - 2.0).max(0.0) as usize;
        let top = (bounds.top() - 2.0).max(0.0) as usize;
        let right = ((bounds.right() + 3.0).max(0.0) as usize).min(self.width);
        let bottom = ((bounds.bottom() + 3.0).max(0.0) as usize).min(self.height);
        (right > left && bottom > top).then(|| Frame { left, top, width: right - left, height: bottom - top })
    }
}

/// The shape as coverage within a frame.
fn fill(path: &Path, frame: &Frame) -> Option<Mask> {
    let mut mask = Mask::new(frame.width as u32, frame.height as u32)?;
    let shift = Transform::from_translate(-(frame.left as f32), -(frame.top as f32));
    mask.fill_path(path, FillRule::EvenOdd, true, shift);
    Some(mask)
}

/// A drawing as coverage 0..1 within a frame, softened.
fn drawing(path: Option<Path>, frame: &Frame, soft_px: f32) -> Field {
    let step = if soft_px > 3.0 { 2 } else { 1 };
    let full: Vec<f32> = match path.and_then(|path| fill(&path, frame)) {
        Some(mask) => mask.data().iter().map(|v| f32::from(*v) / 255.0).collect(),
        None => vec![0.0; frame.width * frame.height],
    };
    let radius = (soft_px / 2.0 / step as f32).round() as usize;
    Field::shrunk(&full, frame.width, frame.height, step).blurred(radius)
}
