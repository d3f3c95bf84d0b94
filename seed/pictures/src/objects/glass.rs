//! Vessel and window glass.
use crate::bench::Bench;
use crate::outline::{Ring, arc, broken, curve, path, placed, strokes};
use crate::table::{Piece, Spot, Surface, ease, length};
use crate::tone::Tone;

/// A metal of glass: its colour seen through, and how it weathers.
struct Metal {
    tint: Tone,
    crust: Tone,
}

fn metal(bench: &mut Bench) -> Metal {
    let tints = [0xd5e8df, 0xdde9d6, 0xcfe3e5, 0xdce6cb, 0xe4e7cf];
    let crusts = [0x6d5a3f, 0x83745a, 0x4d463c];
    Metal { tint: Tone::hex(*bench.chance.pick(&tints)), crust: Tone::hex(*bench.chance.pick(&crusts)) }
}

/// Clear or tinted glass with bubbles, darker towards its edges, flaking into rainbow films.
fn glass(spot: &Spot, metal: &Metal, weathered: f32) -> Surface {
    let edge = ease(1.4, 0.0, spot.d);
    let bubble = ease(0.15, 0.05, spot.stretched_cell(3.4, 1.9)) * ease(0.52, 0.66, spot.cloud(12.0));
    let film = ease(0.62 - 0.16 * weathered, 0.74 - 0.12 * weathered, spot.cloud(11.0))
        * ease(0.34, 0.50, spot.cloud(5.0));
    let crust =
        ease(0.72 - 0.26 * weathered, 0.76 - 0.24 * weathered, 0.7 * spot.cloud(9.0) + 0.3 * spot.cloud(1.5))
            * weathered;
    let rainbow = iridescence(spot.cloud(9.0) * 3.4);
    let colour = metal
        .tint
        .towards(metal.tint.by(metal.tint).by(metal.tint).times(0.40), edge)
        .towards(rainbow, 0.62 * film)
        .towards(metal.crust.times(0.7 + 0.6 * spot.cloud(1.1)), crust);
    Surface {
        height: 1.8
            + 0.5 * ease(0.0, 0.6, spot.d)
            + 0.25 * spot.cloud(9.0)
            + 0.09 * (film + crust) * spot.cloud(1.4)
            + 0.06 * bubble,
        colour: colour.plus(Tone::grey(0.10 * bubble)),
        gloss: 0.85 * (1.0 - crust) * (1.0 - 0.35 * film),
        clear: (0.84 - 0.5 * edge - 0.55 * film - 0.2 * bubble) * (1.0 - crust),
        glow: Tone([0.02, 0.05, 0.04]).plus(Tone([0.10, 0.14, 0.08]).times(edge * (1.0 - crust))),
        absorb: 0.42 + 0.1 * edge,
    }
}

/// Gold, rose, violet, blue and green in turn, as thin films show them.
fn iridescence(phase: f32) -> Tone {
    let wave = |shift: f32| 0.5 + 0.5 * ((phase + shift) * std::f32::consts::TAU).cos();
    Tone([0.28 + 0.52 * wave(0.0), 0.26 + 0.42 * wave(0.36), 0.28 + 0.5 * wave(0.62)])
}

/// A rim: the thickened lip above, broken below, seen on its convex side.
pub fn rim(bench: &mut Bench) {
    let metal = metal(bench);
    let mut top: Vec<(f32, f32, bool)> =
        arc([0.0, 44.0], [70.0, 58.0], -0.312, -0.188).iter().map(|p| (p[0], p[1], false)).collect();
    if let Some(last) = top.last_mut() {
        last.2 = true;
    }
    let sag = bench.chance.between(10.0, 20.0);
    top.extend([(21.0, 4.0, true), (9.0, sag, true), (-7.0, 12.0, true), (-23.0, 2.0, true)]);
    let outline = broken(&top, 2.2, &mut bench.chance);
    let weathered = if bench.cleaned() { 0.35 } else { 0.9 };
    bench.soil.share = 0.22;
    bench.soil.haze = 0.3;
    bench.soil.thick = 0.35;
    let behind = bench.is_turned_over();
    bench.lay(Piece::new(path(&[outline])), |spot| {
        let from_lip = (length(spot.x / 70.0, (spot.y - 44.0) / 58.0) - 1.0).abs() * 58.0;
        let lip = ease(3.3, 0.9, from_lip) * ease(-0.3, 0.6, 3.0 - (from_lip - 0.3).abs());
        let thread = ease(0.8, 0.2, (from_lip - 8.5).abs()) + ease(0.7, 0.2, (from_lip - 11.2).abs());
        let mut seen = glass(spot, &metal, weathered);
        let bow = spot.x / 46.0;
        seen.height += 4.0 * (1.0 - bow * bow) * if behind { -0.35 } else { 1.0 } + 1.3 * lip + 0.5 * thread;
        seen.colour = seen.colour.towards(metal.tint.by(metal.tint).times(0.6), 0.55 * lip + 0.3 * thread);
        seen.clear *= 1.0 - 0.35 * lip;
        seen.absorb += 0.25 * lip;
        seen
    });
}

/// A shapeless piece.
pub fn shard(bench: &mut Bench) {
    let metal = metal(bench);
    let sides = bench.chance.whole(4, 6) as usize;
    let start = bench.chance.unit() * std::f32::consts::TAU;
    let corners: Vec<(f32, f32, bool)> = (0..sides)
        .map(|i| {
            let angle = start + i as f32 / sides as f32 * std::f32::consts::TAU;
            let reach = bench.chance.between(0.6, 1.0);
            (angle.cos() * 16.0 * reach, angle.sin() * 14.0 * reach, true)
        })
        .collect();
    let outline = broken(&corners, 1.3, &mut bench.chance);
    let weathered = if bench.cleaned() { 0.4 } else { 0.9 };
    bench.soil.share = 0.2;
    bench.soil.haze = 0.25;
    bench.soil.thick = 0.3;
    bench.lay(Piece::new(path(&[outline])), |spot| glass(spot, &metal, weathered));
}

/// A pane, its edges nibbled to shape, one corner lost, with a painted spray of leaves.
pub fn quarry(bench: &mut Bench) {
    let metal = metal(bench);
    let cut = bench.chance.between(6.0, 20.0);
    let corners = [
        (0.0, -44.0, false),
        (33.0, -2.0, false),
        (4.0 + cut, 32.0, true),
        (-2.0 + cut * 0.2, 42.0 - cut * 0.3, false),
        (-34.0, -1.0, false),
    ];
    let mut outline = nibbled(&broken(&corners, 3.4, &mut bench.chance), bench);
    outline = placed(&outline, 0.0, [0.0, 1.0]);
    let weathered = if bench.cleaned() { 0.45 } else { 1.0 };
    bench.soil.share = 0.24;
    bench.soil.haze = 0.25;
    bench.soil.thick = 0.4;
    let (lines, wash) = spray();
    let piece = Piece::new(path(&[outline])).with(lines, 0.3).with(wash, 0.4);
    let behind = bench.is_turned_over();
    bench.lay(piece, |spot| {
        let mut seen = glass(spot, &metal, weathered);
        let worn = ease(0.20, 0.34, spot.cloud(12.0));
        let ink = spot.ink(0) * worn * if behind { 0.25 } else { 1.0 };
        let wash = spot.ink(1) * worn * 0.75 * if behind { 0.3 } else { 1.0 };
        let pit = ease(0.24, 0.12, spot.cell(2.6)) * ease(0.5, 0.6, spot.cloud(14.0)) * weathered;
        let paint = ink.max(wash);
        seen.colour =
            seen.colour.towards(Tone::hex(0x241812), 0.96 * paint).towards(Tone::hex(0xcfc7b4), 0.7 * pit);
        seen.clear *= (1.0 - 0.95 * paint) * (1.0 - pit);
        seen.gloss *= (1.0 - 0.6 * paint) * (1.0 - pit);
        seen.height += 0.12 * ink - 0.25 * pit;
        seen.glow = seen.glow.times(1.0 - paint);
        seen
    });
}

/// Small scallops along the edges.
fn nibbled(ring: &[[f32; 2]], bench: &mut Bench) -> Ring {
    let fine = crate::outline::refined(ring, 0.8);
    fine.iter()
        .map(|p| {
            let bite = bench.chance.between(-0.22, 0.22);
            [p[0] * (1.0 + bite * 0.03) + bite, p[1] + bite]
        })
        .collect()
}

/// A stem with pairs of leaves, outlined and veined, within a border line; hatching apart as a wash.
fn spray() -> (Option<tiny_skia::Path>, Option<tiny_skia::Path>) {
    let mut lines = vec![curve(&[[-2.0, 40.0], [2.5, 20.0], [-2.5, 0.0], [1.5, -18.0], [0.0, -30.0]])];
    let mut washes = Vec::new();
    for (x, y, turn, size) in [
        (1.5_f32, 26.0_f32, -0.5_f32, 0.8_f32),
        (1.5, 21.0, 3.6, 0.8),
        (-2.0, 4.0, -0.5, 1.05),
        (-2.4, -2.0, 3.7, 1.0),
        (1.0, -15.0, -0.7, 0.7),
        (1.2, -19.0, 3.9, 0.65),
    ] {
        let place = |line: &[[f32; 2]]| {
            placed(&line.iter().map(|p| [p[0] * size, p[1] * size]).collect::<Vec<_>>(), turn, [x, y])
        };
        lines.push(place(&[[0.0, 0.0], [4.0, 0.8], [6.5, 0.0]]));
        // three lobes about a small heart
        lines.push(place(&arc([13.5, 0.0], [4.6, 3.4], 0.0, 1.0)));
        lines.push(place(&arc([8.6, -4.6], [3.3, 3.6], 0.08, 0.92)));
        lines.push(place(&arc([8.6, 4.6], [3.3, 3.6], 0.08, 0.92)));
        for lobe in [[11.0, 0.0, 16.0, 0.0], [8.6, -2.4, 8.6, -6.8], [8.6, 2.4, 8.6, 6.8]] {
            washes.push(place(&[[lobe[0], lobe[1]], [lobe[2], lobe[3]]]));
        }
    }
    lines.push(vec![[-28.5, -1.0], [0.0, -37.5], [28.0, -2.0]]);
    for i in 0..22 {
        let t = i as f32 / 22.0;
        washes.push(vec![[-28.0 + 28.0 * t, -1.0 - 36.0 * t], [-25.5 + 27.0 * t, 0.6 - 33.5 * t]]);
        washes.push(vec![[28.0 - 28.0 * t, -2.0 - 35.0 * t], [25.5 - 27.0 * t, -0.4 - 32.5 * t]]);
    }
    (strokes(&lines, 1.3), strokes(&washes, 0.6))
}
