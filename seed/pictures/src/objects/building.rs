//! Painted plaster, brick, floor and roof tile.
use crate::bench::Bench;
use crate::outline::{arc, broken, curve, ellipse, path, rectangle, smooth, strokes};
use crate::table::{Piece, Spot, Surface, ease, length, round};
use crate::tone::Tone;

/// Lime plaster with a red band, a dark line and a spray; mortar where it broke.
pub fn wall_plaster(bench: &mut Bench) {
    let corners = [
        (-52.0, -36.0, true),
        (8.0, -46.0, true),
        (56.0, -24.0, true),
        (50.0, 20.0, true),
        (20.0, 45.0, true),
        (-30.0, 38.0, true),
        (-58.0, 8.0, true),
    ];
    let outline = broken(&corners, 7.0, &mut bench.chance);
    bench.soil.share = 0.30;
    bench.soil.thick = 1.2;
    let (tilt, at) = (bench.chance.between(-0.2, 0.2), bench.chance.between(-8.0, 16.0));
    let band = Tone::hex(*bench.chance.pick(&[0x7f3a2e, 0x874834, 0x9c7438]));
    let sprig = strokes(
        &[
            curve(&[[-44.0, 26.0], [-20.0, 8.0], [4.0, 14.0], [30.0, -2.0]]),
            curve(&[[-20.0, 8.0], [-26.0, -6.0], [-18.0, -14.0]]),
            curve(&[[4.0, 14.0], [10.0, 26.0], [22.0, 28.0]]),
            arc([-18.0, -17.0], [4.0, 3.0], 0.0, 1.0),
            arc([25.0, 28.0], [3.6, 2.8], 0.0, 1.0),
        ],
        1.7,
    );
    let behind = bench.is_turned_over();
    bench.lay(Piece::new(path(&[outline])).with(sprig, 0.6), |spot| {
        let broke = 1.0 - ease(1.8, 3.2, spot.d + 4.0 * (spot.cloud(5.0) - 0.5));
        let mortar = mortar(spot);
        if behind {
            let straw =
                ease(0.03, 0.0, (spot.stretched(26.0, 3.5) - 0.55).abs()) * ease(0.5, 0.6, spot.cloud(20.0));
            return Surface {
                height: 13.0 + 2.6 * (spot.cloud(9.0) - 0.5) - 1.4 * straw
                    + round(spot.d, 3.0) * 0.6
                    + mortar.1,
                colour: mortar.0.times(1.0 - 0.45 * straw),
                absorb: 0.6,
                ..Surface::default()
            };
        }
        let across = spot.y + spot.x * tilt - at;
        let worn = ease(0.34, 0.48, spot.cloud(8.0)) * ease(0.2, 0.36, spot.cloud(1.8));
        let (red, line) =
            (ease(12.0, 12.5, across) * ease(31.0, 30.5, across), ease(0.9, 0.5, (across - 8.5).abs()));
        let mut colour = Tone::hex(0xdbd3bf).times(0.86 + 0.2 * spot.cloud(14.0));
        colour = colour.towards(band, 0.9 * red * worn).towards(Tone::hex(0x2e2a28), 0.85 * line * worn);
        colour = colour.towards(Tone::hex(0x4c6147), 0.8 * spot.ink(0) * worn * (1.0 - red));
        let crack = ease(0.03, 0.0, spot.crack(30.0)) * ease(0.42, 0.52, spot.cloud(40.0));
        let brush = 0.03 * (across * 3.0 + 2.0 * spot.cloud(12.0)).sin();
        Surface {
            height: 14.0 - 2.6 * broke + brush + 0.5 * (spot.cloud(20.0) - 0.5) - 0.7 * crack
                + broke * mortar.1
                + 0.5 * round(spot.d, 3.0),
            colour: colour.times(1.0 - 0.6 * crack).towards(mortar.0, broke),
            gloss: 0.05,
            glow: Tone([0.10, 0.10, 0.14]).times((1.0 - 0.8 * red) * (1.0 - broke)),
            absorb: 0.6,
            ..Surface::default()
        }
    });
}

/// Sandy lime mortar with grit: its colour and the height of its grains.
fn mortar(spot: &Spot) -> (Tone, f32) {
    let grain =
        ease(0.30, 0.14, spot.cell(3.2) + 0.5 * (spot.cloud(2.4) - 0.5)) * ease(0.40, 0.56, spot.cloud(11.0));
    let pebble = Tone::hex(0x8a7355).towards(Tone::hex(0x5d564d), ease(0.4, 0.6, spot.cloud(3.0)));
    (
        Tone::hex(0xc3b597).times(0.75 + 0.5 * spot.cloud(1.6)).towards(pebble, 0.8 * grain),
        0.7 * grain + 0.9 * (spot.cloud(2.2) - 0.5),
    )
}

/// Fired clay: colour, grit, sanding.
fn fired(spot: &Spot, body: Tone, broke: f32) -> (Tone, f32) {
    let grit =
        ease(0.24, 0.10, spot.cell(3.0) + 0.3 * (spot.cloud(2.0) - 0.5)) * ease(0.50, 0.64, spot.cloud(9.0));
    let void = ease(0.20, 0.06, spot.stretched_cell(9.0, 4.4) + 0.3 * (spot.cloud(3.0) - 0.5))
        * ease(0.56, 0.68, spot.cloud(19.0));
    let colour = body
        .times(0.66 + 0.56 * spot.cloud(14.0))
        .towards(Tone::hex(0x5a4a40), 0.5 * ease(0.5, 0.75, spot.cloud(34.0)))
        .times(0.80 + 0.40 * spot.cloud(1.6))
        .towards(body.times(1.25), broke * 0.6);
    (
        colour.towards(Tone::hex(0xc9ad88), 0.45 * grit).times(1.0 - 0.5 * void),
        0.3 * grit - 1.0 * void + (0.3 + 1.6 * broke) * (spot.cloud(1.8) - 0.5),
    )
}

/// A hand-made brick, one corner gone, mortar clinging.
pub fn brick(bench: &mut Bench) {
    let body = Tone::hex(*bench.chance.pick(&[0x8f5039, 0x985c42, 0x824636, 0x9d7552]));
    let lost = bench.chance.between(20.0, 50.0);
    let corners = [
        (-90.0, -52.0, false),
        (90.0 - lost, -53.0, true),
        (91.0, -50.0 + lost * 0.7, false),
        (92.0, 52.0, false),
        (-91.0, 53.0, false),
    ];
    let ring = crate::outline::refined(&broken(&corners, 6.0, &mut bench.chance), 2.0);
    let outline = crate::outline::wobbled(&ring, 1.5, 26.0, &mut bench.chance);
    bench.soil.share = 0.3;
    bench.soil.thick = 1.8;
    bench.lay(Piece::new(path(&[outline])), |spot| {
        let broke = (1.0 - ease(0.0, 7.0, spot.d + 6.0 * (spot.cloud(6.0) - 0.6)))
            * ease(78.0 - lost * 1.6, 86.0 - lost * 1.2, spot.x - spot.y * 0.75);
        let (colour, bump) = fired(spot, body, broke);
        let stuck = ease(0.55, 0.59, spot.cloud(30.0)) * (1.0 - broke);
        let crease = ease(0.012, 0.0, (spot.stretched(90.0, 22.0) - 0.47).abs());
        let (lime, lumps) = mortar(spot);
        Surface {
            height: 44.0 + round(spot.d, 5.0) - 5.0 + bump + 1.6 * (spot.cloud(40.0) - 0.5) - 1.0 * crease
                + stuck * (1.8 + lumps)
                - 5.0 * broke,
            colour: colour.times(1.0 - 0.35 * crease).towards(lime, 0.95 * stuck),
            glow: Tone([0.012, 0.008, 0.010]).plus(Tone([0.06, 0.06, 0.09]).times(stuck)),
            absorb: 1.5,
            ..Surface::default()
        }
    });
}

/// A floor tile of two clays: a quarter of a circle pattern, glaze worn off the high spots.
pub fn floor_tile(bench: &mut Bench) {
    let cut = bench.chance.between(16.0, 46.0);
    let corners = [
        (-54.0, -54.0, false),
        (54.0, -54.0, false),
        (55.0, 54.0 - cut, true),
        (54.0 - cut, 55.0, false),
        (-54.0, 54.0, false),
    ];
    let outline = broken(&corners, 3.6, &mut bench.chance);
    bench.soil.share = 0.26;
    bench.soil.thick = 1.2;
    let origin = [-54.0, 54.0];
    let corner = bench.chance.odds(0.5);
    let mut lines = vec![arc(origin, [100.0, 100.0], -0.25, 0.0), arc(origin, [88.0, 88.0], -0.25, 0.0)];
    if corner {
        lines.push(arc(origin, [40.0, 40.0], -0.25, 0.0));
    }
    let bands = strokes(&lines, 4.6);
    let petal = |turn: f32| -> Vec<[f32; 2]> {
        let shape = smooth(&[[0.0, 0.0], [8.0, -8.0], [20.0, -9.0], [27.0, 0.0], [20.0, 9.0], [8.0, 8.0]]);
        crate::outline::placed(&shape, turn, [-8.0, 8.0])
    };
    let mut rings: Vec<Vec<[f32; 2]>> =
        (0..4).map(|i| petal(i as f32 * std::f32::consts::FRAC_PI_2 + std::f32::consts::FRAC_PI_4)).collect();
    rings.extend([
        ellipse([38.0, -38.0], 8.0, 8.0),
        ellipse([38.0, -38.0], 4.0, 4.0),
        ellipse([-42.0, 42.0], 7.0, 7.0),
    ]);
    let (behind, clean) = (bench.is_turned_over(), bench.cleaned());
    bench.lay(Piece::new(path(&[outline])).with(bands, 0.8).with(path(&rings), 0.8), |spot| {
        let broke = 1.0 - ease(0.6, 2.4, spot.d + 2.0 * (spot.cloud(4.0) - 0.5));
        let (clay, bump) = fired(spot, Tone::hex(0x83503a), broke);
        if behind {
            let keyed = ease(9.0, 8.0, length(spot.x.abs() - 26.0, spot.y.abs() - 26.0));
            let (lime, lumps) = mortar(spot);
            let stuck = ease(0.5, 0.55, spot.cloud(24.0));
            return Surface {
                height: 22.0 + bump - 3.0 * keyed + stuck * (1.0 + lumps) + 0.7 * round(spot.d, 2.0),
                colour: clay.times(1.0 - 0.4 * keyed).towards(lime, 0.9 * stuck),
                absorb: 1.2,
                ..Surface::default()
            };
        }
        let pale = spot.ink(0).max(spot.ink(1)) * (1.0 - broke);
        let worn = ease(0.44, 0.62, spot.cloud(26.0) + 0.12 * (spot.cloud(3.0) - 0.5));
        let glazed = (1.0 - worn) * (1.0 - broke);
        let glaze_red = Tone::hex(0x5b3320).times(0.8 + 0.4 * spot.cloud(4.0));
        let glaze_pale = Tone::hex(0xb39050).times(0.85 + 0.3 * spot.cloud(3.0));
        let dark = clay.towards(glaze_red, 0.85 * glazed);
        let light =
            Tone::hex(0xcdbf9f).times(0.88 + 0.24 * spot.cloud(2.0)).towards(glaze_pale, 0.85 * glazed);
        let scratch = ease(0.012, 0.0, (spot.stretched(60.0, 9.0) - 0.5).abs());
        Surface {
            height: 22.0 + 0.7 * round(spot.d, 2.0) + (0.4 + broke) * bump - 0.35 * pale - 0.2 * scratch
                + 0.3 * glazed,
            colour: dark.towards(light, pale).plus(Tone::grey(0.03 * scratch)),
            gloss: 0.5 * glazed * if clean { 1.0 } else { 0.4 },
            glow: Tone([0.012, 0.008, 0.010]).plus(Tone([0.03, 0.028, 0.03]).times(pale)),
            absorb: 1.2,
            ..Surface::default()
        }
    });
}

/// A flat roof tile with its peg hole and the print of a dog's paw.
pub fn roof_tile(bench: &mut Bench) {
    let body = Tone::hex(*bench.chance.pick(&[0x955a40, 0x8b5039, 0x9c6a4c]));
    let low = bench.chance.between(10.0, 60.0);
    let corners = [
        (-78.0, -104.0, false),
        (77.0, -105.0, false),
        (79.0, low, true),
        (20.0, 96.0 - low * 0.5, true),
        (-40.0, 72.0, true),
        (-79.0, 40.0 + low * 0.5, false),
    ];
    let outline = broken(&corners, 8.0, &mut bench.chance);
    let peg = rectangle([28.0, -82.0], 12.0, 12.0);
    let paw = bench.chance.odds(0.35);
    let print = [
        ellipse([-20.0, 8.0], 11.0, 9.0),
        ellipse([-36.0, -6.0], 5.0, 6.5),
        ellipse([-26.0, -15.0], 5.0, 7.0),
        ellipse([-13.0, -15.0], 5.0, 7.0),
        ellipse([-4.0, -5.0], 5.0, 6.5),
    ];
    bench.soil.share = 0.34;
    bench.soil.thick = 1.4;
    let behind = bench.is_turned_over();
    bench.lay(
        Piece::new(path(&[outline, crate::outline::placed(&peg, 0.3, [-12.0, -18.0])]))
            .with(path(&print), 2.0),
        |spot| {
            let broke = 1.0 - ease(0.6, 2.6, spot.d + 3.0 * (spot.cloud(5.0) - 0.5));
            let (colour, bump) = fired(spot, body, broke);
            let wiped = 0.35 * (spot.x * 0.8 + 3.0 * spot.stretched(60.0, 200.0)).sin();
            let print = if paw && !behind { spot.ink(0) } else { 0.0 };
            let (lime, lumps) = mortar(spot);
            let stuck = ease(0.60, 0.63, spot.cloud(44.0)) * ease(-20.0, -60.0, spot.y);
            Surface {
                height: 13.0 + 0.8 * round(spot.d, 2.0) + bump + wiped - 2.2 * print
                    + 2.5 * (spot.cloud(80.0) - 0.5)
                    + stuck * (1.6 + lumps),
                colour: colour.times(1.0 - 0.18 * print).towards(lime, 0.95 * stuck),
                glow: Tone([0.012, 0.008, 0.010]),
                absorb: 0.8,
                ..Surface::default()
            }
        },
    );
}
