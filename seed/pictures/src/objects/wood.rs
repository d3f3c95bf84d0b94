//! A turned wooden bowl, seen from above.
use crate::bench::Bench;
use crate::outline::{Ring, broken, ellipse, path, wobbled};
use crate::table::{Piece, Surface, ease, length, round};
use crate::tone::Tone;

/// Radius of the rim in mm.
const RIM: f32 = 87.0;

/// A bowl with turning lines, its grain, a split and a piece lost from the rim.
pub fn bowl(bench: &mut Bench) {
    bench.soil.share = 0.36;
    bench.soil.haze = 0.25;
    bench.soil.thick = 2.0;
    let wood = Tone::hex(*bench.chance.pick(&[0x5a3e27, 0x6a4a2c, 0x4d3826]));
    let at = bench.chance.between(0.3, 1.2);
    let split_at = bench.chance.between(-28.0, 28.0);
    let whole = ellipse([0.0, 0.0], RIM, RIM * 0.965);
    let shape = if bench.chance.odds(0.7) { bitten(whole, at, bench) } else { whole };
    let outline = wobbled(&shape, 1.2, 40.0, &mut bench.chance);
    let gloss = if bench.cleaned() { 0.28 } else { 0.45 };
    let below = bench.is_turned_over();
    bench.lay(Piece::new(path(&[outline])), |spot| {
        let r = length(spot.x, spot.y * 1.03);
        // rings of the tree, cut across
        let grain = (0.5
            + 0.5
                * ((spot.y * 0.42 + 0.0016 * spot.x * spot.x + 7.0 * spot.stretched(130.0, 40.0)) * 1.25)
                    .sin())
        .powi(2);
        let fibre = spot.stretched(46.0, 1.7);
        let turned = 0.28 * (r * 1.35).sin() + 0.18 * (r * 3.1).sin();
        let lip = (1.0 - ((r - RIM + 3.5) / 4.0).powi(2)).max(0.0).sqrt();
        let line = ease(0.8, 0.3, (r - 62.0).abs()).max(ease(0.8, 0.3, (r - 22.0).abs()));
        let hollow = (r / RIM).min(1.0).powi(3);
        let split = ease(1.3, 0.2, (spot.y - split_at - 3.0 * (spot.stretched(30.0, 90.0) - 0.5)).abs())
            * ease(-20.0, 50.0, spot.x + 12.0 * spot.cloud(20.0));
        let base = if below {
            34.0 * (1.0 - hollow) + 10.0 + 2.0 * ease(32.0, 30.0, r)
        } else {
            7.0 + 26.0 * hollow + 2.2 * lip
        };
        let colour = wood
            .times(0.68 + 0.62 * grain)
            .times(0.80 + 0.4 * fibre)
            .towards(Tone::hex(0x1f1610), 0.55 * ease(0.56, 0.72, spot.cloud(46.0)));
        Surface {
            height: (base + turned + 0.3 * (fibre - 0.5) - 0.6 * line - 2.6 * split).max(1.0)
                * ease(-1.0, 1.2, spot.d).max(0.4)
                + 0.5 * round(spot.d, 1.5),
            colour: colour.times(1.0 - 0.4 * line).times(1.0 - 0.7 * split),
            gloss: gloss * (1.0 - split),
            glow: Tone([0.020, 0.018, 0.020]),
            absorb: 0.18 + 0.12 * hollow + 0.06 * grain,
            ..Surface::default()
        }
    });
}

/// The rim with a piece broken out of it at an angle.
fn bitten(whole: Ring, at: f32, bench: &mut Bench) -> Ring {
    let wide = bench.chance.between(0.22, 0.36);
    let mut corners: Vec<(f32, f32, bool)> = whole
        .iter()
        .map(|p| (p[1].atan2(p[0]), p))
        .filter(|(angle, _)| (angle - at).abs() > wide)
        .map(|(_, p)| (p[0], p[1], false))
        .collect();
    // the ring starts at the angle 0 and runs on, so the gap lies where the angle passes `at`
    let gap = corners.iter().position(|(x, y, _)| y.atan2(*x) > at).unwrap_or(0);
    let inner = |angle: f32, reach: f32| (angle.cos() * RIM * reach, angle.sin() * RIM * reach, true);
    let deep = bench.chance.between(0.62, 0.76);
    corners.splice(gap..gap, [inner(at - wide * 0.6, deep + 0.06), inner(at + wide * 0.5, deep)]);
    if let Some(before) = gap.checked_sub(1) {
        corners[before].2 = true;
    }
    broken(&corners, 6.0, &mut bench.chance)
}
