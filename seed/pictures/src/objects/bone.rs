//! Worked bone and antler, animal bone, shell.
use crate::bench::Bench;
use crate::outline::{Ring, curve, ellipse, path, smooth, strip, strokes, wobbled};
use crate::table::{Piece, Spot, Surface, ease, length, round};
use crate::tone::Tone;

/// Bone: fibres along x, stained brown by the ground; `polish` 0..1.
fn bone(spot: &Spot, height: f32, polish: f32) -> Surface {
    let fibre = spot.stretched(20.0, 1.6);
    let stain = ease(0.42, 0.66, spot.cloud(16.0));
    let split = ease(0.012, 0.0, (spot.stretched(60.0, 5.0) - 0.5).abs()) * ease(0.46, 0.6, spot.cloud(18.0));
    let pore = ease(0.20, 0.1, spot.stretched_cell(3.6, 1.5)) * ease(0.5, 0.58, spot.cloud(8.0));
    let colour = Tone::hex(0xd2bb8d)
        .towards(Tone::hex(0xa58353), 0.7 * fibre)
        .towards(Tone::hex(0x7c5a35), 0.6 * stain);
    Surface {
        height: height + 0.10 * (fibre - 0.5) - 0.45 * split - 0.2 * pore,
        colour: colour.times(1.0 - 0.55 * split.max(0.7 * pore)),
        gloss: 0.06 + 0.34 * polish * (1.0 - pore),
        // bone answers bright blue-white; less where it is stained
        glow: Tone([0.24, 0.29, 0.44]).times((1.0 - 0.65 * stain) * (1.0 - split)),
        absorb: 0.22 + 0.05 * height,
        ..Surface::default()
    }
}

fn soil(bench: &mut Bench) -> f32 {
    bench.soil.share = 0.34;
    bench.soil.haze = 0.3;
    bench.soil.thick = 0.7;
    if bench.cleaned() { 1.0 } else { 0.3 }
}

/// One-sided comb: tooth plates between two riveted side plates with ring-and-dot.
pub fn comb(bench: &mut Bench) {
    let polish = soil(bench);
    let mut rings: Vec<Ring> = vec![smooth(&[
        [-52.0, -12.0],
        [-46.0, -18.0],
        [0.0, -21.5],
        [46.0, -18.0],
        [52.0, -12.0],
        [52.5, -2.0],
        [0.0, -2.0],
        [-52.5, -2.0],
    ])];
    let mut x: f32 = -49.0;
    while x < 49.0 {
        let end = 1.0 - 0.35 * (x.abs() / 50.0).powi(3);
        let long = if bench.chance.odds(0.16) {
            bench.chance.between(1.0, 10.0)
        } else {
            bench.chance.between(21.0, 22.5) * end
        };
        rings.push(vec![
            [x - 0.85, -3.5],
            [x + 0.85, -3.5],
            [x + 0.62, long * 0.7],
            [x + 0.2, long],
            [x - 0.2, long],
            [x - 0.62, long * 0.7],
        ]);
        x += 2.45;
    }
    let outline = path_union(&rings);
    bench.lay(Piece::new(outline), |spot| bone(spot, 0.6 + round(spot.d, 1.2).min(2.0), polish));
    let plate = smooth(&[
        [-51.0, -5.0],
        [-50.0, -11.5],
        [-30.0, -15.0],
        [0.0, -16.6],
        [30.0, -15.0],
        [50.0, -11.5],
        [51.0, -5.0],
        [30.0, -2.6],
        [0.0, -2.2],
        [-30.0, -2.6],
    ]);
    let dots: Vec<[f32; 2]> =
        (0..11).map(|i| i as f32 * 8.6 - 43.0).map(|x| [x, -9.4 + 0.0011 * x * x]).collect();
    let circles: Vec<Ring> = dots
        .iter()
        .flat_map(|p| [ellipse(*p, 2.9, 2.9), ellipse(*p, 2.2, 2.2), ellipse(*p, 0.7, 0.7)])
        .collect();
    let rivets: Vec<Ring> =
        [-47.5, -17.0, 17.0, 47.5].iter().map(|x| ellipse([*x, -8.0], 1.2, 1.2)).collect();
    let lines = strokes(
        &[
            curve(&[[-49.0, -4.6], [0.0, -3.6], [49.0, -4.6]]),
            curve(&[[-49.0, -12.6], [0.0, -15.4], [49.0, -12.6]]),
        ],
        0.4,
    );
    let plain = bench.is_turned_over();
    let piece =
        Piece::new(path(&[plate])).with(path(&circles), 0.15).with(path(&rivets), 0.3).with(lines, 0.15);
    bench.lay(piece, |spot| {
        let cut = if plain { spot.ink(2) } else { spot.ink(0).max(spot.ink(2)) };
        let mut seen = bone(spot, 3.0 + round(spot.d, 4.5) * 0.75 - 0.5 * cut, polish);
        let rivet = spot.ink(1);
        seen.colour = seen.colour.times(1.0 - 0.62 * cut).towards(Tone::hex(0x5d3a22), 0.9 * rivet);
        seen.height += 0.4 * rivet;
        seen.absorb += 1.6 * rivet;
        seen.glow = seen.glow.times(1.0 - rivet.max(0.6 * cut));
        seen
    });
}

/// Overlapping rings filled as one: each gets the winding of the first by filling all non-zero through strokes of no width.
fn path_union(rings: &[Ring]) -> Option<tiny_skia::Path> {
    // even-odd filling would punch holes where teeth overlap the plate, so the plate ends where they begin
    let trimmed: Vec<Ring> = rings
        .iter()
        .enumerate()
        .map(
            |(i, ring)| {
                if i == 0 { ring.clone() } else { ring.iter().map(|p| [p[0], p[1].max(-2.1)]).collect() }
            },
        )
        .collect();
    path(&trimmed)
}

/// A pin with a shaped head.
pub fn pin(bench: &mut Bench) {
    let polish = soil(bench);
    bench.soil.share = 0.22;
    let bend = bench.chance.between(-1.2, 1.2);
    let flat = bench.chance.odds(0.5);
    let shaft = strip(&curve(&[[-36.0, 0.0], [-10.0, bend * 0.5], [16.0, bend], [44.5, 0.0]]), |t| {
        1.9 + 0.3 * (t * 3.0).sin() - 1.8 * t.powi(5)
    });
    bench.lay(Piece::new(path(&[shaft])), |spot| bone(spot, 0.6 + round(spot.d, 1.9), polish));
    let head = if flat {
        smooth(&[
            [-45.0, -2.2],
            [-42.0, -4.0],
            [-37.5, -2.4],
            [-34.5, -1.9],
            [-34.5, 1.9],
            [-37.5, 2.4],
            [-42.0, 4.0],
            [-45.0, 2.2],
        ])
    } else {
        ellipse([-40.5, 0.0], 4.2, 3.7)
    };
    let cuts = strokes(&[vec![[-35.4, -2.4], [-35.4, 2.4]], vec![[-34.0, -2.2], [-34.0, 2.2]]], 0.4);
    bench.lay(Piece::new(path(&[head])).with(cuts, 0.2), |spot| {
        let mut seen = bone(spot, 0.8 + round(spot.d, 3.4) - 0.4 * spot.ink(0), polish);
        seen.colour = seen.colour.times(1.0 - 0.4 * spot.ink(0));
        seen
    });
}

/// A long bone of cattle or sheep, one end chopped, with cut marks.
pub fn animal_bone(bench: &mut Bench) {
    let polish = soil(bench) * 0.4;
    let chop = bench.chance.between(40.0, 74.0);
    let shape = smooth(&[
        [-78.0, -15.0],
        [-66.0, -20.0],
        [-50.0, -13.0],
        [-20.0, -9.5],
        [20.0, -10.0],
        [chop, -12.5],
        [chop + 6.0, -3.0],
        [chop - 3.0, 4.0],
        [chop + 4.0, 12.0],
        [20.0, 10.0],
        [-20.0, 9.5],
        [-50.0, 14.0],
        [-64.0, 21.0],
        [-78.0, 16.0],
        [-72.0, 1.0],
    ]);
    let outline = wobbled(&shape, 0.8, 12.0, &mut bench.chance);
    let from = bench.chance.between(-30.0, 10.0);
    let cuts: Vec<Vec<[f32; 2]>> =
        (0..3).map(|i| from + i as f32 * 4.2).map(|x| vec![[x, -6.0], [x + 2.6, 5.0]]).collect();
    bench.lay(Piece::new(path(&[outline])).with(strokes(&cuts, 0.5), 0.2), |spot| {
        let broke = ease(chop - 5.0, chop + 1.0, spot.x + 3.0 * (spot.cloud(4.0) - 0.5));
        let knuckle = ease(-52.0, -66.0, spot.x);
        let mut seen =
            bone(spot, 1.0 + round(spot.d, 11.0) * 0.95 + 2.5 * knuckle - 0.45 * spot.ink(0), polish);
        let spongy = broke.max(0.5 * knuckle) * ease(0.5, 0.2, spot.cell(1.8));
        seen.height -= 0.9 * spongy + 1.5 * broke;
        seen.colour = seen.colour.times(1.0 - 0.5 * spongy.max(spot.ink(0)));
        seen.absorb = 0.5 + 0.5 * ease(4.0, 1.0, spot.d);
        seen
    });
}

/// An oyster shell, leafy outside, smooth with a dark scar inside.
pub fn oyster_shell(bench: &mut Bench) {
    soil(bench);
    let ring: Vec<[f32; 2]> = (0..14)
        .map(|i| {
            let angle = i as f32 / 14.0 * std::f32::consts::TAU;
            let beak = 1.0 + 0.22 * (-(angle - std::f32::consts::PI * 1.5).powi(2) * 3.0).exp();
            let reach = bench.chance.between(0.92, 1.05) * beak;
            [angle.cos() * 37.0 * reach, angle.sin() * 34.0 * reach]
        })
        .collect();
    let outline = wobbled(&smooth(&ring), 1.2, 7.0, &mut bench.chance);
    let inside = bench.is_turned_over();
    bench.lay(Piece::new(path(&[outline])), |spot| {
        let from_beak = length(spot.x * 0.9, spot.y + 36.0);
        let leaf = (from_beak * 0.20 + 3.4 * spot.cloud(22.0)).rem_euclid(1.0);
        if inside {
            let scar = ease(9.5, 8.0, length(spot.x - 4.0, (spot.y - 6.0) * 1.2));
            let sheen = spot.cloud(22.0);
            let colour = Tone::hex(0xdfd8cc)
                .towards(Tone::hex(0xbfc4c6), sheen)
                .towards(Tone::hex(0x5c4a56), 0.75 * scar);
            return Surface {
                height: 3.0 + 4.0 * ease(18.0, 0.0, spot.d) + 0.25 * spot.cloud(6.0),
                colour,
                gloss: 0.45,
                glow: Tone([0.14, 0.13, 0.20]).times(1.0 - scar),
                absorb: 0.6,
                ..Surface::default()
            };
        }
        let ridge = 0.9 * (spot.x.atan2(spot.y + 40.0) * 21.0 + 3.0 * spot.cloud(14.0)).sin();
        let colour = Tone::hex(0xb7ab97)
            .towards(Tone::hex(0x857c70), leaf * 0.7)
            .towards(Tone::hex(0x8a7a8a), 0.3 * spot.cloud(9.0))
            .times(0.75 + 0.5 * spot.cloud(2.0));
        Surface {
            height: 2.0
                + 0.36 * (38.0 - length(spot.x, spot.y)).max(0.0)
                + 1.9 * leaf
                + ridge * 0.6
                + 0.8 * (spot.cloud(3.0) - 0.5),
            colour,
            gloss: 0.05,
            glow: Tone([0.06, 0.06, 0.09]),
            absorb: 0.8,
            ..Surface::default()
        }
    });
}
