//! Letters and figures as pen strokes, so that no font file is needed.
use super::outline::{Point, strokes};
use tiny_skia::Path;

/// Width of a letter and its gap, in heights.
const ADVANCE: f32 = 0.82;

/// How wide the words become at a height in mm.
pub fn width(words: &str, height: f32) -> f32 {
    (words.chars().count() as f32 * ADVANCE - 0.22).max(0.0) * height
}

/// The lines of the words, their upper left corner at a point, the letters a height in mm tall.
pub fn lines(words: &str, corner: Point, height: f32) -> Vec<Vec<Point>> {
    let mut lines = Vec::new();
    for (position, letter) in words.chars().enumerate() {
        let left = corner[0] + position as f32 * ADVANCE * height;
        for stroke in glyph(letter).split(' ').filter(|s| !s.is_empty()) {
            let place = |pair: &[u8]| {
                let part = |b: u8| f32::from(b - b'0');
                // a grid four wide and six tall
                [left + part(pair[0]) / 6.0 * 0.9 * height, corner[1] + part(pair[1]) / 6.0 * height]
            };
            lines.push(stroke.as_bytes().chunks_exact(2).map(place).collect());
        }
    }
    lines
}

/// The words as a filled path, drawn with a pen of an eighth of their height.
pub fn path(words: &str, corner: Point, height: f32) -> Option<Path> {
    strokes(&lines(words, corner, height), height * 0.14)
}

/// Strokes of a letter: pairs of figures are corners on a grid of 0..4 by 0..6, a space lifts the pen.
fn glyph(letter: char) -> &'static str {
    match letter {
        '0' | 'O' => "103041453616050110",
        '1' => "112026 1636",
        '2' => "01103041420646",
        '3' => "01103041423313 334445361605",
        '4' => "36300444",
        '5' => "400002324345361605",
        '6' => "413010010516364544331304",
        '7' => "004016",
        '8' => "13020110304142331304051636454433",
        '9' => "051636454130100102133342",
        'A' => "062046 1434",
        'B' => "00063645443303 3342413000",
        'C' => "4130100105163645",
        'D' => "00063645413000",
        'E' => "40000646 0333",
        'F' => "400006 0333",
        'G' => "41301001051636454323",
        'H' => "0006 4046 0343",
        'I' => "1030 2026 1636",
        'J' => "3035261605",
        'K' => "0006 400346",
        'L' => "000646",
        'M' => "0600234046",
        'N' => "06004640",
        'P' => "06003041423303",
        'Q' => "103041453616050110 2446",
        'R' => "06003041423303 2346",
        'S' => "413010010213334445361605",
        'T' => "0040 2026",
        'U' => "000516364540",
        'V' => "002640",
        'W' => "0016233640",
        'X' => "0046 4006",
        'Y' => "002340 2326",
        'Z' => "00400646",
        'm' => "0602 03122326 23324346",
        '-' => "1333",
        '/' => "0640",
        '.' => "2526",
        '+' => "2125 0343",
        _ => "",
    }
}
