//! Photographs: what a file really is, the prints made from it, the copy without metadata, and where files rest.
//!
//! - `files`: originals by checksum and the prints made from them, in a folder
//! - `incoming`: a file on its way in, hashed as its bytes arrive
//! - `inspect`: the real kind, size, orientation, time and camera of a picture; what is refused and why
//! - `derive`: thumb, screen and large prints, upright, in sRGB, without metadata
//! - `strip`: a copy whose pixels are the original's and whose metadata are gone
//! - `document`: PDF and drawings, kept and handed out, never opened
//! - `darkroom`: one picture at a time, off the threads that answer requests

mod checksum;
mod darkroom;
mod derive;
mod document;
mod error;
mod files;
mod incoming;
mod inspect;
mod jpeg;
mod sniff;
mod strip;
mod tiff;

pub use checksum::{Checksum, NotAChecksum};
pub use darkroom::{Darkroom, Photograph};
pub use derive::{Print, Variant, develop};
pub use document::Document;
pub use error::{Foreign, MediaError};
pub use files::{FileStore, Reading, Stored};
pub use incoming::{Arrived, Incoming};
pub use inspect::{Inspection, MAX_PIXELS, MAX_SIDE_PX, inspect};
pub use sniff::{Kind, sniff};
pub use strip::{Stripped, strip};
