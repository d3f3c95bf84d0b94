//! Sherds: kitchen pots, glazed jugs, red gloss ware.
use crate::bench::Bench;
use crate::outline::{arc, broken, curve, path, strokes};
use crate::table::{Piece, Spot, Surface, ease, length, round};
use crate::tone::Tone;

/// A clay as it fired: skin, core, grit, glaze.
#[derive(Clone, Copy)]
struct Ware {
    skin: Tone,
    core: Tone,
    grit: Tone,
    /// how coarse, mm
    coarse: f32,
    glaze: Option<Tone>,
    sooted: bool,
}

fn ware(bench: &mut Bench) -> Ware {
    let green = Some(Tone::hex(0x4a5730));
    let amber = Some(Tone::hex(0x74542c));
    let (skin, core, grit, coarse, glaze) = *bench.chance.pick(&[
        (0x6d6a66, 0x8b847b, 0xb9b4aa, 1.2, None),
        (0x9d7156, 0x6b6159, 0xd8ccb8, 1.5, None),
        (0x96694f, 0x7a756d, 0xcfc6b6, 1.0, green),
        (0xb59b78, 0xb89a75, 0x8d6a4a, 0.9, green),
        (0xa88766, 0x8f8378, 0xdccfb6, 1.1, amber),
        (0x4a443f, 0x5d564f, 0xa8a196, 1.9, None),
        (0xd9cbb0, 0xcdbd9f, 0xa88f6c, 0.8, None),
    ]);
    let sooted = glaze.is_none() && bench.chance.odds(0.4);
    bench.soil.share = 0.36;
    bench.soil.haze = 0.38;
    bench.soil.thick = 0.7;
    Ware { skin: Tone::hex(skin), core: Tone::hex(core), grit: Tone::hex(grit), coarse, glaze, sooted }
}

impl Ware {
    /// `glazed` is how much glaze lies here, `inner` whether the pot is seen from within.
    fn surface(&self, spot: &Spot, height: f32, glazed: f32, inner: bool) -> Surface {
        let broke = 1.0 - ease(0.5, 1.5, spot.d + 1.1 * (spot.cloud(2.2) - 0.5));
        let speck = ease(0.22, 0.10, spot.cell(self.coarse * 1.8) + 0.3 * (spot.cloud(1.6) - 0.5))
            * ease(0.44, 0.58, spot.cloud(6.0));
        let glaze = self.glaze.map_or(0.0, |_| glazed) * (1.0 - broke);
        let skin = if inner { self.skin.towards(self.core, 0.35) } else { self.skin };
        let mut colour = skin
            .times(0.80 + 0.40 * spot.cloud(6.0))
            .towards(self.core, broke)
            .towards(self.grit, 0.5 * speck);
        if self.sooted && !inner {
            colour = colour.towards(
                Tone::hex(0x1d1a18),
                0.82 * ease(0.44, 0.62, spot.cloud(26.0) + 0.004 * spot.y) * (1.0 - broke),
            );
        }
        if let Some(tone) = self.glaze {
            let thick = 0.6 + 0.8 * spot.stretched(5.0, 26.0);
            let flecked = tone.times(thick).towards(
                tone.times(0.4),
                0.5 * ease(0.30, 0.10, spot.cell(2.6) + 0.4 * (spot.cloud(2.0) - 0.5)),
            );
            colour = colour.towards(flecked, 0.92 * glaze);
        }
        let fine = (spot.cloud(1.0) - 0.5) * (0.16 + 0.5 * broke);
        Surface {
            height: (height + fine * (1.0 - 0.8 * glaze) + 0.14 * speck * (1.0 - glaze) + 0.12 * glaze)
                .max(0.3),
            colour,
            gloss: 0.03 + 0.72 * glaze,
            glow: Tone([0.012, 0.010, 0.016]).plus(Tone([0.02, 0.03, 0.02]).times(glaze)),
            absorb: 0.34 + 0.22 * speck,
            ..Surface::default()
        }
    }
}

/// The rim and shoulder of a jar or cooking pot: throwing lines, a turned-out rim.
pub fn rim_sherd(bench: &mut Bench) {
    let ware = ware(bench);
    let mut corners: Vec<(f32, f32, bool)> =
        arc([0.0, 118.0], [112.0, 150.0], -0.322, -0.178).iter().map(|p| (p[0], p[1], false)).collect();
    if let Some(last) = corners.last_mut() {
        last.2 = true;
    }
    let mut off = || bench.chance.between(-8.0, 8.0);
    corners.extend([
        (40.0 + off() * 0.4, 8.0 + off(), true),
        (24.0, 30.0 + off() * 0.6, true),
        (-8.0, 34.0 + off() * 0.4, true),
        (-34.0, 20.0 + off(), true),
    ]);
    let outline = broken(&corners, 4.0, &mut bench.chance);
    let inner = bench.is_turned_over();
    let splash = bench.chance.between(0.40, 0.55);
    bench.lay(Piece::new(path(&[outline])), |spot| {
        let down = (length(spot.x / 112.0, (spot.y - 118.0) / 150.0) - 1.0) * -150.0;
        let lip = (1.0 - ((down - 4.5) / 5.5).powi(2)).max(0.0).sqrt();
        let neck = ease(8.0, 16.0, down) * ease(31.0, 20.0, down);
        let lines = 0.16 * (down * 1.15 + spot.stretched(90.0, 20.0) * 2.0).sin() * ease(14.0, 22.0, down);
        let bow = 1.0 - (spot.x / 62.0).powi(2);
        let section = 4.0
            + 7.0 * bow * if inner { -0.2 } else { 1.0 }
            + if inner { 1.4 * lip } else { 4.6 * lip - 1.6 * neck };
        let glazed = ease(splash - 0.02, splash + 0.09, spot.stretched(14.0, 40.0) + 0.004 * (down - 20.0))
            * if inner { 0.15 } else { 1.0 };
        let lit_edge = 0.9 * round(spot.d, 1.4);
        ware.surface(spot, section + lines + lit_edge, glazed, inner)
    });
}

/// A body sherd with combed waves, applied strips, rouletted bands or plain glaze.
pub fn body_sherd(bench: &mut Bench) {
    let ware = ware(bench);
    let sides = bench.chance.whole(4, 6);
    let start = bench.chance.unit() * std::f32::consts::TAU;
    let corners: Vec<(f32, f32, bool)> = (0..sides)
        .map(|i| {
            let angle = start + i as f32 / sides as f32 * std::f32::consts::TAU;
            let reach = bench.chance.between(0.80, 1.08);
            (angle.cos() * 37.0 * reach, angle.sin() * 30.0 * reach, true)
        })
        .collect();
    let outline = broken(&corners, 3.4, &mut bench.chance);
    let style = bench.chance.whole(0, 3);
    let inner = bench.is_turned_over();
    let incised = if inner { None } else { decoration(style) };
    bench.lay(Piece::new(path(&[outline])).with(incised, 0.5), |spot| {
        let bow = 1.0 - (spot.x / 52.0).powi(2) - 0.5 * (spot.y / 52.0).powi(2);
        let lines = 0.10 * (spot.y * 1.1 + spot.stretched(70.0, 20.0) * 2.0).sin();
        let ink = spot.ink(0);
        let relief = if style == 2 { 2.2 * ink } else { -0.9 * ink };
        let section = 4.0 + 6.0 * bow * if inner { -0.3 } else { 1.0 };
        let glazed =
            ease(0.33, 0.44, spot.stretched(18.0, 40.0) - 0.003 * spot.y) * if inner { 0.1 } else { 1.0 };
        let mut seen = ware.surface(spot, section + lines + relief + 0.9 * round(spot.d, 1.2), glazed, inner);
        if style != 2 {
            seen.colour = seen.colour.times(1.0 - 0.35 * ink);
        }
        seen
    });
}

fn decoration(style: i64) -> Option<tiny_skia::Path> {
    let wave = |y: f32, high: f32, long: f32| -> Vec<[f32; 2]> {
        (0..90).map(|i| i as f32 - 45.0).map(|x| [x, y + high * (x / long).sin()]).collect()
    };
    match style {
        0 => strokes(
            &[
                wave(-9.0, 3.0, 2.6),
                wave(-7.2, 3.0, 2.6),
                wave(-5.4, 3.0, 2.6),
                wave(6.0, 0.0, 1.0),
                wave(8.0, 0.0, 1.0),
            ],
            0.7,
        ),
        1 => {
            let notch = |row: i32| {
                (-22..22).map(move |i| (row, i)).map(|(row, i)| {
                    let (x, y) = (i as f32 * 2.1 + row as f32, row as f32 * 3.1 - 8.0);
                    vec![[x, y], [x + 0.7, y + 1.7]]
                })
            };
            strokes(&(0..5).flat_map(notch).collect::<Vec<_>>(), 0.8)
        }
        2 => strokes(
            &[
                curve(&[[-16.0, -40.0], [-13.0, 0.0], [-15.0, 40.0]]),
                curve(&[[6.0, -40.0], [8.0, 0.0], [5.0, 40.0]]),
                curve(&[[27.0, -40.0], [26.0, 0.0], [29.0, 40.0]]),
            ],
            4.4,
        ),
        _ => strokes(&[wave(-12.0, 0.0, 1.0), wave(-10.0, 0.0, 1.0), wave(10.0, 0.0, 1.0)], 0.6),
    }
}

/// Roman red gloss ware with a moulded scroll.
pub fn red_gloss_sherd(bench: &mut Bench) {
    let corners = [
        (-34.0, -22.0, false),
        (33.0, -24.0, true),
        (30.0, 8.0, true),
        (10.0, 24.0, true),
        (-20.0, 21.0, true),
        (-35.0, 0.0, true),
    ];
    let outline = broken(&corners, 2.6, &mut bench.chance);
    bench.soil.share = 0.30;
    bench.soil.thick = 0.5;
    let plain = bench.is_turned_over();
    let mut lines: Vec<Vec<[f32; 2]>> = Vec::new();
    let scroll: Vec<[f32; 2]> =
        (0..80).map(|i| i as f32 - 40.0).map(|x| [x, 7.0 + 5.0 * (x / 5.4).sin()]).collect();
    lines.push(scroll);
    for i in 0..7 {
        let x = i as f32 * 11.3 - 36.0;
        lines.push(arc([x, -6.0], [3.6, 4.4], 0.0, 0.5));
        lines.push(arc([x, -6.0], [1.7, 2.4], 0.0, 0.5));
        lines.push(vec![[x + 5.6, -6.0], [x + 5.6, -0.5]]);
        let side = if i % 2 == 0 { 1.0 } else { -1.0 };
        lines.push(arc([x + 2.0, 7.0 + 2.4 * side], [2.4, 1.8], 0.0, 1.0));
    }
    lines.push(vec![[-40.0, 15.5], [40.0, 15.0]]);
    let pattern = if plain { None } else { strokes(&lines, 1.3) };
    let clean = bench.cleaned();
    bench.lay(Piece::new(path(&[outline])).with(pattern, 0.8), |spot| {
        let broke = 1.0 - ease(0.4, 1.1, spot.d + 0.8 * (spot.cloud(2.0) - 0.5));
        let worn = ease(0.62, 0.74, spot.cloud(8.0));
        let bead = (1.0 - ((spot.y + 20.5) / 3.0).powi(2)).max(0.0).sqrt();
        let colour = Tone::hex(0x8a3f2b)
            .times(0.85 + 0.3 * spot.cloud(9.0))
            .towards(Tone::hex(0xb5795c), broke.max(0.7 * worn));
        Surface {
            height: 3.6
                + 4.0 * (1.0 - (spot.x / 48.0).powi(2))
                + 1.9 * bead
                + 1.1 * spot.ink(0)
                + 0.8 * round(spot.d, 1.0)
                + 0.35 * broke * (spot.cloud(1.1) - 0.5),
            colour,
            gloss: 0.55 * (1.0 - broke) * (1.0 - worn) * if clean { 1.0 } else { 0.5 },
            glow: Tone([0.02, 0.010, 0.012]),
            absorb: 0.34,
            ..Surface::default()
        }
    });
}
