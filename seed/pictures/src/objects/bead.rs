//! Beads of amber and jet.
use crate::bench::Bench;
use crate::outline::{ellipse, path, smooth, wobbled};
use crate::table::{Piece, Surface, ease, round};
use crate::tone::Tone;

/// A barrel of amber, crazed outside, glowing where it is clear.
pub fn amber(bench: &mut Bench) {
    bench.soil.share = 0.24;
    bench.soil.haze = 0.3;
    bench.soil.thick = 0.3;
    let outline = wobbled(
        &smooth(&[
            [-7.4, -3.6],
            [-4.0, -6.3],
            [4.0, -6.3],
            [7.4, -3.6],
            [7.8, 0.0],
            [7.4, 3.6],
            [4.0, 6.3],
            [-4.0, 6.3],
            [-7.4, 3.6],
            [-7.8, 0.0],
        ]),
        0.35,
        5.0,
        &mut bench.chance,
    );
    let chipped = wobbled(&ellipse([5.6, -4.0], 2.2, 1.5), 0.4, 2.0, &mut bench.chance);
    let bore = path(&[vec![[-8.0, -0.75], [8.0, -0.75], [8.0, 0.75], [-8.0, 0.75]]]);
    let cleaned = bench.cleaned();
    bench.lay(Piece::new(path(&[outline])).with(bore, 0.5).with(path(&[chipped]), 0.4), |spot| {
        let craze = ease(0.06, 0.0, spot.crack(1.7)) * ease(0.42, 0.56, spot.cloud(6.0));
        let cloudy = ease(0.5, 0.7, spot.cloud(4.0));
        let chip = spot.ink(1);
        // light gathers on the side away from the lamp
        let deep = ease(-7.0, 7.0, spot.x * 0.6 + spot.y);
        let heart =
            Tone::hex(0x5e230b).towards(Tone::hex(0xb8641c), deep).towards(Tone::hex(0xc08a48), 0.4 * cloudy);
        let crust = heart.towards(Tone::hex(0x8a5a35), if cleaned { 0.25 } else { 0.7 });
        Surface {
            height: 0.8 + round(spot.d, 6.0) * 1.05 - 0.7 * chip - 0.10 * craze,
            colour: crust
                .towards(heart.times(1.25), chip)
                .times(1.0 - 0.30 * craze)
                .times(1.0 - 0.28 * spot.ink(0) * (1.0 - cloudy)),
            gloss: if cleaned { 0.85 } else { 0.35 } * (1.0 - 0.5 * craze),
            // amber answers a soft yellow-green to blue
            glow: Tone([0.16, 0.24, 0.20]).times((1.0 - 0.6 * craze) * if cleaned { 1.0 } else { 0.6 }),
            absorb: 0.10 - 0.06 * spot.ink(0),
            clear: 0.10,
        }
    });
}

/// A ribbed bead of jet with a fine crack.
pub fn jet(bench: &mut Bench) {
    bench.soil.share = 0.22;
    bench.soil.haze = 0.22;
    bench.soil.thick = 0.3;
    let outline = wobbled(
        &smooth(&[
            [-8.0, -2.4],
            [-6.2, -5.4],
            [0.0, -6.2],
            [6.2, -5.4],
            [8.0, -2.4],
            [8.0, 2.4],
            [6.2, 5.4],
            [0.0, 6.2],
            [-6.2, 5.4],
            [-8.0, 2.4],
        ]),
        0.15,
        5.0,
        &mut bench.chance,
    );
    let cleaned = bench.cleaned();
    bench.lay(Piece::new(path(&[outline])), |spot| {
        let rib = 0.42 * (spot.x * 2.3).cos().abs();
        let lamination = ease(0.02, 0.0, (spot.stretched(14.0, 2.4) - 0.5).abs());
        Surface {
            height: 0.8 + round(spot.d, 5.4) + rib - 0.15 * lamination,
            colour: Tone::hex(0x17161a)
                .times(0.8 + 0.5 * spot.cloud(2.0))
                .towards(Tone::hex(0x4a3a2c), 0.4 * lamination),
            gloss: if cleaned { 0.95 } else { 0.35 },
            glow: Tone([0.003, 0.003, 0.006]),
            absorb: 0.07,
            ..Surface::default()
        }
    });
}
