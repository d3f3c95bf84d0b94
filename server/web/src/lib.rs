//! The web application: the only crate that knows HTTP.
//!
//! - [`routes`]: every path, the action it is bound to, its handler
//! - [`context`]: who asks, what they may, the clock
//! - [`form`]: what was typed, kept until it is saved
//! - [`page`], [`links`], [`error`], [`assets`]: how answers look and where they lead
//! - one module per feature, one page per file
#![cfg(not(doctest))] // no examples here, and reading it all to find none takes long
pub mod assets;
pub mod attachments;
pub mod bench;
pub mod clock;
pub mod config;
pub mod conflict;
pub mod context;
pub mod contexts;
pub mod daily;
pub mod demo;
pub mod dispatches;
pub mod error;
mod figure;
mod file_form;
pub mod filters;
pub mod finds;
pub mod form;
pub mod guard;
pub mod health;
pub mod images;
#[doc(hidden)]
pub mod inside;
pub mod letterbox;
pub mod letters;
pub mod links;
pub mod packing;
pub mod page;
pub mod password;
mod path;
pub mod people;
pub mod planning;
mod plot;
pub mod press;
pub mod projects;
pub mod registers;
pub mod report;
pub mod review;
pub mod rings;
pub mod rounds;
pub mod routes;
pub mod rows;
pub mod runs;
pub mod serve;
pub mod session;
pub mod shots;
pub mod stores;
pub mod upkeep;
pub mod work;

use std::sync::Arc;

/// Everything a handler needs. Cheap to clone.
#[derive(Clone)]
pub struct App(Arc<AppParts>);

/// What [`App`] holds.
pub struct AppParts {
    pub db: store::Db,
    pub files: media::FileStore,
    pub darkroom: media::Darkroom,
    pub config: config::Config,
    pub clock: clock::Clock,
    pub passwords: password::Passwords,
    pub sign_in_limits: people::limits::SignInLimits,
    pub letterbox: letterbox::Letterbox,
    pub press: press::Press,
}

impl App {
    /// Puts the application together; nothing runs yet.
    pub fn new(db: store::Db, config: config::Config, clock: clock::Clock) -> Self {
        Self(Arc::new(AppParts {
            db,
            files: media::FileStore::at(&config.files),
            darkroom: media::Darkroom::open(),
            config,
            clock,
            passwords: password::Passwords::new(),
            sign_in_limits: people::limits::SignInLimits::default(),
            letterbox: letterbox::Letterbox::new(),
            press: press::Press::new(),
        }))
    }
}

impl std::ops::Deref for App {
    type Target = AppParts;
    fn deref(&self) -> &AppParts {
        &self.0
    }
}
