//! Copper alloy: brooches, buckles, pins.
use crate::bench::Bench;
use crate::outline::{curve, ellipse, path, rectangle, refined, smooth, strip, strokes, wobbled};
use crate::table::{Piece, Spot, Surface, ease, round};
use crate::tone::Tone;

/// How copper alloy looks: green crust with pale spots before, a smooth dark skin after.
#[derive(Clone, Copy)]
pub struct Patina {
    skin: Tone,
    bright: Tone,
    /// 0 sound to 1 wholly mineral
    decay: f32,
    cleaned: bool,
}

impl Patina {
    pub fn of(bench: &mut Bench) -> Self {
        let skins = [0x3c4a34, 0x4a4c33, 0x2f4238, 0x53492f];
        bench.soil.share = 0.34;
        bench.soil.haze = 0.20;
        bench.soil.thick = 0.55;
        Self {
            skin: Tone::hex(*bench.chance.pick(&skins)),
            bright: Tone::hex(*bench.chance.pick(&[0x8d6d3a, 0x7d5f38])),
            decay: bench.chance.between(0.25, 0.8),
            cleaned: bench.cleaned(),
        }
    }

    /// The surface at a height in mm of the metal itself.
    pub fn surface(&self, spot: &Spot, height: f32) -> Surface {
        let worn = ease(0.55, 0.75, spot.cloud(5.0)) * (1.0 - self.decay);
        let mottle = spot.cloud(2.0);
        let mut colour = self.skin.towards(self.bright, 0.75 * worn).times(0.75 + 0.6 * mottle);
        let mut lift = 0.0;
        let green = ease(0.52, 0.62, spot.cloud(3.2));
        colour = colour.towards(Tone::hex(0x3f7a5d), green * if self.cleaned { 0.22 } else { 0.6 });
        if !self.cleaned {
            let wart = ease(0.50, 0.22, spot.cell(2.6)) * ease(0.44, 0.6, spot.cloud(6.0));
            lift = 0.55 * wart + 0.3 * spot.cloud(1.1);
            colour = colour.towards(Tone::hex(0x5f9a78), 0.7 * wart);
        }
        let pit = ease(0.20, 0.08, spot.cell(1.6)) * ease(0.46, 0.56, spot.cloud(4.0)) * self.decay;
        let powder = ease(0.655, 0.69, spot.cloud(4.1)) * self.decay;
        colour = colour.times(1.0 - 0.5 * pit).towards(Tone::hex(0x9fd0b6), 0.85 * powder);
        Surface {
            height: height + lift - 0.22 * pit + 0.16 * powder + 0.05 * mottle,
            colour,
            gloss: if self.cleaned { 0.42 * (1.0 - powder) * (1.0 - pit) } else { 0.10 },
            glow: Tone([0.006, 0.012, 0.014]).plus(Tone([0.02, 0.09, 0.06]).times(powder)),
            absorb: 0.25 + 0.42 * height * (1.0 - 0.5 * pit * self.decay),
            ..Surface::default()
        }
    }
}

/// A flat ring with collets or cut lines, and a pin hinged at a narrowing.
pub fn ring_brooch(bench: &mut Bench) {
    let patina = Patina::of(bench);
    let collets = if bench.chance.odds(0.5) { bench.chance.whole(3, 6) as usize } else { 0 };
    let bend = bench.chance.between(-1.5, 1.5);
    let hinge = bench.chance.between(-0.4, 0.4);
    let outer = wobbled(&ellipse([0.0, 0.0], 19.5, 19.0), 0.25, 8.0, &mut bench.chance);
    let inner = wobbled(&ellipse([0.0, 0.0], 13.0, 12.8), 0.2, 8.0, &mut bench.chance);
    let cuts = (0..28).filter(|i| collets == 0 || i % 4 != 0).map(|i| {
        let (sin, cos) = (i as f32 / 28.0 * std::f32::consts::TAU).sin_cos();
        vec![[cos * 14.2, sin * 14.2], [cos * 18.2, sin * 18.2]]
    });
    let cuts: Vec<_> = cuts.collect();
    let piece = Piece::new(path(&[outer, inner])).with(strokes(&cuts, 0.42), 0.25);
    let plain = bench.is_turned_over();
    bench.lay(piece, |spot| {
        let mut seen = patina.surface(spot, 0.8 + round(spot.d, 1.6));
        let cut = if plain { 0.0 } else { spot.ink(0) };
        seen.height -= 0.45 * cut;
        seen.colour = seen.colour.times(1.0 - 0.45 * cut);
        seen
    });
    if !plain {
        lay_collets(bench, collets, patina);
    }
    let pose = bench.pose.turned(hinge);
    let shaft = strip(&curve(&[[-18.5, 0.0], [-8.0, bend * 0.4], [6.0, bend], [20.8, bend * 0.6]]), |t| {
        1.45 - 1.05 * t.powf(1.4)
    });
    bench.lay_at(Piece::new(path(&[shaft])), pose, |spot| patina.surface(spot, 2.4 + round(spot.d, 1.3)));
    let loop_ = rectangle([-17.2, 0.0], 5.2, 4.4);
    bench.lay_at(Piece::new(path(&[smooth(&loop_)])), pose, |spot| {
        let ridge = 0.35 * (spot.x * 3.4).sin();
        patina.surface(spot, 2.5 + round(spot.d, 1.5) + ridge)
    });
}

/// Small raised settings round the ring, most of them empty.
fn lay_collets(bench: &mut Bench, count: usize, patina: Patina) {
    for i in 0..count {
        let angle = (i as f32 + 0.5) / count as f32 * std::f32::consts::TAU;
        let kept = bench.chance.odds(0.45);
        let paste = Tone::hex(*bench.chance.pick(&[0x2c4f7c, 0x7a2430, 0x2f5b43]));
        let pose = bench.pose.shifted(angle.cos() * 16.2, angle.sin() * 16.2);
        bench.lay_at(Piece::new(path(&[ellipse([0.0, 0.0], 2.7, 2.7)])), pose, |spot| {
            let well = ease(0.7, 1.1, spot.d);
            let mut seen = patina.surface(spot, 3.0 - 0.9 * well * if kept { 0.2 } else { 1.0 });
            if kept {
                seen.colour = seen.colour.towards(paste, 0.9 * well);
                seen.gloss = seen.gloss.max(0.7 * well);
                seen.height += 0.5 * well * ease(0.9, 2.6, spot.d);
            }
            seen
        });
    }
}

/// A wide head over the spring, a bow with a ridge, a foot with a knob.
pub fn bow_brooch(bench: &mut Bench) {
    let patina = Patina::of(bench);
    let wide = bench.chance.between(13.0, 16.0);
    let waist = bench.chance.between(2.6, 3.8);
    let half = smooth(&[
        [-wide, -27.0],
        [0.0, -29.5],
        [wide, -27.0],
        [wide, -22.5],
        [6.5, -20.5],
        [5.4, -6.0],
        [waist, 6.0],
        [2.4, 19.0],
        [3.4, 24.0],
        [2.2, 29.0],
        [0.0, 30.0],
        [-2.2, 29.0],
        [-3.4, 24.0],
        [-2.4, 19.0],
        [-waist, 6.0],
        [-5.4, -6.0],
        [-6.5, -20.5],
        [-wide, -22.5],
    ]);
    let outline = wobbled(&half, 0.35, 7.0, &mut bench.chance);
    let mut lines = vec![
        vec![[-5.0, -7.0], [5.0, -7.0]],
        vec![[-4.8, -4.6], [4.8, -4.6]],
        vec![[-3.0, 18.5], [3.0, 18.5]],
    ];
    lines.extend((0..7).map(|i| vec![[-1.4, -18.0 + i as f32 * 1.5], [1.4, -17.2 + i as f32 * 1.5]]));
    let piece = Piece::new(path(&[outline])).with(strokes(&lines, 0.5), 0.3);
    let behind = bench.is_turned_over();
    bench.lay(piece, |spot| {
        let arch = 7.5 * (1.0 - ((spot.y + 8.0) / 24.0).powi(2)).max(0.0);
        let head = ease(-19.0, -22.0, spot.y);
        let coil = head * 1.6 * (spot.x * 2.9).sin().abs();
        let ridge = (1.0 - head) * 0.9 * ease(2.4, 0.0, spot.x.abs());
        let line = spot.ink(0) * (1.0 - head);
        let mut seen = patina.surface(
            spot,
            2.0 + arch * (1.0 - head) * if behind { 0.3 } else { 1.0 } + round(spot.d, 1.8) + coil + ridge,
        );
        seen.height -= 0.5 * line;
        seen.colour = seen.colour.times(1.0 - 0.4 * line);
        seen
    });
    if behind {
        let pin = strip(&[[1.0, -22.0], [0.5, 0.0], [-0.5, 21.0]], |t| 0.9 - 0.6 * t);
        bench.lay(Piece::new(path(&[pin])), |spot| patina.surface(spot, 5.0 + round(spot.d, 0.9)));
    }
}

/// A D-shaped frame, its tongue, and a riveted plate.
pub fn buckle(bench: &mut Bench) {
    let patina = Patina::of(bench);
    let lean = bench.chance.between(-0.25, 0.25);
    let outer = smooth(&[
        [4.0, -16.0],
        [14.0, -16.5],
        [24.0, -11.0],
        [28.0, 0.0],
        [24.0, 11.0],
        [14.0, 16.5],
        [4.0, 16.0],
        [2.5, 0.0],
    ]);
    let inner = smooth(&[
        [7.0, -11.0],
        [14.0, -11.5],
        [20.0, -7.5],
        [22.5, 0.0],
        [20.0, 7.5],
        [14.0, 11.5],
        [7.0, 11.0],
        [6.5, 0.0],
    ]);
    let frame = Piece::new(path(&[wobbled(&outer, 0.3, 9.0, &mut bench.chance), inner]));
    bench.lay(frame, |spot| {
        let rope = 0.3 * ((spot.y * 1.9).sin()) * ease(18.0, 22.0, spot.x);
        patina.surface(spot, 1.4 + round(spot.d, 2.4) + rope)
    });
    let plate = wobbled(
        &refined(&[[-28.0, -9.5], [3.5, -9.0], [3.5, 9.0], [-28.0, 9.5], [-25.5, 0.0]], 0.8),
        0.4,
        4.0,
        &mut bench.chance,
    );
    let border = strokes(
        &[
            vec![[-24.0, -7.2], [1.0, -7.2]],
            vec![[-24.0, 7.2], [1.0, 7.2]],
            curve(&[[-20.0, 0.0], [-14.0, -4.0], [-8.0, 4.0], [-2.0, 0.0]]),
        ],
        0.5,
    );
    let rivets = path(&[
        ellipse([-21.0, -4.4], 1.5, 1.5),
        ellipse([-21.0, 4.4], 1.5, 1.5),
        ellipse([-2.0, 0.0], 1.3, 1.3),
    ]);
    let plain = bench.is_turned_over();
    bench.lay(Piece::new(path(&[plate])).with(border, 0.3).with(rivets, 0.7), |spot| {
        let cut = if plain { 0.0 } else { spot.ink(0) };
        let mut seen =
            patina.surface(spot, 1.3 + 0.5 * ease(0.0, 0.6, spot.d) + 1.3 * spot.ink(1) - 0.35 * cut);
        seen.colour = seen.colour.times(1.0 - 0.4 * cut);
        seen
    });
    let tongue = strip(&[[1.0, 0.0], [14.0, lean * 4.0], [27.5, lean * 9.0]], |t| 1.9 - 0.9 * t);
    bench.lay(Piece::new(path(&[tongue])), |spot| {
        patina.surface(spot, 3.0 + round(spot.d, 1.5) + ease(6.0, 2.0, spot.x))
    });
}

/// A long shaft, slightly bent, under a round or wound head.
pub fn dress_pin(bench: &mut Bench) {
    let patina = Patina::of(bench);
    bench.soil.share = 0.25;
    let bend = bench.chance.between(-2.2, 2.2);
    let wound = bench.chance.odds(0.5);
    let shaft = strip(&curve(&[[-30.0, 0.0], [-8.0, bend * 0.3], [14.0, bend], [33.0, bend * 0.2]]), |t| {
        0.85 - 0.6 * t.powi(4)
    });
    bench.lay(Piece::new(path(&[shaft])), |spot| patina.surface(spot, 0.7 + round(spot.d, 0.8)));
    let head = ellipse([-30.5, 0.0], 2.9, 2.8);
    bench.lay(Piece::new(path(&[head])), |spot| {
        let wire = if wound { 0.3 * ((spot.x + 0.4 * spot.y) * 4.6).sin() } else { 0.0 };
        patina.surface(spot, 0.4 + round(spot.d, 2.7) * 1.3 + wire)
    });
}
