//! The first directory of a classic TIFF file (TIFF revision 6.0, section 2).

use crate::MediaError;

pub(crate) const NEW_SUBFILE_TYPE: u16 = 254;
pub(crate) const STRIP_OFFSETS: u16 = 273;
pub(crate) const ORIENTATION: u16 = 274;
pub(crate) const STRIP_BYTE_COUNTS: u16 = 279;
pub(crate) const TILE_OFFSETS: u16 = 324;
pub(crate) const TILE_BYTE_COUNTS: u16 = 325;
const DNG_VERSION: u16 = 50706;

const SHORT: u16 = 3;
pub(crate) const ASCII: u16 = 2;
pub(crate) const LONG: u16 = 4;

/// Byte order of the numbers in a file.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Order {
    Little,
    Big,
}

/// One field, with its value as the bytes that stand in the file.
pub(crate) struct Entry<'a> {
    pub tag: u16,
    pub form: u16,
    pub count: u32,
    pub value: &'a [u8],
}

/// The first directory, which describes the main picture.
pub(crate) struct Directory<'a> {
    pub order: Order,
    pub entries: Vec<Entry<'a>>,
}

impl<'a> Directory<'a> {
    /// Fields of an unknown form, or whose value lies outside the file, are left out.
    ///
    /// # Errors
    /// [`MediaError::Damaged`] if the directory itself lies outside the file.
    pub fn read(file: &'a [u8]) -> Result<Self, MediaError> {
        let order = if file.starts_with(b"II") { Order::Little } else { Order::Big };
        Self::read_entries(file, order).map(|entries| Self { order, entries }).ok_or(MediaError::Damaged)
    }

    fn read_entries(file: &'a [u8], order: Order) -> Option<Vec<Entry<'a>>> {
        let start = order.u32(file.get(4..8)?) as usize;
        let count = usize::from(order.u16(file.get(start..start + 2)?));
        let fields = file.get(start + 2..start + 2 + count * 12)?;
        Some(fields.chunks_exact(12).filter_map(|field| entry(file, order, field)).collect())
    }

    /// The numbers of a field; `None` if it is absent or does not hold whole numbers of 16 or 32 bits.
    pub fn numbers(&self, tag: u16) -> Option<Vec<u32>> {
        let entry = self.entries.iter().find(|e| e.tag == tag)?;
        match entry.form {
            SHORT => Some(entry.value.chunks_exact(2).map(|v| self.order.u16(v).into()).collect()),
            LONG => Some(entry.value.chunks_exact(4).map(|v| self.order.u32(v)).collect()),
            _ => None,
        }
    }

    /// Whether this is a camera's undeveloped file: a DNG, or one whose first directory is a preview of something else.
    pub fn is_camera_raw(&self) -> bool {
        // bit 0 of NewSubfileType: "a reduced-resolution version of another image in this TIFF file"
        let preview =
            self.numbers(NEW_SUBFILE_TYPE).is_some_and(|v| v.first().is_some_and(|bits| bits & 1 == 1));
        preview || self.entries.iter().any(|e| e.tag == DNG_VERSION)
    }
}

fn entry<'a>(file: &'a [u8], order: Order, field: &'a [u8]) -> Option<Entry<'a>> {
    let form = order.u16(&field[2..4]);
    let count = order.u32(&field[4..8]);
    let length = unit_bytes(form)?.checked_mul(count as usize)?;
    let value = if length <= 4 {
        &field[8..8 + length]
    } else {
        let start = order.u32(&field[8..12]) as usize;
        file.get(start..start.checked_add(length)?)?
    };
    Some(Entry { tag: order.u16(&field[0..2]), form, count, value })
}

/// Bytes of one value, by field type (TIFF 6.0, section 2, "Types").
fn unit_bytes(form: u16) -> Option<usize> {
    match form {
        1 | 2 | 6 | 7 => Some(1),
        3 | 8 => Some(2),
        4 | 9 | 11 => Some(4),
        5 | 10 | 12 => Some(8),
        _ => None,
    }
}

impl Order {
    /// Callers pass slices of exactly two bytes.
    fn u16(self, bytes: &[u8]) -> u16 {
        let bytes = [bytes[0], bytes[1]];
        if self == Self::Little { u16::from_le_bytes(bytes) } else { u16::from_be_bytes(bytes) }
    }

    /// Callers pass slices of exactly four bytes.
    fn u32(self, bytes: &[u8]) -> u32 {
        let bytes = [bytes[0], bytes[1], bytes[2], bytes[3]];
        if self == Self::Little { u32::from_le_bytes(bytes) } else { u32::from_be_bytes(bytes) }
    }

    pub fn bytes_of_u16(self, number: u16) -> [u8; 2] {
        if self == Self::Little { number.to_le_bytes() } else { number.to_be_bytes() }
    }

    pub fn bytes_of_u32(self, number: u32) -> [u8; 4] {
        if self == Self::Little { number.to_le_bytes() } else { number.to_be_bytes() }
    }
}
