//! Coins and a finger ring. Heads and legends are nobody's and nothing's: generic and worn.
use super::copper::Patina;
use crate::bench::Bench;
use crate::chance::Chance;
use crate::lettering;
use crate::outline::{Point, Ring, arc, curve, ellipse, path, placed, smooth, strokes, wobbled};
use crate::table::{Piece, Spot, Surface, ease, round};
use crate::tone::Tone;
use tiny_skia::Path;

/// Letters round the border, some lost.
fn legend(words: &str, radius: f32, height: f32, chance: &mut Chance) -> Vec<Vec<Point>> {
    let count = words.chars().count().max(1) as f32;
    let mut lines = Vec::new();
    for (i, letter) in words.chars().enumerate() {
        if chance.odds(0.22) {
            continue;
        }
        let turn = ((i as f32 + 0.5) / count - 0.5) * 4.9;
        let at = [turn.sin() * radius, -turn.cos() * radius];
        for line in lettering::lines(&letter.to_string(), [-0.32 * height, -height / 2.0], height) {
            lines.push(placed(&line, turn, at));
        }
    }
    lines
}

/// A border of small pellets.
fn pellets(radius: f32, count: usize) -> Vec<Ring> {
    (0..count)
        .map(|i| i as f32 / count as f32 * std::f32::consts::TAU)
        .map(|a| ellipse([a.cos() * radius, a.sin() * radius], 0.30, 0.30))
        .collect()
}

/// A head in profile, facing right, with a crown of rays and a draped shoulder.
fn head() -> Option<Path> {
    let profile = smooth(&[
        [-2.9, -2.6],
        [-1.6, -4.5],
        [0.6, -4.7],
        [2.1, -3.7],
        [2.3, -2.5],
        [3.2, -1.1],
        [2.5, -0.7],
        [2.7, 0.1],
        [2.3, 0.5],
        [2.4, 1.3],
        [1.4, 2.1],
        [0.3, 1.9],
        [0.5, 3.6],
        [2.9, 4.9],
        [1.5, 6.3],
        [-1.6, 6.5],
        [-4.0, 5.4],
        [-2.2, 3.4],
        [-2.3, 1.2],
        [-3.2, -0.6],
    ]);
    path(&[profile])
}

fn rays() -> Option<Path> {
    let ray = |x: f32, y: f32, lean: f32| vec![[x - 0.5, y], [x + lean, y - 1.9], [x + 0.5, y]];
    path(&[
        ray(-2.3, -3.4, -0.9),
        ray(-1.2, -4.2, -0.5),
        ray(0.0, -4.5, 0.0),
        ray(1.1, -4.2, 0.5),
        ray(1.9, -3.5, 0.9),
    ])
}

/// A standing figure with an altar and a branch, as on many a reverse.
fn figure() -> Option<Path> {
    let body = smooth(&[
        [-0.8, -4.9],
        [0.5, -5.2],
        [0.9, -4.2],
        [0.5, -3.5],
        [1.5, -2.4],
        [1.2, 0.4],
        [1.9, 5.2],
        [-1.7, 5.2],
        [-1.0, 0.4],
        [-1.4, -2.4],
        [-0.6, -3.4],
    ]);
    let mut rings = vec![body, vec![[-4.6, 5.2], [-4.6, 2.6], [-3.0, 2.6], [-3.0, 5.2]]];
    rings.extend([
        arm([-1.2, -2.0], [-3.6, 0.4]),
        arm([1.2, -2.0], [3.4, -0.6]),
        arm([3.4, -3.6], [3.4, 4.6]),
    ]);
    path(&rings)
}

fn arm(from: Point, to: Point) -> Ring {
    crate::outline::strip(&[from, to], |_| 0.34)
}

/// A small bronze of the later third century: rayed head, standing figure, struck off centre.
pub fn radiate(bench: &mut Bench) {
    let patina = Patina::of(bench);
    bench.soil.thick = 0.45;
    let off = [bench.chance.between(-0.9, 0.9), bench.chance.between(-0.7, 0.7)];
    let outline = wobbled(
        &wobbled(&ellipse([0.0, 0.0], 9.4, 9.0), 0.7, 8.0, &mut bench.chance),
        0.15,
        1.6,
        &mut bench.chance,
    );
    let words = *bench.chance.pick(&["IMP C TIRVSAVG", "IMP VESENVS PF A", "C PIV ESVNTR AVG"]);
    let reverse = *bench.chance.pick(&["SALVS  AVGG", "PAX    AVG", "SPES PVBLIC"]);
    let behind = bench.is_turned_over();
    let writing = legend(if behind { reverse } else { words }, 7.4, 1.75, &mut bench.chance);
    let mut border = pellets(8.75, 46);
    border.retain(|_| bench.chance.odds(0.8));
    let moved = |path: Option<Path>| {
        path.and_then(|p| p.transform(tiny_skia::Transform::from_translate(off[0], off[1])))
    };
    let piece = Piece::new(path(&[outline]))
        .with(moved(if behind { figure() } else { head() }), 0.9)
        .with(moved(strokes(&writing, 0.30)), 0.22)
        .with(moved(path(&border)), 0.2)
        .with(moved(if behind { None } else { rays() }), 0.3);
    let wear = if bench.cleaned() { 1.0 } else { 0.62 };
    bench.lay(piece, |spot| {
        let struck = ease(0.26, 0.42, spot.cloud(7.0)) * wear;
        let raised =
            (1.05 * spot.ink(0)).max(0.42 * spot.ink(1)).max(0.36 * spot.ink(2)).max(0.5 * spot.ink(3));
        let detail = if behind {
            0.16 * (spot.x * 5.0).sin()
        } else {
            0.16 * ((spot.x * 1.3 - spot.y * 2.2) * 2.1).sin() * ease(-0.2, -1.0, spot.x + 0.2 * spot.y)
        };
        let mut seen =
            patina.surface(spot, 1.0 + 0.35 * round(spot.d, 0.7) + struck * (raised + detail * spot.ink(0)));
        seen.colour = seen.colour.times(0.82 + 0.42 * struck * raised);
        seen.absorb = 0.65 + 0.55 * struck * raised;
        seen
    });
}

/// A silver penny: facing head, or a long cross with pellets; thin, clipped, cracked.
pub fn long_cross(bench: &mut Bench) {
    bench.soil.share = 0.25;
    bench.soil.haze = 0.3;
    bench.soil.thick = 0.3;
    let outline = wobbled(
        &wobbled(&ellipse([0.0, 0.0], 8.7, 8.4), 0.5, 7.0, &mut bench.chance),
        0.12,
        1.4,
        &mut bench.chance,
    );
    let behind = bench.is_turned_over();
    let words = if behind { "VIL LA VES SEN" } else { "+ REX VENTORVM" };
    let mut lines = legend(words, 6.7, 1.7, &mut bench.chance);
    lines.extend([arc([0.0, 0.0], [5.3, 5.3], 0.0, 1.0), arc([0.0, 0.0], [8.0, 8.0], 0.0, 1.0)]);
    let device = if behind { cross() } else { facing_head() };
    let piece = Piece::new(path(&[outline])).with(device, 0.45).with(strokes(&lines, 0.28), 0.2);
    let cleaned = bench.cleaned();
    bench.lay(piece, |spot| {
        silver(spot, 0.7 + 0.3 * round(spot.d, 0.5), spot.ink(0).max(0.7 * spot.ink(1)), cleaned)
    });
}

fn cross() -> Option<Path> {
    let mut rings: Vec<Ring> = vec![
        vec![[-8.2, -0.55], [8.2, -0.55], [8.2, 0.55], [-8.2, 0.55]],
        vec![[-0.55, -8.2], [0.55, -8.2], [0.55, -0.6], [-0.55, -0.6]],
        vec![[-0.55, 0.6], [0.55, 0.6], [0.55, 8.2], [-0.55, 8.2]],
    ];
    for (sx, sy) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
        rings.extend(
            [[2.0, 2.0], [3.3, 1.7], [1.7, 3.3]].map(|p| ellipse([p[0] * sx, p[1] * sy], 0.62, 0.62)),
        );
    }
    path(&rings)
}

fn facing_head() -> Option<Path> {
    let face = smooth(&[
        [-1.7, -1.8],
        [0.0, -2.3],
        [1.7, -1.8],
        [1.8, 0.6],
        [0.9, 2.3],
        [0.0, 2.7],
        [-0.9, 2.3],
        [-1.8, 0.6],
    ]);
    let curl = |side: f32| {
        smooth(&[
            [2.2 * side, -1.4],
            [3.2 * side, 0.2],
            [3.5 * side, 1.9],
            [2.5 * side, 2.2],
            [2.3 * side, 0.4],
        ])
    };
    let crown =
        vec![[-2.3, -2.5], [-2.6, -4.1], [-1.2, -3.2], [0.0, -4.7], [1.2, -3.2], [2.6, -4.1], [2.3, -2.5]];
    path(&[
        face,
        curl(1.0),
        curl(-1.0),
        crown,
        ellipse([-0.75, -0.4], 0.28, 0.22),
        ellipse([0.75, -0.4], 0.28, 0.22),
    ])
}

/// Grey horn silver and dark tarnish over white metal.
fn silver(spot: &Spot, height: f32, raised: f32, cleaned: bool) -> Surface {
    let tarnish = ease(0.32, 0.60, spot.cloud(4.0)) * if cleaned { 0.75 } else { 0.95 };
    let scratch = ease(0.012, 0.0, (spot.stretched(6.0, 1.6) - 0.5).abs());
    let worn = ease(0.30, 0.46, spot.cloud(6.0));
    let colour = Tone::hex(0xa9a7a2)
        .towards(Tone::hex(0x2c2a2d), 0.9 * tarnish * (1.0 - 0.65 * raised))
        .towards(Tone::hex(0x5d5560), 0.4 * spot.cloud(2.4));
    Surface {
        height: height + 0.46 * raised * worn + 0.05 * spot.cloud(1.0) - 0.03 * scratch,
        colour: colour.times(0.85 + 0.3 * raised),
        gloss: if cleaned { 0.62 - 0.3 * tarnish } else { 0.2 },
        glow: Tone([0.006, 0.006, 0.010]),
        absorb: 1.0 + 0.8 * raised * worn,
        ..Surface::default()
    }
}

/// A plain silver ring with a bezel, lying flat.
pub fn finger_ring(bench: &mut Bench) {
    bench.soil.share = 0.22;
    bench.soil.thick = 0.3;
    let cleaned = bench.cleaned();
    let rings = [
        wobbled(&ellipse([0.0, 1.0], 10.6, 10.6), 0.25, 6.0, &mut bench.chance),
        wobbled(&ellipse([0.0, 1.0], 8.9, 8.9), 0.2, 6.0, &mut bench.chance),
    ];
    bench.lay(Piece::new(path(&rings)), |spot| silver(spot, 2.2 + round(spot.d, 0.9), 0.0, cleaned));
    let bezel = smooth(&[
        [-4.2, -9.2],
        [-3.0, -11.6],
        [0.0, -12.2],
        [3.0, -11.6],
        [4.2, -9.2],
        [3.0, -7.4],
        [0.0, -6.9],
        [-3.0, -7.4],
    ]);
    let stone = Tone::hex(*bench.chance.pick(&[0x2b4c80, 0x1f3d35, 0x6d1f2c]));
    bench.lay(
        Piece::new(path(&[bezel]))
            .with(strokes(&[curve(&[[-1.2, -9.8], [0.0, -10.6], [1.2, -9.6], [0.0, -8.6]])], 0.3), 0.2),
        |spot| {
            let set = ease(0.55, 0.85, spot.d);
            let mut seen = silver(spot, 3.4 + round(spot.d, 1.0), 0.0, cleaned);
            seen.colour = seen.colour.towards(stone, set);
            seen.gloss = seen.gloss.max(0.9 * set);
            seen.height += set * (0.5 * round(spot.d - 0.7, 2.0) - 0.2) - 0.12 * spot.ink(0) * set;
            seen
        },
    );
}
