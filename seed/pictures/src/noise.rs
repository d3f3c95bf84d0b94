//! Repeating fields of chance values, made once, from which every surface takes its grain.
use crate::chance::Chance;
use std::sync::OnceLock;

/// Texels along one side of a field; a power of two.
const SIDE: usize = 256;
/// Each field is kept in this many sizes, each half the one before, so that a fine grain seen from afar turns even.
const LEVELS: usize = 5;
/// Texels of the finest field to one unit of the clouds.
const CLOUD: f32 = 32.0;
/// Points scattered along one side of the field of cells.
const CELLS: i32 = 16;
/// Texels of the finest field to one cell.
const CELL: f32 = SIDE as f32 / CELLS as f32;

/// Fields that repeat without a seam.
pub struct Noise {
    /// Soft clouds of many sizes, stretched to 0..1; the largest puffs measure an eighth of the field.
    clouds: Vec<Vec<f32>>,
    /// Distance to the nearest of many scattered points, 0..1.
    cells: Vec<Vec<f32>>,
    /// Distance to the border between two of them.
    borders: Vec<Vec<f32>>,
}

/// The fields all pictures share.
pub fn noise() -> &'static Noise {
    static FIELDS: OnceLock<Noise> = OnceLock::new();
    FIELDS.get_or_init(|| {
        let (cells, borders) = cells();
        Noise { clouds: levels(clouds()), cells: levels(cells), borders: levels(borders) }
    })
}

impl Noise {
    /// Clouds whose largest puffs have the size 1, seen with so many pixels to the unit.
    #[inline]
    pub fn cloud(&self, x: f32, y: f32, pixels: f32) -> f32 {
        sample(&self.clouds, x * CLOUD, y * CLOUD, CLOUD / pixels)
    }

    /// How far the nearest scattered point is, points lying about 1 apart: 0 on a point, towards 1 away from all.
    #[inline]
    pub fn cell(&self, x: f32, y: f32, pixels: f32) -> f32 {
        sample(&self.cells, x * CELL, y * CELL, CELL / pixels)
    }

    /// How far the nearest border between two cells is: 0 on the border.
    #[inline]
    pub fn border(&self, x: f32, y: f32, pixels: f32) -> f32 {
        sample(&self.borders, x * CELL, y * CELL, CELL / pixels)
    }
}

/// The value between four texels of the level at which a texel is about a pixel.
#[inline]
fn sample(levels: &[Vec<f32>], x: f32, y: f32, texels_per_pixel: f32) -> f32 {
    let level = match texels_per_pixel {
        t if t < 1.6 => 0,
        t if t < 3.2 => 1,
        t if t < 6.4 => 2,
        t if t < 12.8 => 3,
        _ => 4,
    };
    let field = &levels[level];
    let side = SIDE >> level;
    let shrink = 1.0 / (1u32 << level) as f32;
    let (x, y) = (x * shrink, y * shrink);
    let (fx, fy) = (floor(x), floor(y));
    let (tx, ty) = (x - fx as f32, y - fy as f32);
    let mask = side - 1;
    let (x0, y0) = (fx as usize & mask, (fy as usize & mask) * side);
    let (x1, y1) = ((x0 + 1) & mask, ((fy + 1) as usize & mask) * side);
    let top = field[y0 + x0] + (field[y0 + x1] - field[y0 + x0]) * tx;
    let bottom = field[y1 + x0] + (field[y1 + x1] - field[y1 + x0]) * tx;
    top + (bottom - top) * ty
}

/// Cheaper than the library's on processors it has no instruction for.
#[inline]
fn floor(v: f32) -> i32 {
    let cut = v as i32;
    cut - i32::from(v < cut as f32)
}

/// A field and its halvings.
fn levels(finest: Vec<f32>) -> Vec<Vec<f32>> {
    let mut levels = vec![finest];
    for level in 1..LEVELS {
        let side = SIDE >> level;
        let fine = &levels[level - 1];
        let mean = |x: usize, y: usize| {
            let at = |dx: usize, dy: usize| fine[(2 * y + dy) * 2 * side + 2 * x + dx];
            (at(0, 0) + at(1, 0) + at(0, 1) + at(1, 1)) / 4.0
        };
        let halved = (0..side * side).map(|i| mean(i % side, i / side)).collect();
        levels.push(halved);
    }
    levels
}

/// Value noise in six doublings, each about half as strong.
fn clouds() -> Vec<f32> {
    let mut chance = Chance::named("clouds", 1);
    let mut field = vec![0.0f32; SIDE * SIDE];
    let mut strength = 1.0;
    for octave in 0..6 {
        let knots = 8usize << octave;
        let values: Vec<f32> = (0..knots * knots).map(|_| chance.unit()).collect();
        let step = knots as f32 / SIDE as f32;
        for y in 0..SIDE {
            for x in 0..SIDE {
                field[y * SIDE + x] +=
                    strength * knot_value(&values, knots, x as f32 * step, y as f32 * step);
            }
        }
        strength *= 0.5;
    }
    let low = field.iter().copied().fold(f32::MAX, f32::min);
    let high = field.iter().copied().fold(f32::MIN, f32::max);
    field.iter_mut().for_each(|v| *v = (*v - low) / (high - low));
    field
}

fn knot_value(values: &[f32], knots: usize, x: f32, y: f32) -> f32 {
    let ease = |t: f32| t * t * (3.0 - 2.0 * t);
    let (x0, y0) = (x as usize % knots, y as usize % knots);
    let (x1, y1) = ((x0 + 1) % knots, (y0 + 1) % knots);
    let (tx, ty) = (ease(x.fract()), ease(y.fract()));
    let top = values[y0 * knots + x0] * (1.0 - tx) + values[y0 * knots + x1] * tx;
    let bottom = values[y1 * knots + x0] * (1.0 - tx) + values[y1 * knots + x1] * tx;
    top * (1.0 - ty) + bottom * ty
}

/// Distances from the two nearest of one jittered point per cell (the idea of S. Worley 1996, "A cellular texture basis
/// function"): to the nearest, and how much further the second is.
fn cells() -> (Vec<f32>, Vec<f32>) {
    let mut chance = Chance::named("cells", 1);
    let points: Vec<[f32; 2]> = (0..CELLS * CELLS).map(|_| [chance.unit(), chance.unit()]).collect();
    let mut fields = (Vec::with_capacity(SIDE * SIDE), Vec::with_capacity(SIDE * SIDE));
    for row in 0..SIDE {
        for column in 0..SIDE {
            let (first, second) = two_nearest(&points, column as f32 / CELL, row as f32 / CELL);
            fields.0.push(first.min(1.0));
            fields.1.push((second - first).min(1.0));
        }
    }
    fields
}

fn two_nearest(points: &[[f32; 2]], x: f32, y: f32) -> (f32, f32) {
    let (mut first, mut second) = (f32::MAX, f32::MAX);
    for cy in y as i32 - 1..=y as i32 + 1 {
        for cx in x as i32 - 1..=x as i32 + 1 {
            let point = points[(cy.rem_euclid(CELLS) * CELLS + cx.rem_euclid(CELLS)) as usize];
            let (dx, dy) = (cx as f32 + point[0] - x, cy as f32 + point[1] - y);
            let distance = (dx * dx + dy * dy).sqrt();
            if distance < first {
                (first, second) = (distance, first);
            } else if distance < second {
                second = distance;
            }
        }
    }
    (first, second)
}
