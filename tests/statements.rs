//! Every statement of the program is one both engines understand.
use store::{Db, statement};
use tests::on_both_engines;

/// What PostgreSQL must not answer with, because the other engine does not: without a CAST, `SUM` of whole numbers is
/// NUMERIC, and a literal or `COUNT` of a cast may be INT4.
const FOREIGN_TYPES: [&str; 3] = ["NUMERIC", "INT4", "INT2"];

on_both_engines! {
    async fn every_statement_is_understood(db: Db) {
        let mut wrong = Vec::new();
        for statement in statement::all() {
            match db.prepare(statement.text).await {
                Err(cause) => wrong.push(format!("{}: {cause}", statement.at)),
                Ok(columns) => wrong.extend(columns.iter().filter(|(_, kind)| FOREIGN_TYPES.contains(&kind.as_str())).map(
                    |(name, kind)| format!("{}: column {name} is {kind}; CAST it to BIGINT or DOUBLE PRECISION", statement.at),
                )),
            }
        }
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }
}

#[test]
fn statements_are_registered() {
    assert!(statement::all().count() > 100);
}
