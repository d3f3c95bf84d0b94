//! Dispatches, their notes, receipts and explanations.
use domain::dispatch::Way;
use domain::ids::{DispatchId, DispatchItemId, ReceiptId};

/// What is out of a project, and what was.
pub fn dispatches(code: &str) -> String {
    format!("/projects/{code}/dispatches")
}

/// Dispatches finds; they follow as `find=`.
pub fn dispatch_new(code: &str) -> String {
    format!("/projects/{code}/dispatches/new")
}

/// A dispatch.
pub fn dispatch(id: DispatchId) -> String {
    format!("/dispatches/{id}")
}

/// The note that travels with it.
pub fn dispatch_note(id: DispatchId) -> String {
    format!("/dispatches/{id}/note.pdf")
}

/// Says what was counted and weighed at one end.
pub fn receipt_new(id: DispatchId, way: Way) -> String {
    match way {
        Way::There => format!("/dispatches/{id}/arrivals/new"),
        Way::Back => format!("/dispatches/{id}/receipts/new"),
    }
}

/// The same, to correct one that was wrong.
pub fn receipt_correction(id: DispatchId, way: Way, wrong: ReceiptId) -> String {
    format!("{}?supersedes={wrong}", receipt_new(id, way))
}

/// Says what became of pieces that are, or were, out.
pub fn explanation_new(id: DispatchItemId) -> String {
    format!("/dispatch-items/{id}/explanations/new")
}
