//! The material groups of a project and the route of each, as its leads keep them.
mod form;
pub(super) mod group;
pub(super) mod index;
