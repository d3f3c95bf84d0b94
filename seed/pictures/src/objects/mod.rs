//! How each kind is shaped and coloured. Colours and forms from memory of the trade's usual run of things, none copied.
pub mod bead;
pub mod bone;
pub mod building;
pub mod coin;
pub mod copper;
pub mod glass;
pub mod iron;
pub mod lead;
pub mod organic;
pub mod pottery;
pub mod stone;
pub mod urn;
pub mod wood;
