//! Outlines of things in millimetres, x to the right and y downwards: closed rings of points.
use crate::chance::Chance;
use std::f32::consts::TAU;
use tiny_skia::{LineCap, LineJoin, Path, PathBuilder, Stroke};

pub type Point = [f32; 2];
/// A closed line; the last point joins the first.
pub type Ring = Vec<Point>;

/// One path from several rings; a ring within a ring is a hole when filled even-odd.
pub fn path(rings: &[Ring]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for ring in rings {
        let mut points = ring.iter();
        let Some(first) = points.next() else { continue };
        builder.move_to(first[0], first[1]);
        points.for_each(|p| builder.line_to(p[0], p[1]));
        builder.close();
    }
    builder.finish()
}

/// Open lines drawn with a round pen of a width in mm.
pub fn strokes(lines: &[Vec<Point>], width: f32) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for line in lines {
        let mut points = line.iter();
        let Some(first) = points.next() else { continue };
        builder.move_to(first[0], first[1]);
        points.for_each(|p| builder.line_to(p[0], p[1]));
    }
    let pen = Stroke { width, line_cap: LineCap::Round, line_join: LineJoin::Round, ..Stroke::default() };
    builder.finish()?.stroke(&pen, 20.0)
}

pub fn ellipse(centre: Point, rx: f32, ry: f32) -> Ring {
    (0..96)
        .map(|i| i as f32 / 96.0 * TAU)
        .map(|a| [centre[0] + rx * a.cos(), centre[1] + ry * a.sin()])
        .collect()
}

/// A rectangle by its centre and full sides.
pub fn rectangle(centre: Point, width: f32, height: f32) -> Ring {
    let (x, y, w, h) = (centre[0], centre[1], width / 2.0, height / 2.0);
    vec![[x - w, y - h], [x + w, y - h], [x + w, y + h], [x - w, y + h]]
}

/// Points along a part of an ellipse, angles in turns of a full circle.
pub fn arc(centre: Point, radius: Point, from: f32, to: f32) -> Vec<Point> {
    (0..=32)
        .map(|i| (from + (to - from) * i as f32 / 32.0) * TAU)
        .map(|a| [centre[0] + radius[0] * a.cos(), centre[1] + radius[1] * a.sin()])
        .collect()
}

/// A soft closed curve through the points (Catmull and Rom's spline).
pub fn smooth(points: &[Point]) -> Ring {
    let n = points.len();
    let at = |i: usize| points[i % n];
    (0..n).flat_map(|i| span([at(i + n - 1), at(i), at(i + 1), at(i + 2)])).collect()
}

/// A soft open curve through the points.
pub fn curve(points: &[Point]) -> Vec<Point> {
    let Some(last) = points.len().checked_sub(1) else { return Vec::new() };
    let at = |i: isize| points[i.clamp(0, last as isize) as usize];
    let mut line: Vec<Point> =
        (0..last as isize).flat_map(|i| span([at(i - 1), at(i), at(i + 1), at(i + 2)])).collect();
    line.push(points[last]);
    line
}

/// Twelve points from the second towards the third of four.
fn span(p: [Point; 4]) -> impl Iterator<Item = Point> {
    (0..12).map(move |k| {
        let t = k as f32 / 12.0;
        [0, 1].map(|c| {
            let (a, b, d, e) = (p[0][c], p[1][c], p[2][c], p[3][c]);
            0.5 * (2.0 * b
                + (d - a) * t
                + (2.0 * a - 5.0 * b + 4.0 * d - e) * t * t
                + (3.0 * (b - d) + e - a) * t * t * t)
        })
    })
}

/// A strip along a line, with a half-width at each of its points.
pub fn strip(line: &[Point], half_width: impl Fn(f32) -> f32) -> Ring {
    let last = line.len().saturating_sub(1).max(1);
    let side = |i: usize, sign: f32| {
        let (a, b) = (line[i.saturating_sub(1)], line[(i + 1).min(line.len() - 1)]);
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let length = dx.hypot(dy).max(1e-6);
        let half = half_width(i as f32 / last as f32) * sign;
        [line[i][0] - dy / length * half, line[i][1] + dx / length * half]
    };
    let mut ring: Ring = (0..line.len()).map(|i| side(i, 1.0)).collect();
    ring.extend((0..line.len()).rev().map(|i| side(i, -1.0)));
    ring
}

/// Edges broken as stone, glass or pot break: each corner says whether the edge *after* it is a break.
///
/// `rough` is the largest departure from the straight line in mm.
pub fn broken(corners: &[(f32, f32, bool)], rough: f32, chance: &mut Chance) -> Ring {
    let mut ring = Ring::new();
    for (i, &(x, y, breaks)) in corners.iter().enumerate() {
        let (nx, ny, _) = corners[(i + 1) % corners.len()];
        ring.push([x, y]);
        if breaks {
            fracture([x, y], [nx, ny], rough, chance, &mut ring);
        }
    }
    ring
}

/// The points between two corners: halved again and again, each half-way point pushed aside by less and less.
fn fracture(from: Point, to: Point, rough: f32, chance: &mut Chance, ring: &mut Ring) {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = dx.hypot(dy);
    if length < 0.7 || rough < 0.02 {
        return;
    }
    let push = chance.between(-rough, rough).clamp(-length * 0.3, length * 0.3);
    let along = chance.between(0.35, 0.65);
    let middle = [from[0] + dx * along - dy / length * push, from[1] + dy * along + dx / length * push];
    fracture(from, middle, rough * 0.5, chance, ring);
    ring.push(middle);
    fracture(middle, to, rough * 0.5, chance, ring);
}

/// A ring whose points have wandered, in waves of about a length in mm.
pub fn wobbled(ring: &[Point], amount: f32, wave: f32, chance: &mut Chance) -> Ring {
    let noise = super::noise::noise();
    let (ox, oy) = (chance.between(0.0, 90.0), chance.between(0.0, 90.0));
    ring.iter()
        .map(|p| {
            let (u, v) = (p[0] / wave + ox, p[1] / wave + oy);
            [
                p[0] + (noise.cloud(u, v, 64.0) - 0.5) * 2.0 * amount,
                p[1] + (noise.cloud(u + 31.7, v + 17.3, 64.0) - 0.5) * 2.0 * amount,
            ]
        })
        .collect()
}

/// The same ring with more points, none further apart than a distance in mm.
pub fn refined(ring: &[Point], step: f32) -> Ring {
    let mut fine = Ring::new();
    for (i, from) in ring.iter().enumerate() {
        let to = ring[(i + 1) % ring.len()];
        let parts = ((to[0] - from[0]).hypot(to[1] - from[1]) / step).ceil().max(1.0);
        (0..parts as usize).for_each(|k| {
            let t = k as f32 / parts;
            fine.push([from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t]);
        });
    }
    fine
}

/// Turned by an angle about the origin, then moved.
pub fn placed(ring: &[Point], turn: f32, to: Point) -> Ring {
    let (sin, cos) = turn.sin_cos();
    ring.iter().map(|p| [p[0] * cos - p[1] * sin + to[0], p[0] * sin + p[1] * cos + to[1]]).collect()
}
