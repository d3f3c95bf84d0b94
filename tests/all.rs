#![allow(clippy::unwrap_used, reason = "a test fails by it")]
mod commands;
mod condition;
mod examination;
mod images;
mod imports;
mod journeys;
mod media;
mod pages;
mod people;
mod permissions;
mod register;
mod report;
mod review;
mod rules;
mod statements;
mod store;
mod work;
