//! register
