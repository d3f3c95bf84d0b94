//! The two engines behind one transaction and one statement. Futures are built here once; only decoding is generic.
use crate::{Result, dialect};
use sqlx::postgres::{PgArguments, PgPool, PgRow};
use sqlx::sqlite::{SqliteArguments, SqlitePool, SqliteRow};
use sqlx::{Arguments, Decode, Encode, FromRow, Postgres, SqlSafeStr, SqlStr, Sqlite, Type};
use std::future::Future;
use std::pin::Pin;

type Pending<'a, T> = Pin<Box<dyn Future<Output = sqlx::Result<T>> + Send + 'a>>;

/// A value both engines can be given.
pub trait Bind:
    for<'q> Encode<'q, Sqlite> + Type<Sqlite> + for<'q> Encode<'q, Postgres> + Type<Postgres> + Send
{
}
impl<T> Bind for T where
    T: for<'q> Encode<'q, Sqlite> + Type<Sqlite> + for<'q> Encode<'q, Postgres> + Type<Postgres> + Send
{
}

/// A row both engines can give. `#[derive(sqlx::FromRow)]` serves both.
pub trait Record: for<'r> FromRow<'r, SqliteRow> + for<'r> FromRow<'r, PgRow> {}
impl<T> Record for T where T: for<'r> FromRow<'r, SqliteRow> + for<'r> FromRow<'r, PgRow> {}

/// A single column both engines can give.
pub trait Cell:
    for<'r> Decode<'r, Sqlite> + Type<Sqlite> + for<'r> Decode<'r, Postgres> + Type<Postgres>
{
}
impl<T> Cell for T where
    T: for<'r> Decode<'r, Sqlite> + Type<Sqlite> + for<'r> Decode<'r, Postgres> + Type<Postgres>
{
}

/// Which engine keeps the records.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Engine {
    Sqlite,
    Postgres,
}

/// The open database. Cheap to clone.
#[derive(Clone)]
pub enum Db {
    /// One writing connection, several that can only read.
    Sqlite {
        read: SqlitePool,
        write: SqlitePool,
    },
    Postgres(PgPool),
}

/// A transaction. Dropped without [`Tx::commit`], it changes nothing.
pub enum Tx {
    Sqlite(sqlx::Transaction<'static, Sqlite>),
    Postgres(sqlx::Transaction<'static, Postgres>),
}

/// A statement with its values, ready to be sent.
#[must_use]
pub struct Stmt<'a> {
    text: SqlStr,
    values: Values,
    tx: &'a mut Tx,
    fault: Option<sqlx::Error>,
}

enum Values {
    Sqlite(SqliteArguments),
    Postgres(PgArguments),
}

enum Rows {
    Sqlite(Vec<SqliteRow>),
    Postgres(Vec<PgRow>),
}

impl Db {
    /// Opens the database named by a `sqlite:` or `postgres://` address; a missing SQLite file is made.
    pub async fn open(url: &str) -> Result<Db> {
        dialect::open(url).await
    }

    /// Brings the tables up to date.
    pub async fn migrate(&self) -> Result<()> {
        dialect::migrate(self).await
    }

    /// The engine in use.
    pub fn engine(&self) -> Engine {
        match self {
            Db::Sqlite { .. } => Engine::Sqlite,
            Db::Postgres(_) => Engine::Postgres,
        }
    }

    /// A transaction for looking: every statement in it sees the same moment.
    pub async fn read(&self) -> Result<Tx> {
        Ok(match self {
            Db::Sqlite { read, .. } => Tx::Sqlite(read.begin().await?),
            Db::Postgres(pool) => {
                Tx::Postgres(pool.begin_with("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY").await?)
            }
        })
    }

    /// A transaction for changing. On SQLite it takes its turn at the one writing connection.
    pub async fn write(&self) -> Result<Tx> {
        Ok(match self {
            Db::Sqlite { write, .. } => Tx::Sqlite(write.begin_with("BEGIN IMMEDIATE").await?),
            Db::Postgres(pool) => Tx::Postgres(pool.begin().await?),
        })
    }

    /// Closes all connections, after which the files are at rest.
    pub async fn close(&self) {
        match self {
            Db::Sqlite { read, write } => {
                read.close().await;
                write.close().await;
            }
            Db::Postgres(pool) => pool.close().await,
        }
    }

    /// Prepares a statement without running it; the names and types of its columns where the engine tells them.
    pub async fn prepare(&self, text: &'static str) -> Result<Vec<(String, String)>> {
        use sqlx::{Column, Executor, Statement, TypeInfo};
        macro_rules! columns {
            ($pool:expr) => {
                $pool
                    .acquire()
                    .await?
                    .prepare(text.into_sql_str())
                    .await?
                    .columns()
                    .iter()
                    .map(|c| (c.name().to_string(), c.type_info().name().to_string()))
                    .collect()
            };
        }
        Ok(match self {
            Db::Sqlite { write, .. } => columns!(write),
            Db::Postgres(pool) => columns!(pool),
        })
    }
}

impl Tx {
    /// A statement of this transaction; `$1`, `$2` … are bound in order.
    pub fn sql(&mut self, text: impl SqlSafeStr) -> Stmt<'_> {
        let values = match self {
            Tx::Sqlite(_) => Values::Sqlite(Default::default()),
            Tx::Postgres(_) => Values::Postgres(Default::default()),
        };
        Stmt { text: text.into_sql_str(), values, tx: self, fault: None }
    }

    /// The engine in use.
    pub fn engine(&self) -> Engine {
        match self {
            Tx::Sqlite(_) => Engine::Sqlite,
            Tx::Postgres(_) => Engine::Postgres,
        }
    }

    /// Makes the changes last.
    pub async fn commit(self) -> Result<()> {
        match self {
            Tx::Sqlite(tx) => tx.commit().await?,
            Tx::Postgres(tx) => tx.commit().await?,
        }
        Ok(())
    }
}

impl<'a> Stmt<'a> {
    /// Gives the next `$n` its value.
    pub fn bind<T: Bind>(mut self, value: T) -> Self {
        let added = match &mut self.values {
            Values::Sqlite(values) => values.add(value),
            Values::Postgres(values) => values.add(value),
        };
        if let Err(cause) = added {
            self.fault.get_or_insert(sqlx::Error::Encode(cause));
        }
        self
    }

    /// Every row.
    pub async fn all<T: Record>(self) -> Result<Vec<T>> {
        Ok(self.rows(false).await?.decode()?)
    }

    /// The first row, if there is one.
    pub async fn opt<T: Record>(self) -> Result<Option<T>> {
        Ok(self.rows(true).await?.decode()?.pop())
    }

    /// The first row, which must be there.
    pub async fn one<T: Record>(self) -> Result<T> {
        Ok(self.rows(true).await?.decode()?.pop().ok_or(sqlx::Error::RowNotFound)?)
    }

    /// The first column of the first row, if there is a row.
    pub async fn cell<T: Cell + Send + Unpin>(self) -> Result<Option<T>> {
        Ok(self.rows(true).await?.decode::<One<T>>()?.pop().map(|one| one.0))
    }

    /// Runs the statement; how many rows it touched.
    pub async fn run(self) -> Result<u64> {
        Ok(self.execute().await?)
    }

    fn rows(self, first_only: bool) -> Pending<'a, Rows> {
        Box::pin(async move {
            if let Some(fault) = self.fault {
                return Err(fault);
            }
            macro_rules! fetch {
                ($engine:ty, $values:expr, $tx:expr) => {{
                    let query = sqlx::query_with::<$engine, _>(self.text, $values);
                    if first_only {
                        query.fetch_optional(&mut **$tx).await?.into_iter().collect()
                    } else {
                        query.fetch_all(&mut **$tx).await?
                    }
                }};
            }
            Ok(match (self.tx, self.values) {
                (Tx::Sqlite(tx), Values::Sqlite(values)) => Rows::Sqlite(fetch!(Sqlite, values, tx)),
                (Tx::Postgres(tx), Values::Postgres(values)) => Rows::Postgres(fetch!(Postgres, values, tx)),
                _ => return Err(sqlx::Error::Protocol("values of the other engine".into())),
            })
        })
    }

    fn execute(self) -> Pending<'a, u64> {
        Box::pin(async move {
            if let Some(fault) = self.fault {
                return Err(fault);
            }
            Ok(match (self.tx, self.values) {
                (Tx::Sqlite(tx), Values::Sqlite(values)) => {
                    sqlx::query_with::<Sqlite, _>(self.text, values).execute(&mut **tx).await?.rows_affected()
                }
                (Tx::Postgres(tx), Values::Postgres(values)) => {
                    sqlx::query_with::<Postgres, _>(self.text, values)
                        .execute(&mut **tx)
                        .await?
                        .rows_affected()
                }
                _ => return Err(sqlx::Error::Protocol("values of the other engine".into())),
            })
        })
    }
}

impl Rows {
    fn decode<T: Record>(self) -> sqlx::Result<Vec<T>> {
        match self {
            Rows::Sqlite(rows) => rows.iter().map(T::from_row).collect(),
            Rows::Postgres(rows) => rows.iter().map(T::from_row).collect(),
        }
    }
}

/// A row of one column.
struct One<T>(T);

impl<'r, T: Decode<'r, Sqlite> + Type<Sqlite>> FromRow<'r, SqliteRow> for One<T> {
    fn from_row(row: &'r SqliteRow) -> sqlx::Result<Self> {
        Ok(One(sqlx::Row::try_get(row, 0)?))
    }
}

impl<'r, T: Decode<'r, Postgres> + Type<Postgres>> FromRow<'r, PgRow> for One<T> {
    fn from_row(row: &'r PgRow) -> sqlx::Result<Self> {
        Ok(One(sqlx::Row::try_get(row, 0)?))
    }
}
