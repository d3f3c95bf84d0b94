//! Iron: nails, knives, keys, and what hides in a concretion.
use crate::bench::Bench;
use crate::outline::{Ring, curve, ellipse, path, rectangle, refined, smooth, strip, strokes, wobbled};
use crate::table::{Piece, Spot, Surface, ease, round};
use crate::tone::Tone;

/// Rust and what it took up from the ground.
#[derive(Clone, Copy)]
struct Crust {
    cleaned: bool,
    warm: Tone,
}

impl Crust {
    fn of(bench: &mut Bench) -> Self {
        bench.soil.share = 0.30;
        bench.soil.haze = 0.15;
        bench.soil.thick = 1.0;
        Self {
            cleaned: bench.cleaned(),
            warm: Tone::hex(*bench.chance.pick(&[0x8a4e22, 0x7d4a28, 0x95551f, 0x6f4527])),
        }
    }

    /// mm the crust adds on each side.
    fn swell(self) -> f32 {
        if self.cleaned { 0.0 } else { 1.5 }
    }

    /// The outline of the metal as the eye finds it: swollen and lumpy before, pitted after.
    fn outline(self, ring: &[[f32; 2]], bench: &mut Bench) -> Ring {
        let fine = refined(ring, 0.8);
        if self.cleaned {
            wobbled(&fine, 0.35, 9.0, &mut bench.chance)
        } else {
            wobbled(&wobbled(&fine, 1.6, 13.0, &mut bench.chance), 1.0, 4.0, &mut bench.chance)
        }
    }

    fn surface(self, spot: &Spot, height: f32) -> Surface {
        if self.cleaned { self.bared(spot, height) } else { self.crusted(spot, height) }
    }

    fn crusted(self, spot: &Spot, height: f32) -> Surface {
        let lump = spot.cloud(9.0);
        let grit = spot.cloud(1.7);
        let stone = ease(0.34, 0.26, spot.cell(7.5) + 0.5 * (spot.cloud(4.0) - 0.5))
            * ease(0.58, 0.64, spot.cloud(17.0));
        let blister = ease(0.42, 0.2, spot.cell(4.2)) * ease(0.44, 0.58, spot.cloud(11.0));
        let split = ease(0.05, 0.0, spot.crack(11.0)) * ease(0.46, 0.58, spot.cloud(16.0));
        let ochre = Tone::hex(0xb0803f)
            .towards(self.warm, ease(0.32, 0.62, lump))
            .towards(Tone::hex(0x43291a), ease(0.52, 0.8, spot.cloud(5.0)));
        let mut colour = ochre.times(0.62 + 0.76 * grit).towards(Tone::hex(0xa04f16), 0.55 * blister);
        colour = colour
            .towards(Tone::hex(0x9b968a).times(0.7 + 0.5 * spot.cloud(0.9)), stone)
            .times(1.0 - 0.7 * split);
        Surface {
            height: height + 1.0 + 2.2 * (lump - 0.4) + 0.7 * (grit - 0.5) + 1.1 * stone + 0.8 * blister
                - 0.8 * split,
            colour,
            gloss: 0.03 + 0.16 * blister,
            glow: Tone([0.004, 0.003, 0.006]),
            absorb: 0.10 + 0.045 * height,
            ..Surface::default()
        }
    }

    fn bared(self, spot: &Spot, height: f32) -> Surface {
        let pit = ease(0.40, 0.14, spot.cell(2.6) + 0.5 * (spot.cloud(1.6) - 0.5))
            * ease(0.44, 0.60, spot.cloud(7.0));
        let fibre = spot.stretched(14.0, 2.0);
        let rust = ease(0.58, 0.70, spot.cloud(6.0));
        let colour = Tone::hex(0x3a3431)
            .towards(Tone::hex(0x59504a), fibre)
            .towards(self.warm.times(0.62), 0.6 * rust)
            .times(0.8 + 0.4 * spot.cloud(1.2));
        Surface {
            height: height - 0.7 * pit + 0.35 * (fibre - 0.5) + 0.2 * (spot.cloud(1.3) - 0.5),
            colour: colour.times(1.0 - 0.45 * pit),
            gloss: 0.34 * (1.0 - pit) * (1.0 - rust),
            glow: Tone([0.006, 0.006, 0.009]),
            absorb: 0.10 + 0.05 * height,
            ..Surface::default()
        }
    }
}

/// The metal within, which only the X-ray sees: laminated, pitted, sometimes gone.
fn core(bench: &mut Bench, shape: Ring, thick: f32, absorb: f32) {
    let outline = wobbled(&shape, 0.4, 6.0, &mut bench.chance);
    bench.within(Piece::new(path(&[outline])), |spot| {
        let grain = spot.stretched(22.0, 2.2);
        let lost = ease(0.52, 0.78, spot.cloud(9.0));
        let pit = ease(0.30, 0.14, spot.cell(2.6));
        absorb * ease(-0.4, thick, spot.d) * (0.75 + 0.5 * grain) * (1.0 - 0.75 * lost) * (1.0 - 0.3 * pit)
    });
}

/// A square shank under a flat head, often bent.
pub fn nail(bench: &mut Bench) {
    let crust = Crust::of(bench);
    let bend = if bench.chance.odds(0.4) {
        bench.chance.between(-9.0, 9.0)
    } else {
        bench.chance.between(-1.5, 1.5)
    };
    let broken_off = if bench.chance.odds(0.3) { 20.0 } else { 38.0 };
    let thick = bench.chance.between(2.4, 3.4);
    let line = curve(&[[-34.0, 0.0], [-10.0, 0.0], [12.0, bend * 0.25], [broken_off, bend]]);
    let shank = strip(&line, |t| thick * (1.0 - 0.78 * t));
    let head = smooth(&[
        [-40.0, -7.5],
        [-36.0, -9.0],
        [-33.0, -4.0],
        [-33.0, 4.0],
        [-36.0, 9.0],
        [-40.0, 7.5],
        [-41.5, 0.0],
    ]);
    core(bench, shank.clone(), 1.8, 1.7);
    core(bench, head.clone(), 2.5, 1.5);
    let swollen = strip(&line, |t| thick * (1.0 - 0.78 * t) + crust.swell() * 1.5);
    let outline = crust.outline(&swollen, bench);
    bench.lay(Piece::new(path(&[outline])), |spot| {
        crust.surface(spot, 1.5 + round(spot.d, thick + crust.swell()))
    });
    let outline = crust.outline(&head, bench);
    bench.lay(Piece::new(path(&[outline])), |spot| crust.surface(spot, 4.5 + round(spot.d, 3.6)));
}

/// The outline of a blade with an angled or straight back, edge downwards, and its tang.
fn blade(length: f32, deep: f32, angled: bool) -> Ring {
    let (l, d) = (length / 2.0, deep / 2.0);
    let back = if angled {
        vec![[l * 0.28, -d], [l, d * 0.55]]
    } else {
        vec![[l * 0.55, -d * 0.95], [l * 0.85, -d * 0.4], [l, d * 0.4]]
    };
    let mut ring = vec![[-l * 0.38, -d]];
    ring.extend(back);
    ring.extend([[l * 0.8, d * 0.95], [l * 0.2, d * 1.05], [-l * 0.3, d * 0.85], [-l * 0.38, d * 0.25]]);
    ring.extend([[-l * 0.98, 0.6], [-l, -1.6], [-l * 0.4, -d * 0.52]]);
    ring
}

/// A knife with its tang.
pub fn knife(bench: &mut Bench) {
    let crust = Crust::of(bench);
    let (deep, angled) = (bench.chance.between(16.0, 21.0), bench.chance.odds(0.5));
    let shape = blade(142.0, deep, angled);
    let inlay = bench.chance.odds(0.4);
    core(bench, refined(&shape, 1.0), 5.0, 1.35);
    if inlay {
        weld_line(bench, deep);
    }
    let outline = crust.outline(&shape, bench);
    bench.lay(Piece::new(path(&[outline])), |spot| {
        let wedge = 1.6 + 2.2 * ease(deep * 0.5, -deep * 0.5, spot.y);
        crust.surface(spot, 1.0 + wedge * ease(0.0, 2.0, spot.d) + crust.swell() * 0.8)
    });
}

/// A steel edge welded to the back shows as a line of another density.
fn weld_line(bench: &mut Bench, deep: f32) {
    let line = strokes(
        &[curve(&[[-24.0, deep * 0.12], [0.0, deep * 0.2], [30.0, deep * 0.14], [58.0, deep * 0.22]])],
        1.1,
    );
    bench.within(Piece::new(line), |_| 0.7);
}

/// A knife whose bone handle is held by three pins.
pub fn handled_knife(bench: &mut Bench) {
    let crust = Crust::of(bench);
    let angled = bench.chance.odds(0.3);
    let deep = bench.chance.between(15.0, 19.0);
    let shape: Ring = blade(150.0, deep, angled).iter().map(|p| [p[0] + 12.0, p[1]]).collect();
    core(bench, refined(&shape, 1.0), 5.0, 1.4);
    let outline = crust.outline(&shape, bench);
    bench.lay(Piece::new(path(&[outline])), |spot| {
        let wedge = 1.4 + 2.0 * ease(deep * 0.5, -deep * 0.5, spot.y);
        crust.surface(spot, 1.0 + wedge * ease(0.0, 2.0, spot.d) + crust.swell() * 0.6)
    });
    let cleaned = crust.cleaned;
    let grip = smooth(&[
        [-86.0, -7.0],
        [-60.0, -8.2],
        [-36.0, -7.0],
        [-13.0, -8.0],
        [-12.0, 8.0],
        [-36.0, 7.4],
        [-60.0, 9.0],
        [-84.0, 10.5],
        [-88.0, 2.0],
    ]);
    let rings: Vec<Ring> = [-74.0, -50.0, -26.0]
        .iter()
        .flat_map(|x| [ellipse([*x, 0.6], 3.6, 3.6), ellipse([*x, 0.6], 2.9, 2.9)])
        .collect();
    let pins = path(&[
        ellipse([-74.0, 0.6], 1.3, 1.3),
        ellipse([-50.0, 0.6], 1.3, 1.3),
        ellipse([-26.0, 0.6], 1.3, 1.3),
    ]);
    let bands = strokes(
        &[
            vec![[-18.0, -8.0], [-18.0, 8.0]],
            vec![[-15.6, -8.0], [-15.6, 8.0]],
            vec![[-82.0, -8.0], [-82.0, 10.0]],
        ],
        0.7,
    );
    let piece = Piece::new(path(&[wobbled(&grip, 0.4, 14.0, &mut bench.chance)]))
        .with(path(&rings), 0.2)
        .with(pins, 0.3)
        .with(bands, 0.2);
    bench.lay(piece, |spot| {
        let cut = spot.ink(0).max(spot.ink(2));
        let split =
            ease(0.016, 0.0, (spot.stretched(90.0, 8.0) - 0.52).abs()) * ease(0.4, 0.6, spot.cloud(30.0));
        let stain = ease(0.5, 0.66, spot.cloud(12.0)) * ease(-40.0, -10.0, spot.x + 10.0 * spot.cloud(9.0));
        let bone = Tone::hex(0xc9ae7d).towards(Tone::hex(0x9a7a4b), spot.stretched(24.0, 3.0));
        let colour = bone
            .towards(Tone::hex(0x7c4622), 0.75 * stain)
            .times(1.0 - 0.6 * cut.max(split))
            .towards(Tone::hex(0x4c6b52), 0.85 * spot.ink(1));
        Surface {
            height: 4.0 + round(spot.d, 7.5) * 0.72 - 0.6 * cut - 0.7 * split
                + 0.35 * spot.ink(1)
                + 0.08 * spot.cloud(1.2),
            colour,
            gloss: if cleaned { 0.30 } else { 0.10 },
            glow: Tone([0.16, 0.19, 0.30]).times(1.0 - 0.8 * stain.max(cut)),
            absorb: 0.30 + 1.5 * spot.ink(1),
            ..Surface::default()
        }
    });
}

/// A ring for the hand, a stem, and a bit with its wards.
pub fn key(bench: &mut Bench) {
    let crust = Crust::of(bench);
    let wide = bench.chance.between(14.0, 17.0);
    let bow = [ellipse([-34.0, 0.0], 16.0, wide), ellipse([-34.0, 0.0], 9.5, wide - 6.5)];
    let stem = strip(&[[-19.0, 0.0], [14.0, 0.3], [46.0, 0.0]], |t| 3.6 - 0.8 * t);
    let bit = vec![
        [24.0, 2.0],
        [44.0, 2.0],
        [44.0, 19.0],
        [38.0, 19.0],
        [38.0, 12.0],
        [35.0, 12.0],
        [35.0, 19.0],
        [30.0, 19.0],
        [30.0, 8.0],
        [27.0, 8.0],
        [27.0, 17.5],
        [24.0, 17.5],
    ];
    for ring in [&stem, &bit] {
        core(bench, refined(ring, 1.0), 2.2, 1.6);
    }
    bench.within(Piece::new(path(&bow)), |spot| 1.4 * ease(-0.4, 2.0, spot.d));
    let clogged: Vec<Ring> = bow
        .iter()
        .enumerate()
        .map(|(i, ring)| {
            let grow = if i == 0 { 1.0 + crust.swell() * 0.04 } else { 1.0 - crust.swell() * 0.12 };
            let grown: Ring = ring.iter().map(|p| [(p[0] + 34.0) * grow - 34.0, p[1] * grow]).collect();
            crust.outline(&grown, bench)
        })
        .collect();
    bench.lay(Piece::new(path(&clogged)), |spot| crust.surface(spot, 1.6 + round(spot.d, 3.0)));
    let outline = crust.outline(&bit, bench);
    bench.lay(Piece::new(path(&[outline])), |spot| crust.surface(spot, 2.0 + round(spot.d, 1.8)));
    let outline = crust.outline(&stem, bench);
    bench.lay(Piece::new(path(&[outline])), |spot| crust.surface(spot, 2.6 + round(spot.d, 3.4)));
}

/// A concretion of rust, sand and pebbles; the X-ray finds a buckle and a nail in it.
pub fn lump(bench: &mut Bench) {
    let mut crust = Crust::of(bench);
    crust.cleaned = false;
    let turn = bench.chance.between(-0.5, 0.5);
    let pose = bench.pose;
    bench.pose = pose.turned(turn);
    let frame = [rectangle([-6.0, 2.0], 34.0, 26.0), rectangle([-6.0, 2.0], 24.0, 16.0)];
    bench.within(Piece::new(path(&frame)), |spot| {
        1.1 * ease(-0.4, 2.0, spot.d) * (0.7 + 0.6 * spot.cloud(5.0))
    });
    core(bench, strip(&[[-24.0, 2.0], [12.0, 3.5]], |_| 1.7), 1.4, 1.2);
    core(bench, strip(&curve(&[[14.0, -24.0], [20.0, 0.0], [16.0, 24.0]]), |t| 2.6 - 1.8 * t), 1.8, 1.3);
    bench.pose = pose;
    let blob: Vec<[f32; 2]> = (0..11)
        .map(|i| {
            let angle = i as f32 / 11.0 * std::f32::consts::TAU;
            let reach = bench.chance.between(0.78, 1.06);
            [angle.cos() * 41.0 * reach, angle.sin() * 31.0 * reach]
        })
        .collect();
    let outline = crust.outline(&smooth(&blob), bench);
    bench.lay(Piece::new(path(&[outline])), |spot| {
        let mut seen = crust.surface(spot, round(spot.d, 17.0) * 1.1 + 3.0 * (spot.cloud(22.0) - 0.4));
        seen.absorb = 0.12 + 0.012 * seen.height;
        seen
    });
}
