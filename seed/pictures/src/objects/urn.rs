//! Cremation urn and the closed box. Human remains themselves are never drawn.
use crate::bench::Bench;
use crate::lettering;
use crate::outline::{path, rectangle, refined, smooth, strip, strokes, wobbled};
use crate::table::{Piece, Surface, ease};
use crate::tone::Tone;

/// A jar under its lid, wrapped in bandage before it is opened.
pub fn urn(bench: &mut Bench) {
    let clay = Tone::hex(*bench.chance.pick(&[0x7d7166, 0xa0714d, 0x8d8478]));
    let belly = bench.chance.between(78.0, 90.0);
    let right = [
        [30.0, -84.0],
        [46.0, -80.0],
        [44.0, -68.0],
        [belly * 0.92, -36.0],
        [belly, 6.0],
        [belly * 0.8, 56.0],
        [46.0, 104.0],
        [40.0, 112.0],
    ];
    let mut points: Vec<[f32; 2]> = right.to_vec();
    points.extend(right.iter().rev().map(|p| [-p[0], p[1]]));
    let body = wobbled(&refined(&smooth(&points), 2.0), 0.8, 30.0, &mut bench.chance);
    bench.soil.share = 0.28;
    bench.soil.haze = 0.28;
    bench.soil.thick = 1.2;
    let grooves = strokes(
        &[
            vec![[-90.0, -32.0], [90.0, -32.0]],
            vec![[-90.0, -27.0], [90.0, -27.0]],
            vec![[-92.0, 4.0], [92.0, 4.0]],
        ],
        1.6,
    );
    bench.lay(Piece::new(path(&[body])).with(grooves, 0.9), |spot| {
        let half = silhouette(spot.y, belly);
        let bow = (1.0 - (spot.x / half.max(1.0)).powi(2)).max(0.0).sqrt();
        let lines = 0.35 * (spot.y * 0.62 + 2.0 * spot.stretched(120.0, 30.0)).sin();
        let crack = ease(0.02, 0.0, spot.crack(60.0)) * ease(0.5, 0.58, spot.cloud(70.0));
        let soot = ease(0.52, 0.7, spot.cloud(60.0));
        let colour = clay
            .times(0.78 + 0.44 * spot.cloud(20.0))
            .times(0.88 + 0.24 * spot.cloud(2.0))
            .towards(Tone::hex(0x2f2b29), 0.45 * soot);
        Surface {
            height: 6.0 + half * 0.52 * bow + lines - 0.9 * spot.ink(0) - 1.2 * crack + 0.3 * spot.cloud(2.0),
            colour: colour.times(1.0 - 0.35 * spot.ink(0)).times(1.0 - 0.6 * crack),
            gloss: 0.05,
            glow: Tone([0.012, 0.011, 0.016]),
            absorb: 0.7 + 0.5 * (1.0 - bow),
            ..Surface::default()
        }
    });
    let lid = smooth(&[
        [-50.0, -82.0],
        [-40.0, -96.0],
        [-16.0, -104.0],
        [-9.0, -114.0],
        [9.0, -114.0],
        [16.0, -104.0],
        [40.0, -96.0],
        [50.0, -82.0],
        [0.0, -76.0],
    ]);
    let lid = wobbled(&lid, 0.7, 20.0, &mut bench.chance);
    bench.lay(Piece::new(path(&[lid])), |spot| {
        let half = 50.0 * ease(-118.0, -82.0, spot.y).max(0.2);
        let bow = (1.0 - (spot.x / half).powi(2)).max(0.0).sqrt();
        Surface {
            height: 12.0 + half * 0.5 * bow + 0.3 * spot.cloud(2.0),
            colour: clay.times(0.84 + 0.4 * spot.cloud(12.0)),
            gloss: 0.05,
            glow: Tone([0.012, 0.011, 0.016]),
            absorb: 0.7,
            ..Surface::default()
        }
    });
    if !bench.cleaned() {
        lay_bandage(bench, belly);
    }
}

fn silhouette(y: f32, belly: f32) -> f32 {
    let upper = 44.0 + (belly - 44.0) * ease(-70.0, -8.0, y);
    upper + (42.0 - upper) * ease(14.0, 114.0, y)
}

/// Gauze strips that hold a cracked jar together.
fn lay_bandage(bench: &mut Bench, belly: f32) {
    bench.soil.share = 0.0;
    for (y, lean) in [(-14.0, 0.06), (26.0, -0.05), (58.0, 0.08)] {
        let side = |sign: f32, k: i32| {
            let down = y + k as f32 * 3.0;
            let reach = silhouette(down, belly) + 1.5;
            [sign * reach, down + sign * reach * lean]
        };
        let mut ring: Vec<[f32; 2]> = (-5..=5).map(|k| side(1.0, k)).collect();
        ring.extend((-5..=5).rev().map(|k| side(-1.0, k)));
        let reach = silhouette(y, belly) + 2.0;
        bench.lay(Piece::new(path(&[refined(&ring, 3.0)])), |spot| {
            let bow = (1.0 - (spot.x / (reach + 3.0)).powi(2)).max(0.0).sqrt();
            let mesh = (spot.x * 2.4).sin() * (spot.y * 2.4).sin();
            let crease = spot.stretched(60.0, 5.0);
            Surface {
                height: 8.0 + reach * 0.53 * bow + 0.35 * mesh + 1.2 * crease,
                colour: Tone::hex(0xd9d4c6).times(0.80 + 0.10 * mesh + 0.22 * crease),
                glow: Tone([0.12, 0.15, 0.30]),
                absorb: 0.05,
                ..Surface::default()
            }
        });
    }
}

/// A lidded board box with a label, tied.
pub fn closed_box(bench: &mut Bench) {
    bench.soil.share = 0.0;
    bench.lay(Piece::new(path(&[rectangle([0.0, 0.0], 288.0, 186.0)])), |spot| {
        let lid = ease(0.6, 1.4, spot.d);
        let fibre = spot.cloud(1.6);
        Surface {
            height: 60.0 + 2.0 * lid + 0.12 * fibre + 1.2 * (spot.cloud(90.0) - 0.5),
            colour: Tone::hex(0x8b8d86).times(0.92 + 0.12 * fibre),
            gloss: 0.04,
            glow: Tone([0.02, 0.022, 0.035]),
            absorb: 0.35,
            ..Surface::default()
        }
    });
    let words = strokes(&lettering::lines("HUMAN REMAINS", [-50.0, -12.0], 9.0), 1.1);
    let more = strokes(&lettering::lines("HANDLE WITH RESPECT", [-50.0, 6.0], 6.0), 0.8);
    let label = Piece::new(path(&[rectangle([0.0, 0.0], 124.0, 52.0)])).with(words, 0.0).with(more, 0.0);
    bench.lay_at(label, bench.pose.shifted(0.0, 14.0), |spot| {
        let ink = spot.ink(0).max(spot.ink(1));
        Surface {
            height: 62.6,
            colour: Tone::hex(0xf0ede3).towards(Tone::hex(0x232328), ink),
            glow: Tone([0.14, 0.2, 0.5]).times(1.0 - ink),
            absorb: 0.02,
            ..Surface::default()
        }
    });
    for line in [vec![[-144.0, -52.0], [144.0, -52.0]], vec![[-92.0, -93.0], [-92.0, 93.0]]] {
        bench.lay(Piece::new(path(&[strip(&line, |_| 2.6)])), |spot| {
            let weave = ((spot.x + spot.y) * 2.2).sin();
            Surface {
                height: 63.0 + 0.5 * ease(0.0, 1.2, spot.d) + 0.1 * weave,
                colour: Tone::hex(0xe5dfcf).times(0.92 + 0.08 * weave),
                glow: Tone([0.10, 0.12, 0.22]),
                absorb: 0.04,
                ..Surface::default()
            }
        });
    }
}
