//! Many rows in few statements: what makes an import of a hundred thousand finds a matter of seconds.
use crate::{Result, Tx};
use sqlx::AssertSqlSafe;

/// Values that one statement may carry; below SQLite's limit of 32 766 and PostgreSQL's of 65 535.
const VALUES: usize = 16_000;

/// A row that can be written with others of its kind.
pub trait BulkRow {
    /// Table and columns, as in `INSERT INTO table (columns)`.
    const TABLE: &'static str;
    const COLUMNS: &'static [&'static str];
    /// Binds the values in the order of the columns.
    fn bind<'a>(&self, statement: crate::db::Stmt<'a>) -> crate::db::Stmt<'a>;
}

/// Inserts all rows, as many to a statement as fit: the fewer statements, the quicker.
pub async fn insert<T: BulkRow>(tx: &mut Tx, rows: &[T]) -> Result<()> {
    let width = T::COLUMNS.len();
    for part in rows.chunks(VALUES / width) {
        let numbered = matches!(tx, Tx::Postgres(_));
        // Built of constants and numbers only.
        let mut statement = tx.sql(AssertSqlSafe(text(T::TABLE, T::COLUMNS, part.len(), numbered)));
        for row in part {
            statement = row.bind(statement);
        }
        statement.run().await?;
    }
    Ok(())
}

/// `numbered` placeholders are PostgreSQL's; SQLite looks each of them up from the first on, which takes four fifths of an
/// import's time, and counts plain ones by itself.
fn text(table: &str, columns: &[&str], rows: usize, numbered: bool) -> String {
    use std::fmt::Write;
    let mut text = format!("INSERT INTO {table} ({}) VALUES ", columns.join(", "));
    for row in 0..rows {
        text.push_str(if row == 0 { "(" } else { ", (" });
        for column in 0..columns.len() {
            let comma = if column == 0 { "" } else { ", " };
            let _ = match numbered {
                // Writing to a String cannot fail.
                true => write!(text, "{comma}${}", row * columns.len() + column + 1),
                false => write!(text, "{comma}?"),
            };
        }
        text.push(')');
    }
    text
}
