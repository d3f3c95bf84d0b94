//! Every statement of the program, in one list.

/// One registered statement.
pub struct Statement {
    pub text: &'static str,
    /// File and line, for the test that prepares them all.
    pub at: &'static str,
}

inventory::collect!(Statement);

/// Every statement that was written with [`sql!`](crate::sql).
pub fn all() -> impl Iterator<Item = &'static Statement> {
    inventory::iter::<Statement>()
}

/// Registers a static statement and gives its text back.
#[macro_export]
macro_rules! sql {
    ($text:expr) => {{
        const TEXT: &str = $text;
        $crate::statement::inventory::submit!($crate::statement::Statement {
            text: TEXT,
            at: concat!(file!(), ":", line!())
        });
        TEXT
    }};
}

#[doc(hidden)]
pub use inventory;
