//! Carved alabaster and moulded limestone.
use crate::bench::Bench;
use crate::outline::{broken, path};
use crate::table::{Piece, Spot, Surface, ease, length, round};
use crate::tone::Tone;

/// A panel with a draped figure under a lost canopy; the head is gone.
pub fn alabaster_panel(bench: &mut Bench) {
    let jitter = |bench: &mut Bench| bench.chance.between(-9.0, 9.0);
    let corners = [
        (-62.0, -112.0 + jitter(bench), true),
        (6.0 + jitter(bench), -122.0, true),
        (58.0, -92.0 + jitter(bench), true),
        (82.0 + jitter(bench) * 0.5, -28.0, true),
        (64.0 + jitter(bench), 46.0, true),
        (80.0, 118.0, false),
        (-84.0, 121.0, false),
        (-83.0, -70.0, true),
    ];
    let outline = broken(&corners, 8.0, &mut bench.chance);
    bench.soil.share = 0.40;
    bench.soil.thick = 2.4;
    bench.soil.wide = 46.0;
    bench.soil.haze = 0.34;
    let piece = Piece::new(path(&[outline]));
    if bench.is_turned_over() {
        return bench.lay(piece, panel_back);
    }
    let figure = Figure { lean: bench.chance.between(-7.0, 7.0), folds: bench.chance.between(30.0, 40.0) };
    let gilt = bench.chance.odds(0.5);
    bench.lay(piece, |spot| figure.surface(spot, gilt));
}

/// A standing figure in relief, in mm from the middle of the panel.
struct Figure {
    lean: f32,
    folds: f32,
}

impl Figure {
    fn surface(&self, spot: &Spot, gilt: bool) -> Surface {
        let relief = self.relief(spot);
        let edge = round(spot.d, 4.0) - 4.0;
        let fresh = 1.0 - ease(1.5, 5.0, spot.d + 3.0 * (spot.cloud(4.0) - 0.5));
        let mut colour = alabaster(spot);
        // paint survives where nobody could wipe: in the hollows and along the frame
        let paint = ease(0.47, 0.56, spot.cloud(13.0)) * ease(0.40, 0.56, spot.cloud(2.6));
        let red = paint * (relief.hollow.max(0.9 * relief.frame)) * ease(4.0, 9.0, spot.d);
        colour = colour.towards(Tone::hex(0x8f2c20), red * 0.86);
        if gilt {
            let gold = relief.hem * ease(0.46, 0.58, spot.cloud(5.0));
            colour = colour.towards(Tone::hex(0xb5852f), gold * 0.75);
        }
        let wax = ease(0.66, 0.72, spot.cloud(26.0));
        Surface {
            height: (9.0
                + relief.height
                + edge
                + 0.25 * (spot.cloud(1.6) - 0.5)
                + fresh * 1.6 * (spot.cloud(2.2) - 0.5))
                .max(0.5),
            colour: colour.towards(Tone::hex(0xf3eee4), fresh * 0.45),
            gloss: 0.20 * (1.0 - red) * (1.0 - fresh),
            // alabaster answers a dull cream, old wax a brighter blue-white; vermilion stays dark
            glow: Tone([0.115, 0.105, 0.19])
                .plus(Tone([0.10, 0.16, 0.26]).times(wax))
                .times(1.0 - 0.85 * red),
            absorb: 0.5 + 0.035 * relief.height + red * 0.7,
            ..Surface::default()
        }
    }

    fn relief(&self, spot: &Spot) -> Relief {
        let (x, y) = (spot.x, spot.y);
        let axis = 2.0 + self.lean * (y * 0.016).sin();
        let half = 31.0 - 5.0 * ease(26.0, 0.0, (y + 30.0).abs()) + 15.0 * ease(-10.0, 104.0, y)
            - 8.0 * ease(-80.0, -96.0, y);
        let u = (x - axis) / half;
        let body = (1.0 - u * u).max(0.0).sqrt();
        let within = ease(1.0, 0.93, u.abs()) * ease(-98.0, -90.0, y) * ease(112.0, 108.0, y);
        // long folds below, of uneven width; hanging in curves from the arms
        let pleat = spot.stretched(self.folds, 210.0) - 0.5;
        let long = (0.5 + 2.3 * pleat).clamp(0.0, 1.0);
        let sag = y + 0.020 * (x - axis - 6.0).powi(2) + 12.0 * (spot.cloud(52.0) - 0.5);
        let swag = fold((sag / 5.2).sin()) * ease(0.30, 0.62, spot.stretched(44.0, 16.0)) + 0.4;
        let low = ease(2.0, 30.0, y + 0.35 * (x - axis));
        let drape = low * long + (1.0 - low) * swag.min(1.0);
        let deep = 2.0 + 5.4 * low;
        let mut height = within * (15.0 * body.max(0.45) + deep * (drape - 0.5) * (0.5 + 0.5 * body));
        let mut hollow = within * (1.0 - drape).powi(2) * 1.4;
        let hem = within * ease(99.0, 101.0, y) * ease(108.0, 106.0, y);
        height += 1.4 * hem;
        let lean = self.lean * 0.4;
        let arms = [
            ([-30.0, -80.0], [-34.0, -40.0], 10.5),
            ([-34.0, -40.0], [-5.0, -27.0], 9.5),
            ([32.0, -80.0], [37.0, -42.0], 10.5),
            ([37.0, -42.0], [13.0, -20.0], 9.5),
        ];
        for (from, to, radius) in arms {
            let near = reach([x - lean, y], from, to) / radius;
            let sleeve = (1.0 - near * near).max(0.0).sqrt();
            let crease = 2.6 * (spot.stretched(26.0, 8.0) - 0.5);
            height = height.max((20.0 * sleeve.sqrt() + crease) * ease(0.0, 0.3, sleeve));
            hollow *= 1.0 - ease(0.0, 0.4, sleeve);
        }
        // a fall of cloth from each forearm
        for (at, side, end) in [(-27.0, -1.0, 66.0), (29.0, 1.0, 48.0)] {
            let turn = (y * 0.13 + side).sin() * ease(-30.0, 30.0, y);
            let middle = at + lean + side * (2.0 * turn + 0.05 * (y + 30.0));
            let wide = 15.0 - 0.03 * (y + 30.0);
            let off = (x - middle) / wide;
            let fall = ease(1.0, 0.8, off.abs())
                * ease(-44.0, -34.0, y)
                * ease(end, end - 5.0, y + side * 0.8 * (x - middle));
            let curl = 3.0 * (spot.stretched(17.0, 90.0) - 0.5) + 1.2 * (off * 4.0 + 1.4 * turn).sin();
            height = height.max(fall * (13.5 + curl - 2.0 * off * off));
            hollow *= 1.0 - 0.6 * fall * ease(-0.8, 0.6, curl);
        }
        let (bx, by) = ((x - 4.0 - lean).abs(), (y + 36.0).abs());
        let book = ease(12.5, 11.8, bx) * ease(16.5, 15.8, by);
        height = height.max(
            book * (25.0 + 1.2 * ease(8.4, 9.2, bx.max(by - 4.0))
                - 1.5 * ease(1.2, 0.6, (bx - 10.8).abs()) * ease(16.0, 15.0, by)),
        );
        // where the neck broke
        let scar = ease(1.15, 0.7, length((x - axis) / 11.0, (y + 96.0) / 9.0));
        height = height.max(scar * (14.0 + 7.0 * spot.cloud(7.0)));
        // a frame down the left side and a plinth below
        let frame = ease(-67.0, -69.0, x);
        let roll = (1.0 - ((x + 75.5) / 6.5).powi(2)).max(0.0).sqrt();
        height = height.max(frame * (5.0 + 9.0 * roll));
        let plinth = ease(108.0, 111.0, y);
        height = height.max(plinth * (21.0 - 4.0 * ease(114.0, 116.0, y)));
        let beside = 0.6 * ease(1.32, 1.02, u.abs()) * (1.0 - within) * (1.0 - frame);
        Relief {
            height,
            hollow: (hollow * (1.0 - book) * (1.0 - scar)).max(beside),
            frame: frame * (1.0 - roll),
            hem,
        }
    }
}

struct Relief {
    height: f32,
    /// 0..1, deep between folds
    hollow: f32,
    frame: f32,
    hem: f32,
}

/// A fold is rounder on its ridge than in its valley.
fn fold(wave: f32) -> f32 {
    (0.5 + 0.5 * wave).sqrt()
}

/// Distance from a stretch of line.
fn reach(p: [f32; 2], from: [f32; 2], to: [f32; 2]) -> f32 {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let t = (((p[0] - from[0]) * dx + (p[1] - from[1]) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
    length(p[0] - from[0] - dx * t, p[1] - from[1] - dy * t)
}

/// Cream stone with brownish clouds and thin veins.
fn alabaster(spot: &Spot) -> Tone {
    let vein = ease(0.018, 0.0, (spot.stretched(70.0, 40.0) - 0.5).abs()) * spot.cloud(20.0);
    let cloud = spot.cloud(38.0);
    Tone::hex(0xd2c5af)
        .towards(Tone::hex(0xb9a07b), ease(0.45, 0.8, cloud))
        .towards(Tone::hex(0x8f6d49), 0.55 * vein)
}

/// Point-dressed, with a lead plug for the fixing wire.
fn panel_back(spot: &Spot) -> Surface {
    let groove = ((spot.x * 0.75 + spot.y) * 0.55 + 5.0 * spot.cloud(50.0)).sin();
    let tool = 1.1 * groove * ease(0.3, 0.6, spot.cloud(22.0));
    let plug = ease(7.5, 7.0, length(spot.x + 20.0, spot.y + 40.0));
    let colour = alabaster(spot).times(0.86).towards(Tone::hex(0x6f7074), plug);
    Surface {
        height: 24.0 + round(spot.d, 4.0) - 4.0 + tool * (1.0 - plug) + 1.2 * (spot.cloud(9.0) - 0.5)
            - 2.0 * plug,
        colour,
        gloss: 0.06,
        glow: Tone([0.115, 0.105, 0.19]).times(1.0 - plug),
        absorb: 0.8 + 3.0 * plug,
        ..Surface::default()
    }
}

/// A jamb or string course: a roll between two hollows, tool marks, mortar on the bed.
pub fn moulded_stone(bench: &mut Bench) {
    let skew = bench.chance.between(-12.0, 12.0);
    let corners = [
        (-104.0 + skew, -70.0, false),
        (98.0, -70.0, true),
        (112.0, 4.0 + skew, true),
        (94.0, 71.0, false),
        (-111.0, 71.0, true),
        (-92.0, 10.0, true),
    ];
    let outline = broken(&corners, 9.0, &mut bench.chance);
    bench.soil.share = 0.36;
    bench.soil.thick = 2.6;
    bench.soil.wide = 40.0;
    let limewash = bench.chance.odds(0.5);
    let behind = bench.is_turned_over();
    bench.lay(Piece::new(path(&[outline])), |spot| {
        let y = spot.y;
        let section = if behind { 40.0 } else { profile(y) };
        let comb = if behind {
            0.9 * ((spot.x + y) * 0.7).sin()
        } else {
            0.22 * ((spot.x * 0.93 + y * 0.3) * 1.6).sin()
        };
        let fresh = 1.0 - ease(2.0, 6.0, spot.d + 5.0 * (spot.cloud(7.0) - 0.5));
        let pits = ease(0.22, 0.05, spot.cell(6.0)) * ease(0.5, 0.6, spot.cloud(18.0));
        let mut colour = Tone::hex(0xcbbd9c).towards(Tone::hex(0xa8946d), ease(0.35, 0.75, spot.cloud(32.0)));
        colour = colour.times(0.86 + 0.28 * spot.cloud(2.0)).towards(Tone::hex(0x5f5139), 0.5 * pits);
        if limewash {
            colour =
                colour.towards(Tone::hex(0xece6d6), 0.8 * ease(0.50, 0.58, spot.cloud(24.0)) * (1.0 - fresh));
        }
        Surface {
            height: (section + round(spot.d, 5.0) - 5.0 + comb * (1.0 - fresh) - 1.6 * pits
                + 4.5 * fresh * (spot.cloud(5.0) - 0.5)
                + 0.7 * (spot.cloud(1.8) - 0.5))
                .max(1.0),
            colour,
            glow: Tone([0.05, 0.048, 0.07]),
            absorb: 1.6 + 0.01 * section,
            ..Surface::default()
        }
    });
}

/// Height of the moulding across the stone.
fn profile(y: f32) -> f32 {
    let roll = (1.0 - ((y + 6.0) / 21.0).powi(2)).max(0.0).sqrt();
    let hollow = |at: f32, wide: f32| (1.0 - ((y - at) / wide).powi(2)).max(0.0).sqrt();
    let fillet = ease(46.0, 48.0, y) * 9.0;
    (34.0 + fillet - 15.0 * hollow(-42.0, 17.0) - 13.0 * hollow(31.0, 15.0)).max(19.0 + 27.0 * roll)
}
