//! Lead: window came and weights.
use crate::bench::Bench;
use crate::lettering;
use crate::outline::{curve, ellipse, path, strip, strokes, wobbled};
use crate::table::{Piece, Spot, Surface, ease, length, round};
use crate::tone::Tone;

fn metal(bench: &mut Bench) -> bool {
    bench.soil.share = 0.28;
    bench.soil.haze = 0.25;
    bench.soil.thick = 0.6;
    bench.cleaned()
}

/// Grey metal with a white bloom, scratched and dented.
fn lead(spot: &Spot, height: f32, cleaned: bool) -> Surface {
    let bloom = ease(0.46, 0.62, spot.cloud(6.0)) * if cleaned { 0.45 } else { 0.85 };
    let powder = ease(0.60, 0.66, spot.cloud(3.0)) * if cleaned { 0.2 } else { 0.8 };
    let warm = ease(0.5, 0.7, spot.cloud(12.0));
    let scratch = ease(0.02, 0.0, (spot.stretched(16.0, 3.0) - 0.5).abs());
    let dull =
        Tone::hex(0x6b6a69).towards(Tone::hex(0x7b7062), 0.6 * warm).times(0.8 + 0.4 * spot.cloud(1.4));
    let colour = dull
        .towards(Tone::hex(0xb3b1aa), 0.65 * bloom)
        .towards(Tone::hex(0xdcd9d0), 0.8 * powder)
        .plus(Tone::grey(0.05 * scratch));
    Surface {
        height: height + 0.10 * powder + 0.14 * (spot.cloud(3.5) - 0.5) - 0.05 * scratch,
        colour,
        gloss: 0.30 * (1.0 - bloom) * (1.0 - powder),
        glow: Tone([0.03, 0.03, 0.05]).times(powder),
        // lead stops nearly everything
        absorb: 3.4,
        ..Surface::default()
    }
}

/// Strips of H-shaped section, twisted as they were torn from a window.
pub fn came(bench: &mut Bench) {
    let cleaned = metal(bench);
    for strand in 0..2 {
        let mut bent = || bench.chance.between(-13.0, 13.0);
        let lift = strand as f32 * 17.0 - 9.0;
        let line = curve(&[
            [-52.0, lift + bent()],
            [-24.0, lift + bent() * 0.7],
            [4.0, lift + bent()],
            [30.0, lift + bent() * 0.6],
            [52.0, lift + bent()],
        ]);
        let wide = bench.chance.between(3.0, 3.9);
        let phase = bench.chance.between(0.0, 6.0);
        let outline = wobbled(
            &strip(&line, |t| wide * (1.0 - 0.28 * (t * 9.0 + phase).sin().powi(4))),
            0.3,
            4.0,
            &mut bench.chance,
        );
        let heart = strokes(std::slice::from_ref(&line), 1.5);
        let flange = strokes(&[line.iter().map(|p| [p[0], p[1] + 0.2]).collect()], 4.6);
        bench.lay(Piece::new(path(&[outline])).with(heart, 0.7).with(flange, 0.8), |spot| {
            let groove = spot.ink(0);
            let mut seen = lead(
                spot,
                2.4 + 2.0 * strand as f32 + round(spot.d, 1.4) - 1.2 * groove + 0.5 * (1.0 - spot.ink(1)),
                cleaned,
            );
            seen.colour = seen.colour.times(1.0 - 0.42 * groove);
            seen.absorb = 2.0 + 1.6 * (1.0 - groove);
            seen
        });
    }
}

/// A thick disc with a pierced hole and a scratched mark.
pub fn weight(bench: &mut Bench) {
    let cleaned = metal(bench);
    let outline = wobbled(&ellipse([0.0, 0.0], 18.0, 17.3), 0.8, 9.0, &mut bench.chance);
    let pierced = bench.chance.odds(0.65);
    let hole = wobbled(&ellipse([0.4, -0.6], 3.0, 2.7), 0.3, 3.0, &mut bench.chance);
    let rings = if pierced { vec![outline, hole] } else { vec![outline] };
    let mark = *bench.chance.pick(&["V", "X", "II", "IIX", "T"]);
    let from = [-lettering::width(mark, 6.0) / 2.0, 6.0];
    let behind = bench.is_turned_over();
    bench.lay(Piece::new(path(&rings)).with(lettering::path(mark, from, 6.0), 0.4), |spot| {
        let dent = 1.2 * ease(0.30, 0.1, spot.cell(13.0));
        let cut = if behind { 0.0 } else { spot.ink(0) };
        let dome = if behind { 0.0 } else { 2.4 * (1.0 - (length(spot.x, spot.y) / 18.0).powi(2)).max(0.0) };
        let mut seen = lead(spot, 4.0 + round(spot.d, 3.0) + dome - dent - 0.7 * cut, cleaned);
        seen.colour = seen.colour.times(1.0 - 0.35 * cut);
        seen
    });
}
