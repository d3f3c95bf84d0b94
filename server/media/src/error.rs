//! Why a file is refused or cannot be had. Each message is the sentence a visitor reads; causes go to the log.

use std::io;

use crate::Checksum;

/// Everything that can go wrong with a picture or its file.
#[derive(Debug, thiserror::Error)]
pub enum MediaError {
    #[error("The file is empty. Copy it from the camera again and choose it anew.")]
    Empty,
    #[error("The file is larger than {} MB. Export it smaller, or as a JPEG, and send that.", limit_bytes / 1_000_000)]
    TooLarge { limit_bytes: u64 },
    #[error("{}", .0.advice())]
    Unsupported(Foreign),
    #[error("The picture is damaged or incomplete. Copy it from the camera again, or export it anew.")]
    Damaged,
    #[error(
        "The picture is {width_px} × {height_px} pixels, more than can be opened here (30 000 on a side, 200 million in all, fewer at 16 bits). Export it smaller."
    )]
    TooManyPixels { width_px: u32, height_px: u32 },
    #[error(
        "The file is far too small for the {width_px} × {height_px} pixels it claims. Export the picture anew."
    )]
    Implausible { width_px: u32, height_px: u32 },
    #[error("This file is not in the store.")]
    Missing(Checksum),
    #[error("This file is no longer what was stored. Ask the administrator to restore it from the backup.")]
    Altered(Checksum),
    #[error(
        "There is no room left for files. Nothing was stored. Tell the administrator, then send the file again."
    )]
    DiskFull,
    #[error("The files cannot be reached at the moment. Nothing was stored. Try again in a few minutes.")]
    Unavailable(#[source] io::Error),
}

/// Kinds of file that are recognised and refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Foreign {
    /// HEIC or HEIF, what many telephones write
    Heic,
    Avif,
    Svg,
    Gif,
    WebP,
    Pdf,
    /// BigTIFF, the form of TIFF for files over 4 GB
    BigTiff,
    /// undeveloped camera files, most of which look like a TIFF with a small preview
    CameraRaw,
    Film,
    /// a JPEG, PNG or TIFF of a rare sort that cannot be decoded
    Variety,
    Unknown,
}

impl Foreign {
    /// What this is and what to do instead, as a sentence.
    pub fn advice(self) -> &'static str {
        match self {
            Self::Heic => {
                "HEIC pictures cannot be opened here. Set the camera to 'most compatible' or export as JPEG."
            }
            Self::Avif => "AVIF pictures cannot be opened here. Export the picture as JPEG.",
            Self::Svg => "SVG drawings are not accepted, because they can carry programs. Export as PNG.",
            Self::Gif => {
                "GIF pictures are not accepted: they hold too few colours. Send the original as JPEG or PNG."
            }
            Self::WebP => "WebP pictures are not accepted. Send the original, or export it as JPEG or PNG.",
            Self::Pdf => "A PDF is not a picture. Export the page as PNG or TIFF.",
            Self::BigTiff => "This is a BigTIFF. Save it as an ordinary TIFF or as JPEG.",
            Self::CameraRaw => "This is an undeveloped camera file. Develop it and export as JPEG or TIFF.",
            Self::Film => "Films are not accepted. Send a single picture as JPEG, PNG or TIFF.",
            Self::Variety => {
                "This sort of JPEG, PNG or TIFF cannot be opened here. Export it as an ordinary JPEG or 8-bit RGB TIFF."
            }
            Self::Unknown => "This is not a picture that can be opened here. Send JPEG, PNG or TIFF.",
        }
    }
}

impl From<io::Error> for MediaError {
    fn from(cause: io::Error) -> Self {
        match cause.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::DiskFull,
            _ => Self::Unavailable(cause),
        }
    }
}
