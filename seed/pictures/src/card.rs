//! What lies beside the find in every picture: a scale of black and white blocks and a card with its number.
use super::lettering;
use super::outline::{path, rectangle};
use super::table::{Piece, Pose, Surface, Table};
use super::tone::Tone;

/// Height of the scale's blocks in mm at ten pixels per mm; it keeps its size on the picture.
const BAR_PX: f32 = 26.0;

/// The longest of 50, 20 and 10 mm that fits into two thirds of the picture.
fn bar_mm(table: &Table) -> f32 {
    let room = table.width as f32 / table.ppm * 0.66;
    [50.0, 20.0].into_iter().find(|mm| *mm <= room).unwrap_or(10.0)
}

/// Lays the scale at the lower left: blocks of 10 mm, in black and white, with its length in figures.
pub fn lay_scale(table: &mut Table) {
    let mm = 1.0 / table.ppm;
    let (length, thick) = (bar_mm(table), BAR_PX * mm);
    let margin = 70.0 * mm;
    let (half_w, half_h) = (table.width as f32 * mm / 2.0, table.height as f32 * mm / 2.0);
    let pose =
        Pose { x: -half_w + margin + length / 2.0, y: half_h - margin - thick / 2.0, turn: 0.0, scale: 1.0 };
    let block = if length > 10.0 { 10.0 } else { 1.0 };
    let frame = 2.0 * mm;
    let bar = Piece::new(path(&[rectangle([0.0, 0.0], length + 2.0 * frame, thick)]));
    table.lay(&bar, pose, [0.1, 0.2], |spot| {
        let block_no = ((spot.x + length / 2.0) / block).floor() as i64;
        let rim = spot.d < frame || spot.x.abs() > length / 2.0;
        let upper = spot.y < 0.0;
        let dark = rim || ((block_no % 2 == 0) == upper);
        Surface {
            height: 0.6,
            colour: if dark { Tone::grey(0.018) } else { Tone::grey(0.80) },
            gloss: 0.06,
            glow: if dark { Tone::BLACK } else { Tone([0.05, 0.07, 0.13]) },
            absorb: if dark { 0.9 } else { 0.25 },
            ..Surface::default()
        }
    });
    let (words, tall) = (format!("{length} mm"), 24.0 * mm);
    let label = lettering::path(&words, [-length / 2.0, -thick / 2.0 - tall - 12.0 * mm], tall);
    table.lay(&Piece::new(label), pose, [0.0, 0.0], |_| Surface {
        height: 0.02,
        colour: Tone::grey(0.02),
        absorb: 1.6,
        ..Surface::default()
    });
}

/// Lays a small white card with words, one line each, at the lower right.
pub fn lay_card(table: &mut Table, lines: &[&str]) {
    let mm = 1.0 / table.ppm;
    let tall = 30.0 * mm;
    let widest = lines.iter().map(|line| lettering::width(line, tall)).fold(0.0, f32::max);
    let (w, h) = (widest + 44.0 * mm, lines.len() as f32 * tall * 1.55 + 30.0 * mm);
    let (half_w, half_h) = (table.width as f32 * mm / 2.0, table.height as f32 * mm / 2.0);
    let pose =
        Pose { x: half_w - 64.0 * mm - w / 2.0, y: half_h - 56.0 * mm - h / 2.0, turn: -0.012, scale: 1.0 };
    let left = -widest / 2.0;
    let mut strokes = Vec::new();
    for (row, line) in lines.iter().enumerate() {
        let top = -h / 2.0 + 24.0 * mm + row as f32 * tall * 1.55;
        strokes.extend(lettering::lines(line, [left, top], tall));
    }
    let writing = super::outline::strokes(&strokes, tall * 0.14);
    let card = Piece::new(path(&[rectangle([0.0, 0.0], w, h)])).with(writing, 0.0);
    table.lay(&card, pose, [0.3, 0.7], |spot| {
        let ink = spot.ink(0);
        Surface {
            height: 0.7,
            colour: Tone::hex(0xf3f1ea).towards(Tone::hex(0x1c1c20), ink),
            // paper is brightened by its maker and answers blue
            glow: Tone([0.16, 0.24, 0.62]).times(1.0 - ink),
            // on a radiograph only the lead letters show
            absorb: 0.03 + 2.2 * ink,
            ..Surface::default()
        }
    });
}
