//! Printed documents, drawn from records alone.
//!
//! - [`interim`]: the interim report: what it takes, its tables and sentences, its order
//! - [`render`]: the two faces of a report: a fragment of a page, and a PDF
//! - [`labels`]: sheets of find labels with a code that opens the find
//! - [`bench_sheet`]: the working sheet that lies beside a find
//! - [`dispatch_note`]: the note that travels with objects
//! - [`round_sheet`]: a round of wet packs or checks, ticked on paper
//! - [`statement`]: the statement of work a specialist invoices from
//! - [`typeset`]: templates and values into PDF/A-2a and PDF/UA-1
//!
//! Everything here is synchronous and bound by the processor: a caller that serves pages runs it apart from them.
#![cfg(not(doctest))] // no examples here, and reading it all to find none takes long
pub mod bench_sheet;
pub mod dispatch_note;
pub mod interim;
pub mod labels;
pub mod render;
pub mod round_sheet;
pub mod statement;
pub mod typeset;
