//! Leather and textile.
use crate::bench::Bench;
use crate::outline::{Point, Ring, curve, path, refined, smooth, strip, wobbled};
use crate::table::{Piece, Spot, Surface, ease, round};
use crate::tone::Tone;

/// A pointed turnshoe sole with its stitch holes, worn through at the tread.
pub fn shoe_sole(bench: &mut Bench) {
    bench.soil.share = 0.34;
    bench.soil.haze = 0.25;
    bench.soil.thick = 1.3;
    let toe = bench.chance.between(2.0, 14.0);
    let half = smooth(&[
        [-118.0, 2.0],
        [-112.0, -20.0],
        [-88.0, -29.0],
        [-56.0, -22.0],
        [-22.0, -17.0],
        [16.0, -29.0],
        [54.0, -40.0],
        [86.0, -31.0],
        [108.0, -10.0],
        [119.0, toe],
        [104.0, 22.0],
        [74.0, 36.0],
        [40.0, 36.0],
        [6.0, 20.0],
        [-24.0, 15.0],
        [-60.0, 22.0],
        [-90.0, 29.0],
        [-112.0, 22.0],
    ]);
    let fine = refined(&half, 1.5);
    let outline = wobbled(&fine, 1.3, 18.0, &mut bench.chance);
    let hole_at = [bench.chance.between(38.0, 66.0), bench.chance.between(-14.0, 10.0)];
    let worn = wobbled(
        &smooth(&[[-13.0, -8.0], [2.0, -11.0], [15.0, -3.0], [9.0, 9.0], [-6.0, 8.0]])
            .iter()
            .map(|p| [p[0] + hole_at[0], p[1] + hole_at[1]])
            .collect::<Ring>(),
        2.0,
        7.0,
        &mut bench.chance,
    );
    let stitches = path(&stitch_holes(&half));
    let rings = if bench.chance.odds(0.6) { vec![outline, worn] } else { vec![outline] };
    let wet = if bench.cleaned() { 0.55 } else { 0.75 };
    let flesh = bench.is_turned_over();
    bench.lay(Piece::new(path(&rings)).with(stitches, 0.3), |spot| {
        let crease = ease(0.025, 0.0, (spot.stretched(9.0, 60.0) - 0.5).abs())
            * ease(26.0, 8.0, (spot.x - 16.0).abs());
        let crackle = ease(0.07, 0.0, spot.crack(3.4)) * ease(0.44, 0.58, spot.cloud(24.0));
        let fibre = if flesh { spot.cloud(0.9) } else { 0.5 + 0.4 * (spot.cloud(1.1) - 0.5) };
        let scuff = ease(0.56, 0.72, spot.cloud(20.0));
        let stitch = spot.ink(0);
        let curl = 2.6 * ease(14.0, 0.0, spot.d) * (spot.cloud(50.0) - 0.2);
        let colour = Tone::hex(0x34231a)
            .towards(Tone::hex(0x5f4129), 0.75 * scuff)
            .times(0.70 + 0.6 * fibre)
            .times(1.0 - 0.5 * crease.max(crackle));
        Surface {
            height: 2.6 + 0.8 * round(spot.d, 1.6) + curl + 1.8 * (spot.cloud(36.0) - 0.5)
                - 0.6 * crease
                - 0.3 * crackle
                - 1.6 * stitch
                + 0.3 * (fibre - 0.5),
            colour: colour.times(1.0 - 0.75 * stitch),
            gloss: wet * (1.0 - 0.7 * scuff) * (1.0 - stitch) * if flesh { 0.3 } else { 0.8 },
            glow: Tone([0.010, 0.008, 0.012]),
            absorb: 0.16,
            ..Surface::default()
        }
    });
}

/// Small slits along the edge of a sole.
fn stitch_holes(edge: &[Point]) -> Vec<Ring> {
    let mut holes = Vec::new();
    let mut gone = 0.0;
    for (from, to) in edge.iter().zip(edge.iter().skip(1)) {
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let length = dx.hypot(dy).max(1e-3);
        gone += length;
        if gone >= 5.2 {
            gone = 0.0;
            let (ux, uy) = (dx / length, dy / length);
            // the ring runs with the leather on its right
            let at = [to[0] - uy * 3.4, to[1] + ux * 3.4];
            let corner = |a: f32, b: f32| [at[0] + ux * a - uy * b, at[1] + uy * a + ux * b];
            holes.push(vec![corner(-1.2, -0.45), corner(1.2, -0.45), corner(1.2, 0.45), corner(-1.2, 0.45)]);
        }
    }
    holes
}

/// A scrap of woven wool with a selvedge, fraying.
pub fn textile(bench: &mut Bench) {
    bench.soil.share = 0.30;
    bench.soil.haze = 0.35;
    bench.soil.thick = 0.6;
    let dye = Tone::hex(*bench.chance.pick(&[0x553a2c, 0x43372d, 0x5e432f, 0x4b4038]));
    let twill = bench.chance.odds(0.5);
    let corners = [
        (-40.0, -28.0, false),
        (26.0, -31.0, true),
        (41.0, -8.0, true),
        (30.0, 22.0, true),
        (6.0, 29.0, true),
        (-22.0, 24.0, true),
        (-41.0, 27.0, true),
    ];
    let ring = crate::outline::broken(&corners, 5.0, &mut bench.chance);
    let outline = wobbled(&refined(&ring, 0.9), 0.7, 2.2, &mut bench.chance);
    let hole = wobbled(
        &smooth(&[[8.0, -6.0], [15.0, -9.0], [19.0, -2.0], [13.0, 4.0], [7.0, 2.0]]),
        1.0,
        3.0,
        &mut bench.chance,
    );
    lay_frays(bench, &corners, dye);
    bench.lay(Piece::new(path(&[outline, hole])), |spot| weave(spot, dye, twill));
}

/// Two threads to the millimetre, over and under.
fn weave(spot: &Spot, dye: Tone, twill: bool) -> Surface {
    let drift = 2.6 * (spot.cloud(26.0) - 0.5);
    let (u, v) = (
        spot.x / 1.05 + drift + 0.12 * spot.y / 4.0,
        spot.y / 1.15 + 2.2 * (spot.stretched(30.0, 22.0) - 0.5),
    );
    let (warp, weft) = (u.floor() as i64, v.floor() as i64);
    let over = if twill { (warp + weft).rem_euclid(4) < 2 } else { (warp + weft).rem_euclid(2) == 0 };
    let bow = |t: f32| (1.0 - (2.0 * t.rem_euclid(1.0) - 1.0).powi(2)).max(0.0).sqrt();
    let thread = if over { bow(u) * (0.55 + 0.45 * bow(v)) } else { bow(v) * (0.55 + 0.45 * bow(u)) };
    let twist = if over { (v * 5.0 + u * 2.0).sin() } else { (u * 5.0 - v * 2.0).sin() };
    let thin = ease(0.62, 0.72, spot.cloud(9.0));
    let fold = 3.0 * (spot.stretched(60.0, 26.0) - 0.5);
    let shade = 0.45 + 0.75 * thread + 0.10 * twist;
    let own = if over { dye } else { dye.towards(Tone::hex(0x7c6850), 0.3) };
    Surface {
        height: 1.6 + 0.75 * thread + 0.06 * twist + fold + 0.4 * (spot.cloud(2.6) - 0.5) - 0.5 * thin,
        colour: own.times(shade * (0.72 + 0.56 * spot.cloud(7.0))).times(1.0 - 0.25 * thin),
        gloss: 0.02,
        glow: Tone([0.035, 0.030, 0.045]).times(0.4 + 0.9 * spot.cloud(6.0)),
        absorb: 0.05 + 0.04 * thread,
        ..Surface::default()
    }
}

/// Loose threads along the broken edges.
fn lay_frays(bench: &mut Bench, corners: &[(f32, f32, bool)], dye: Tone) {
    let mut threads: Vec<Ring> = Vec::new();
    for (i, &(x, y, broke)) in corners.iter().enumerate() {
        let (nx, ny, _) = corners[(i + 1) % corners.len()];
        let count = if broke { ((nx - x).hypot(ny - y) / 1.7) as usize } else { 0 };
        for k in 0..count {
            let t = (k as f32 + bench.chance.unit()) / count as f32;
            let at = [x + (nx - x) * t, y + (ny - y) * t];
            let length = at[0].hypot(at[1]).max(1.0);
            let out = bench.chance.between(1.5, 8.5);
            let (ux, uy) = (at[0] / length, at[1] / length);
            let sway = bench.chance.between(-3.0, 3.0);
            let end = [at[0] + ux * out - uy * sway, at[1] + uy * out + ux * sway];
            let middle = [at[0] + ux * out * 0.5 + uy * sway * 0.3, at[1] + uy * out * 0.5 - ux * sway * 0.3];
            threads.push(strip(&curve(&[[at[0] - ux * 6.0, at[1] - uy * 6.0], at, middle, end]), |t| {
                0.36 - 0.14 * t
            }));
        }
    }
    for thread in threads {
        bench.lay(Piece::new(path(&[thread])), |spot| Surface {
            height: 0.5 + round(spot.d, 0.35),
            colour: dye.times(0.75 + 0.5 * spot.cloud(2.0)),
            absorb: 0.04,
            ..Surface::default()
        });
    }
}
