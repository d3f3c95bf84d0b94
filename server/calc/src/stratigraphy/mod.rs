//! What lies over what on a site: contradictions, redundant relations, the dates that follow, and the diagram.
//!
//! Contexts are places in a list, 0 to n − 1; the caller keeps the list. A relation `(a, b)` says that `a` is later than
//! `b`. Contexts found to be the same count as one, spoken of by the first of them in the list.
//!
//! - [`Graph`]: the relations with the same-as merged, contradictions found ([`Graph::contradictions`]), redundant
//!   relations taken out ([`Graph::reduction`]), levels
//! - [`date_contexts`]: termini post and ante quem passed up and down
//! - [`diagram`]: boxes and lines with coordinates, ready to be drawn

mod dating;
pub mod diagram;
mod graph;
mod reduction;

pub use dating::{ContextDate, DatedFind, Dating, Terminus, date_contexts};
pub use graph::Graph;
pub use reduction::Reduction;

use crate::source::{Basis, Source};

const PRINCIPLES: Source =
    Source::from_memory("Harris", "1989", "Principles of archaeological stratigraphy, 2nd edition");

/// Where the order of contexts comes from.
pub const ORDER: Basis = Basis {
    formula: "relations run from the later to the earlier context; contexts that lead to each other contradict; a relation is redundant if a longer way leads from the one to the other; level: the longest way down to a context with nothing below",
    range: "any number of contexts",
    sources: &[
        PRINCIPLES,
        Source::from_memory(
            "Aho, Garey and Ullman",
            "1972",
            "The transitive reduction of a directed graph, SIAM Journal on Computing 1:131-137",
        ),
    ],
    caution: "The order is no better than the relations recorded. A redundant relation is true, only already said by others.",
};

/// Where the dates of contexts come from.
pub const TERMINI: Basis = Basis {
    formula: "post quem: the latest first year among the finds of a context and of all below it, those set aside left out; ante quem: the earliest year fixed for a context or any above it. Possibly residual: a find that ends before the post quem; possibly intrusive: a find that begins after the ante quem",
    range: "finds with a known first year set a post quem; those open backwards set none",
    sources: &[
        PRINCIPLES,
        Source::from_memory("Barker", "1993", "Techniques of archaeological excavation, 3rd edition"),
    ],
    caution: "A terminus is a limit, not a date. One late find drives every context above it: look at the find that sets it and at the date without it.",
};
