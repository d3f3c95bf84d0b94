//! What the camera sees when a lamp, an ultraviolet tube or an X-ray falls on the table.
use super::Picture;
use super::field::Field;
use super::noise::noise;
use super::table::{Table, Texel, ease};
use super::tone::Tone;

/// A lamp, the brightening from the other side, and the light of the room.
pub struct Lamp {
    /// towards the lamp, as x to the right, y downwards, z to the camera
    direction: [f32; 3],
    key: Tone,
    fill: Tone,
    sky: Tone,
    /// softness of shadows in mm
    softness: f32,
}

/// A soft box at the upper left.
pub fn soft_box() -> Lamp {
    Lamp {
        direction: unit([-0.52, -0.62, 0.82]),
        key: Tone([0.88, 0.865, 0.83]),
        fill: Tone([0.14, 0.145, 0.155]),
        sky: Tone([0.26, 0.265, 0.28]),
        softness: 3.0,
    }
}

/// One bare lamp almost level with the table, from the left.
pub fn raking() -> Lamp {
    Lamp {
        direction: unit([-0.90, -0.54, 0.33]),
        key: Tone([1.75, 1.66, 1.50]),
        fill: Tone([0.012, 0.012, 0.016]),
        sky: Tone([0.05, 0.051, 0.056]),
        softness: 0.5,
    }
}

fn unit(v: [f32; 3]) -> [f32; 3] {
    let length = (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt();
    v.map(|c| c / length)
}

/// The grey board that everything lies on.
const BOARD: f32 = 0.44;

/// A photograph in the light of a lamp.
pub fn lit(table: &Table, lamp: &Lamp) -> Picture {
    let shade = shade(table, lamp);
    let sky = open_sky(table);
    let level = lamp.direction[2].max(0.0);
    let board = |x: usize, y: usize| {
        let light = lamp
            .key
            .times(shade.near(x, y) * level)
            .plus(lamp.fill.times(0.6))
            .plus(lamp.sky.times(sky.near(x, y)));
        light.times(BOARD * grain(x, y) * falloff(table, x, y))
    };
    let mut picture = ground(table, board);
    for_each_texel(table, |x, y, texel| {
        let seen = &texel.surface;
        let normal = table.normal(x, y);
        let (key, near) = (shade.near(x, y), falloff(table, x, y));
        let mut out = seen.colour.by(lamp.on(normal, key, sky.near(x, y))).times(near);
        if seen.clear > 0.0 {
            // light gathers where glass turns away from the lamp
            let gathered = 0.96 + 0.30 * (normal[0] + normal[1]).max(0.0);
            out = out.towards(board(x, y).by(seen.colour).times(gathered * 1.12), seen.clear);
        }
        out = out.plus(lamp.glint(normal, seen.gloss).times(key.max(0.15) * near));
        picture.blend(x, y, out, texel.cover);
    });
    picture
}

/// The picture under ultraviolet: nearly dark, save what answers with light of its own.
pub fn ultraviolet(table: &Table) -> Picture {
    let sky = open_sky(table);
    let violet = Tone([0.030, 0.016, 0.105]);
    let mut picture =
        ground(table, |x, y| violet.times(BOARD * grain(x, y) * sky.near(x, y) * falloff(table, x, y)));
    for_each_texel(table, |x, y, texel| {
        let normal = table.normal(x, y);
        let facing = (0.35 + 0.65 * normal[2]) * sky.near(x, y) * falloff(table, x, y);
        let lean = 0.75 + 0.5 * (-normal[0] * 0.5 - normal[1] * 0.5);
        let out = texel.surface.colour.by(violet).times(1.6).plus(texel.surface.glow).times(facing * lean);
        picture.blend(x, y, out, texel.cover);
    });
    picture
}

/// A radiograph: what holds back the ray stays light, the rest is dark.
pub fn xray(table: &Table) -> Picture {
    let mut held = vec![0.0f32; table.width * table.height];
    for_each_texel(table, |x, y, texel| held[y * table.width + x] += texel.surface.absorb * texel.cover);
    let held = Field::shrunk(&held, table.width, table.height, 1).blurred(1);
    let mut picture = Picture::blank(table.width, table.height);
    for y in 0..table.height {
        for x in 0..table.width {
            let mottle = noise().cloud(x as f32 * 0.0173, y as f32 * 0.0173, 60.0) - 0.5;
            let stopped = 1.0 - (-held.cells[y * table.width + x].max(0.0)).exp();
            let light = 0.016 + 0.80 * stopped * stopped.sqrt() + 0.022 * mottle * (0.3 + stopped);
            picture.set(x, y, Tone([0.97, 1.0, 1.02]).times(light * (0.6 + 0.4 * falloff(table, x, y))));
        }
    }
    picture
}

/// The board alone: it changes softly, so that four pixels share one tone.
fn ground(table: &Table, board: impl Fn(usize, usize) -> Tone) -> Picture {
    let mut picture = Picture::blank(table.width, table.height);
    for y in (0..table.height).step_by(2) {
        for x in (0..table.width).step_by(2) {
            let bytes = board(x, y).bytes();
            for (x, y) in [(x, y), (x + 1, y), (x, y + 1), (x + 1, y + 1)] {
                if x < table.width && y < table.height {
                    let at = (y * table.width + x) * 3;
                    picture.rgb[at..at + 3].copy_from_slice(&bytes);
                }
            }
        }
    }
    picture
}

/// The grain of the board, in two sizes that do not repeat together.
#[inline]
fn grain(x: usize, y: usize) -> f32 {
    let (x, y) = (x as f32, y as f32);
    let wide = noise().cloud(x * 0.0037, y * 0.0037, 270.0);
    let fine = noise().cloud(y * 0.0131 + 0.31, x * 0.0131 + 0.17, 76.0);
    0.93 + 0.06 * wide + 0.08 * fine
}

impl Lamp {
    /// The light a surface gets that faces this way; `key` and `sky` say how much of either reaches it.
    #[inline]
    fn on(&self, n: [f32; 3], key: f32, sky: f32) -> Tone {
        let l = self.direction;
        let towards = (n[0] * l[0] + n[1] * l[1] + n[2] * l[2]).max(0.0);
        let back = (-n[0] * l[0] * 0.8 - n[1] * l[1] * 0.8 + n[2] * 0.6).max(0.0);
        self.key
            .times(towards * key)
            .plus(self.fill.times(back))
            .plus(self.sky.times(sky * (0.45 + 0.55 * n[2])))
    }

    /// The glint of the lamp in a glossy surface.
    #[inline]
    fn glint(&self, n: [f32; 3], gloss: f32) -> Tone {
        if gloss < 0.01 {
            return Tone::BLACK;
        }
        let half = unit([self.direction[0], self.direction[1], self.direction[2] + 1.0]);
        let facing = (n[0] * half[0] + n[1] * half[1] + n[2] * half[2]).max(0.0);
        let eighth = facing.powi(8);
        let broad = eighth * eighth;
        self.key.times(gloss * (0.12 * broad + 0.9 * gloss * broad.powi(5)))
    }
}

impl Table {
    /// The way a surface faces, from the slope of the relief.
    #[inline]
    fn normal(&self, x: usize, y: usize) -> [f32; 3] {
        let at = |x: usize, y: usize| self.relief[y * self.width + x];
        let (left, right) = (x.saturating_sub(1), (x + 1).min(self.width - 1));
        let (up, down) = (y.saturating_sub(1), (y + 1).min(self.height - 1));
        let slope = |low: f32, high: f32| ((high - low) * self.ppm * 0.5).clamp(-2.2, 2.2);
        let (sx, sy) = (slope(at(left, y), at(right, y)), slope(at(x, up), at(x, down)));
        let scale = 1.0 / (1.0 + sx * sx + sy * sy).sqrt();
        [-sx * scale, -sy * scale, scale]
    }
}

/// Goes over every covered pixel of every piece, later pieces after those they lie upon.
fn for_each_texel(table: &Table, mut visit: impl FnMut(usize, usize, &Texel)) {
    for patch in &table.patches {
        for (row, texels) in patch.texels.chunks_exact(patch.width).enumerate() {
            for (column, texel) in texels.iter().enumerate().filter(|(_, texel)| texel.cover > 0.0) {
                visit(patch.left + column, patch.top + row, texel);
            }
        }
    }
}

/// The lamp is nearer to one corner, and a lens darkens its rim.
#[inline]
fn falloff(table: &Table, x: usize, y: usize) -> f32 {
    let u = x as f32 / table.width as f32 - 0.42;
    let v = y as f32 / table.height as f32 - 0.40;
    1.06 - 0.42 * (u * u + v * v)
}

/// How much of the lamp reaches each spot: rays are followed row by row away from the lamp over the relief.
fn shade(table: &Table, lamp: &Lamp) -> Field {
    let step = 2;
    let relief = Field::shrunk(&table.relief, table.width, table.height, step);
    let mm = step as f32 / table.ppm;
    let [lx, ly, lz] = lamp.direction;
    // from one row to the next the ray moves sideways by this much and falls by that much
    let sideways = lx / ly;
    let fall = lz / ly.abs() * mm;
    let (w, h) = (relief.width, relief.height);
    let mut before = vec![0.0f32; w];
    let mut now = vec![0.0f32; w];
    let mut cells = vec![1.0f32; w * h];
    let penumbra = lamp.softness * 0.35 + 0.15;
    for y in 0..h {
        for x in 0..w {
            let from = (x as f32 - sideways).clamp(0.0, (w - 1) as f32);
            let left = from as usize;
            let (a, b) = (before[left], before[(left + 1).min(w - 1)]);
            let ray = a + (b - a) * (from - left as f32) - fall;
            let ground = relief.cells[y * w + x];
            now[x] = ray.max(ground);
            cells[y * w + x] = 1.0 - ease(0.0, penumbra, ray - ground);
        }
        std::mem::swap(&mut before, &mut now);
    }
    let radius = (lamp.softness / mm / 2.0).round().min(14.0) as usize;
    Field { width: w, height: h, step, cells }.blurred(radius.max(1))
}

/// How much of the room each spot sees: less in hollows and beside walls.
fn open_sky(table: &Table) -> Field {
    let step = 4;
    let relief = Field::shrunk(&table.relief, table.width, table.height, step);
    let reach_mm = 0.035 * table.width as f32 / table.ppm;
    let radius = (reach_mm * table.ppm / step as f32) as usize;
    let own = relief.cells.clone();
    let mut around = relief.blurred(radius.max(1));
    around.cells.iter_mut().zip(own).for_each(|(mean, own)| {
        *mean = 1.0 / (1.0 + 2.2 * ((*mean - own) / reach_mm).max(0.0));
    });
    around.blurred(1).refined(table.width, table.height, 2)
}
