//! What can go wrong with what is kept.

/// A failure of the store. The visitor never sees the cause; the log does.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The record clashes with one that is there: a number taken, a name used twice.
    #[error("a record like this is there already")]
    Taken,
    /// Somebody else saved the record since it was read.
    #[error("the record was changed by somebody else")]
    Changed,
    /// The record refers to one that is not there.
    #[error("a record this one refers to is missing")]
    Dangling,
    /// A kept value that cannot be read.
    #[error("{column} holds what cannot be read: {cause}")]
    Corrupt { column: String, cause: String },
    /// The database does not answer.
    #[error("the database does not answer: {0}")]
    Unavailable(#[source] sqlx::Error),
    /// A migration failed.
    #[error("the database could not be brought up to date: {0}")]
    Migration(#[from] sqlx::migrate::MigrateError),
    /// A statement the engine refuses: a fault of this program.
    #[error("a statement was refused: {0}")]
    Statement(#[source] sqlx::Error),
}

impl From<sqlx::Error> for StoreError {
    fn from(cause: sqlx::Error) -> Self {
        use sqlx::error::ErrorKind;
        match &cause {
            sqlx::Error::Database(d) => match d.kind() {
                ErrorKind::UniqueViolation => StoreError::Taken,
                ErrorKind::ForeignKeyViolation => StoreError::Dangling,
                _ => StoreError::Statement(cause),
            },
            sqlx::Error::ColumnDecode { index, source } => {
                StoreError::Corrupt { column: index.clone(), cause: source.to_string() }
            }
            sqlx::Error::Io(_)
            | sqlx::Error::PoolTimedOut
            | sqlx::Error::PoolClosed
            | sqlx::Error::WorkerCrashed => StoreError::Unavailable(cause),
            _ => StoreError::Statement(cause),
        }
    }
}
