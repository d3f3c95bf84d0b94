//! Places, packing, and the boxes it fills.
use domain::ids::{FindId, PlaceId};

/// The places of a project.
pub fn places(code: &str) -> String {
    format!("/projects/{code}/places")
}

/// Moves finds to a place; they follow as `find=`.
pub fn move_new(code: &str) -> String {
    format!("/projects/{code}/moves/new")
}

/// The form that packs finds; they follow as `find=`.
pub fn packing_new(code: &str) -> String {
    format!("/projects/{code}/packing/new")
}

/// The form that packs one find.
pub fn packing_of(code: &str, find: FindId) -> String {
    format!("{}?find={find}", packing_new(code))
}

/// The record of a packing in words alone.
pub fn packing_in_words(code: &str) -> String {
    format!("/projects/{code}/work/packing/new")
}

/// A box.
pub fn stored_box(id: PlaceId) -> String {
    format!("/boxes/{id}")
}

/// The form that seals a box anew.
pub fn sealing_new(id: PlaceId) -> String {
    format!("/boxes/{id}/sealings/new")
}

/// The form that takes pieces of a bulk find out of a box; the find follows as `find=`.
pub fn taking_new(id: PlaceId) -> String {
    format!("/boxes/{id}/takings/new")
}

/// The form that stands a box elsewhere.
pub fn box_move_new(id: PlaceId) -> String {
    format!("/boxes/{id}/moves/new")
}

/// The label of a box.
pub fn box_label(id: PlaceId) -> String {
    format!("/boxes/{id}/label.pdf")
}
