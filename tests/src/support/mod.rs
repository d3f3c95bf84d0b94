//! Databases of both engines, a site with its people, the application in process.
pub mod engines;
pub mod http;
pub mod program;
pub mod site;

pub use engines::Engines;
pub use http::{Lab, Reply, Visitor};
pub use site::{FOREIGN, HOME, PASSWORD, Site, noon};
pub use store::{Db, Engine};

/// What a test on both engines may ask for as its one argument.
pub trait Start: Sized {
    /// Made from a fresh, migrated, empty database.
    fn start(db: Db) -> impl Future<Output = Self>;
}

impl Start for Db {
    async fn start(db: Db) -> Self {
        db
    }
}

/// Makes of one test two, each with a database of its own.
///
/// ```ignore
/// on_both_engines! {
///     async fn a_number_is_given_once(site: Site) { … }
/// }
/// ```
#[macro_export]
macro_rules! on_both_engines {
    ($($(#[$meta:meta])* async fn $name:ident($argument:ident: $kind:ty) $body:block)+) => {$(
        $(#[$meta])*
        mod $name {
            #[allow(unused_imports, reason = "whatever the file imports")]
            use super::*;

            async fn body($argument: $kind) $body

            #[test]
            fn on_sqlite() {
                $crate::support::engines::run($crate::support::Engine::Sqlite, body);
            }

            #[test]
            fn on_postgresql() {
                $crate::support::engines::run($crate::support::Engine::Postgres, body);
            }
        }
    )+};
}
