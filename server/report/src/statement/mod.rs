//! The statement of work a specialist invoices from: for whom, what was done on which day, what it comes to.
use crate::interim::wording::long_day;
use crate::typeset::{self, Files, Printing, Template, TypesetError};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

const STATEMENT: Template =
    Template { main: include_str!("../../../../templates/report/statement.typ"), parts: &[typeset::HOUSE] };

/// A statement, in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Statement {
    pub specialist: String,
    pub qualification: String,
    /// Name of the project with its code.
    pub project: String,
    /// "as asked by Petra Dunmoor on 3 Mar 2031".
    pub asked: String,
    pub question: String,
    /// "3 of 4 finds answered".
    pub answered: String,
    /// Days and fee as agreed; may be empty.
    pub agreed: String,
    pub lines: Vec<WorkLine>,
    /// "2.5 days".
    pub total: String,
    /// What it comes to, and how; nothing where no fee is agreed.
    pub due: Option<(String, String)>,
    /// An address of the assignment, by which the paper is told from others.
    pub url: String,
}

/// Working time of one entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkLine {
    pub day: String,
    pub words: String,
    pub days: String,
}

#[derive(Serialize)]
struct Paper<'a> {
    statement: &'a Statement,
    stated_on: String,
}

/// The statement as PDF, its lines in the order given.
///
/// # Errors
/// What the typesetter refuses.
pub fn pdf(statement: &Statement, stated_on: NaiveDate) -> Result<Vec<u8>, TypesetError> {
    let paper = Paper { statement, stated_on: long_day(stated_on) };
    let identity = format!("statement {}", statement.url);
    let printing = Printing { identity: &identity, date: stated_on };
    typeset::compile(&STATEMENT, &paper, Files::default(), &printing)
}
