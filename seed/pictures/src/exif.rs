//! The words a camera writes into its files (Exif 2.3, CIPA DC-008: TIFF structure, tags by number), so that taking them out can be seen.
use chrono::NaiveDateTime;

/// Degrees north and east.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Position {
    pub latitude: f64,
    pub longitude: f64,
}

/// What the camera says.
#[derive(Debug, Clone, PartialEq)]
pub struct Exif {
    pub taken_at: NaiveDateTime,
    pub make: String,
    pub model: String,
    /// 1 upright, 6 turned a quarter to the right (TIFF 6.0, Orientation).
    pub orientation: u16,
    pub position: Option<Position>,
}

const ASCII: u16 = 2;
const SHORT: u16 = 3;
const LONG: u16 = 4;
const RATIONAL: u16 = 5;

/// One tag with its value as bytes.
struct Entry {
    tag: u16,
    kind: u16,
    count: u32,
    value: Vec<u8>,
}

impl Exif {
    /// The block as it stands behind the word "Exif" in the file, big-endian.
    pub fn block(&self) -> Vec<u8> {
        let date = self.taken_at.format("%Y:%m:%d %H:%M:%S").to_string();
        let mut first = vec![
            text(0x010f, &self.make),
            text(0x0110, &self.model),
            Entry { tag: 0x0112, kind: SHORT, count: 1, value: self.orientation.to_be_bytes().to_vec() },
            text(0x0132, &date),
            pointer(0x8769, 0),
        ];
        let inner = vec![text(0x9003, &date)];
        let gps = self.position.map(directory_of_position);
        if gps.is_some() {
            first.push(pointer(0x8825, 0));
        }
        let inner_at = 8 + length(&first);
        let gps_at = inner_at + length(&inner);
        for entry in &mut first {
            match entry.tag {
                0x8769 => entry.value = (inner_at as u32).to_be_bytes().to_vec(),
                0x8825 => entry.value = (gps_at as u32).to_be_bytes().to_vec(),
                _ => {}
            }
        }
        let mut block = b"MM\0\x2a\0\0\0\x08".to_vec();
        write(&first, &mut block);
        write(&inner, &mut block);
        if let Some(gps) = gps {
            write(&gps, &mut block);
        }
        block
    }
}

fn text(tag: u16, words: &str) -> Entry {
    let mut value: Vec<u8> = words.bytes().filter(u8::is_ascii).collect();
    value.push(0);
    Entry { tag, kind: ASCII, count: value.len() as u32, value }
}

fn pointer(tag: u16, to: u32) -> Entry {
    Entry { tag, kind: LONG, count: 1, value: to.to_be_bytes().to_vec() }
}

/// Degrees, minutes and seconds with the letter of the side.
fn directory_of_position(position: Position) -> Vec<Entry> {
    let angle = |tag: u16, degrees: f64| {
        let seconds = (degrees.abs() * 360_000.0).round() as u32;
        let parts = [(seconds / 360_000, 1), (seconds / 6_000 % 60, 1), (seconds % 6_000, 100)];
        let value = parts
            .iter()
            .flat_map(|(n, d): &(u32, u32)| [n.to_be_bytes(), d.to_be_bytes()].concat())
            .collect();
        Entry { tag, kind: RATIONAL, count: 3, value }
    };
    vec![
        text(1, if position.latitude < 0.0 { "S" } else { "N" }),
        angle(2, position.latitude),
        text(3, if position.longitude < 0.0 { "W" } else { "E" }),
        angle(4, position.longitude),
    ]
}

/// Bytes of a directory: count, entries, pointer to the next, and values longer than four bytes.
fn length(entries: &[Entry]) -> usize {
    6 + entries.iter().map(|e| 12 + outside(e)).sum::<usize>()
}

/// Bytes a value takes outside its entry, rounded to even.
fn outside(entry: &Entry) -> usize {
    if entry.value.len() > 4 { entry.value.len().next_multiple_of(2) } else { 0 }
}

fn write(entries: &[Entry], block: &mut Vec<u8>) {
    let mut values_at = block.len() + 6 + 12 * entries.len();
    let mut values = Vec::new();
    block.extend((entries.len() as u16).to_be_bytes());
    for entry in entries {
        block.extend(entry.tag.to_be_bytes());
        block.extend(entry.kind.to_be_bytes());
        block.extend(entry.count.to_be_bytes());
        let mut value = entry.value.clone();
        if value.len() > 4 {
            block.extend((values_at as u32).to_be_bytes());
            value.resize(value.len().next_multiple_of(2), 0);
            values_at += value.len();
            values.extend(value);
        } else {
            value.resize(4, 0);
            block.extend(value);
        }
    }
    block.extend([0; 4]);
    block.extend(values);
}
