//! Codes that a camera reads.
use qrcode::{EcLevel, QrCode, render::svg};

/// The words as a QR code (ISO/IEC 18004) in SVG, black on white with the quiet zone of four modules the standard asks
/// for; a quarter of it may be soiled. `None` when there are more words than the largest code holds.
pub fn qr(words: &str) -> Option<String> {
    let levels = [EcLevel::Q, EcLevel::L];
    let code = levels.iter().find_map(|level| QrCode::with_error_correction_level(words, *level).ok())?;
    Some(code.render::<svg::Color>().quiet_zone(true).module_dimensions(8, 8).build())
}
