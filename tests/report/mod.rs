//! Printed documents, judged by readers from outside: a PDF/A and PDF/UA judge, a text extractor, a code scanner.
mod bench_sheet;
mod dispatch_note;
mod interim;
mod labels;
mod outside;
mod round_sheet;
mod sample;
mod sample_evidence;
mod sample_paper;
mod statement;
