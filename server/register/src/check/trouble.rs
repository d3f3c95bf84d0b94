//! Everything that can be wrong with a register, each in a sentence with what to do.
use crate::field::Unit;
use crate::values::{DateOrder, Decimal};
use chrono::NaiveDate;

/// Whether a problem keeps a row out or only wants to be seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub enum Severity {
    /// Nothing is imported while it stands.
    Stops,
    /// The row is imported as the sentence says.
    Warns,
}

/// What is wrong. The sentence is its `Display`; [`Trouble::remedy`] says what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Trouble {
    // of the whole table
    #[error("No column is matched to {field}.")]
    NoColumn { field: &'static str },
    #[error("Two columns are matched to {field}.")]
    Twice { field: &'static str },
    #[error("There is no row with anything in it below the header.")]
    NoRows,

    // of a number that names something
    #[error("This row has no {field}.")]
    Unnamed { field: &'static str },
    #[error("“{shown}” names no single thing, so this row is left out.")]
    SumsUp { shown: String },
    #[error("{number} stands in row {other} too.")]
    Duplicate { number: String, other: usize },
    #[error("{number} is a void number in this project, and numbers are never used twice.")]
    Void { number: String },
    #[error("{number} looks like {other}{}, but is written differently.", standing(*row))]
    LooksLike { number: String, other: String, row: Option<usize> },
    #[error("The spreadsheet has turned this number into a date ({shown}).")]
    TurnedIntoDate { shown: String },
    #[error("“{shown}” looks like a long number that the spreadsheet has shortened.")]
    Shortened { shown: String },
    #[error(
        "{rows} of the numbers in this column have decimals ({example}); a spreadsheet keeps 12.10 as 12.1."
    )]
    DecimalNames { example: String, rows: usize },

    // of any value
    #[error("This is {length} characters long; {limit} fit.")]
    TooLong { length: usize, limit: usize },
    #[error("The formula in this cell has no result saved with the file.")]
    NotCalculated,
    #[error("The formula in this cell ends in an error ({shown}).")]
    FormulaError { shown: String },
    #[error("“{shown}” is not {wanted}.")]
    NotOneOf { shown: String, wanted: &'static str },

    // of numbers
    #[error("“{shown}” is not a number.")]
    NotANumber { shown: String },
    #[error("“{shown}” is a range or a fraction, not one number.")]
    Range { shown: String },
    #[error("“{shown}” holds several numbers.")]
    Several { shown: String },
    #[error("“{shown}” is a limit, not a number.")]
    Limit { shown: String },
    #[error("“{shown}” can be read in two ways, and this column has both decimal points and decimal commas.")]
    UnclearDecimal { shown: String },
    #[error("“{shown}” is not a whole number.")]
    NotWhole { shown: String },
    #[error("“{shown}” is below zero.")]
    Negative { shown: String },
    #[error("“{shown}” is too large; {most} is the most.")]
    TooLarge { shown: String, most: String },
    #[error("“{shown}” is not between 0 and 100 %.")]
    NotAShare { shown: String },
    #[error("“{shown}” is not in a unit of {wanted}.")]
    WrongUnit { shown: String, wanted: &'static str },
    #[error("“{shown}” is read as {value}; that it is only about so much is not kept.")]
    About { shown: String, value: String },
    #[error("The count is 0.")]
    ZeroCount,
    #[error("{rows} numbers such as “{example}” can be read in two ways; they are read with a {decimal}.")]
    DecimalAssumed { example: String, decimal: Decimal, rows: usize },

    // of days
    #[error("“{shown}” is not a date.")]
    NotADay { shown: String },
    #[error("“{shown}” is more than one day.")]
    DayRange { shown: String },
    #[error("“{shown}” names no day.")]
    NoDay { shown: String },
    #[error("“{shown}” names no year.")]
    NoYear { shown: String },
    #[error("There is no such day as “{shown}”, read {order}.")]
    NoSuchDay { shown: String, order: DateOrder },
    #[error("“{shown}” can be read in two ways, and this column has dates in both orders.")]
    UnclearDay { shown: String },
    #[error("{date} lies in the future.")]
    Future { date: NaiveDate },
    #[error("{rows} dates such as “{example}” can be read in two ways; they are read {order}.")]
    OrderAssumed { example: String, order: DateOrder, rows: usize },
    #[error("{rows} years of two figures are read as {first} to {last}.")]
    ShortYears { first: i32, last: i32, rows: usize },
    #[error("{rows} numbers such as {example} are read as the day count of a spreadsheet.")]
    Serials { example: String, rows: usize },

    // of what the project knows
    #[error("No material group is known by “{word}” ({}).", in_rows(*rows))]
    UnknownMaterial { word: String, rows: usize, nearest: Option<String> },
    #[error("There is no context {number} in this project ({}).", in_rows(*rows))]
    NoContext { number: String, rows: usize, nearest: Option<String> },
    #[error("There is no place “{name}” in this project ({}).", in_rows(*rows))]
    NoPlace { name: String, rows: usize, nearest: Option<String> },
    #[error("“{shown}” names several contexts; a find has one.")]
    SeveralContexts { shown: String },
    #[error("“{shown}” is a run of numbers.")]
    RunOfNumbers { shown: String },
    #[error("A context cannot lie above, below or beside itself.")]
    ToItself,
    #[error("{number} lies above {other} here, but row {row} says the opposite.")]
    Opposite { number: String, other: String, row: usize },
    #[error("Human remains stay restricted, whatever this column says.")]
    HumanRemains,
}

fn standing(row: Option<usize>) -> String {
    row.map_or_else(|| " in this project".into(), |row| format!(" in row {row}"))
}

/// “1 row”, “12 rows”.
fn in_rows(rows: usize) -> String {
    if rows == 1 { "1 row".into() } else { format!("{rows} rows") }
}

impl Trouble {
    /// Whether it keeps the row out.
    pub fn severity(&self) -> Severity {
        use Trouble::*;
        match self {
            LooksLike { .. }
            | SumsUp { .. }
            | DecimalNames { .. }
            | About { .. }
            | ZeroCount
            | DecimalAssumed { .. }
            | Future { .. }
            | OrderAssumed { .. }
            | ShortYears { .. }
            | Serials { .. }
            | HumanRemains => Severity::Warns,
            _ => Severity::Stops,
        }
    }

    /// What the person can do about it.
    pub fn remedy(&self) -> String {
        use Trouble::*;
        match self {
            NoColumn { field } => format!("Choose the column that holds {field}."),
            Twice { .. } => "Keep one of them, and set the other to “leave out”.".into(),
            NoRows => "Choose another header row or another sheet.".into(),
            Unnamed { .. } => "Type it in, or take the row out if it is a total or a remark.".into(),
            SumsUp { .. } => {
                "Nothing to do if it sums up the rows above; otherwise give it its number.".into()
            }
            Duplicate { .. } => "Give one of the two its own number, or take one row out.".into(),
            Void { .. } => "Give the find a new number.".into(),
            LooksLike { .. } => "If both are the same thing, write both numbers alike.".into(),
            TurnedIntoDate { .. } => "Set the cell to text and type the number again.".into(),
            Shortened { .. } => "Set the column to text and type the number in full.".into(),
            DecimalNames { .. } => {
                "If a zero was lost, set the column to text and type those numbers again.".into()
            }
            TooLong { .. } => "Shorten it, or match the column to a longer field such as the note.".into(),
            NotCalculated => {
                "Open the file in a spreadsheet program and save it again, or paste the column as values."
                    .into()
            }
            FormulaError { .. } => "Mend the formula, or type the value.".into(),
            NotOneOf { .. } => "Write it in one of these words, or leave the cell empty.".into(),
            NotANumber { .. } => "Type the number alone, or leave the cell empty.".into(),
            Range { .. } | Several { .. } => "Type one number, and put the rest in the note.".into(),
            Limit { .. } => "Leave the cell empty and put this in the note.".into(),
            UnclearDecimal { .. } => {
                "Say on the matching page which mark this column uses for decimals.".into()
            }
            other => other.remedy_of_meaning(),
        }
    }

    fn remedy_of_meaning(&self) -> String {
        use Trouble::*;
        match self {
            NotWhole { .. } => "Type a whole number.".into(),
            Negative { .. } => "Type it without the minus sign, or leave the cell empty.".into(),
            TooLarge { .. } => "Look at the number and its unit again.".into(),
            NotAShare { .. } => "Type how much is there in per cent, such as 80.".into(),
            WrongUnit { .. } => "Check that the column is matched to the right field.".into(),
            About { .. } => "Put “about” in the note if it matters.".into(),
            ZeroCount => "Leave it if nothing was kept; otherwise type the count.".into(),
            DecimalAssumed { .. } => "If that is wrong, choose the other mark for this column.".into(),
            NotADay { .. } | NoDay { .. } | NoYear { .. } => {
                "Type day, month and year, such as 3 May 2031, or leave the cell empty.".into()
            }
            DayRange { .. } => "Type the day on which it was found, and put the rest in the note.".into(),
            NoSuchDay { .. } => "Correct the date, or choose the other order for this column.".into(),
            UnclearDay { .. } | OrderAssumed { .. } => {
                "Say on the matching page which order this column uses.".into()
            }
            Future { .. } => "Check the year.".into(),
            ShortYears { .. } => "If some are older, type their years in full.".into(),
            Serials { .. } => "If these are no dates, match the column to another field.".into(),
            UnknownMaterial { nearest, .. } => {
                format!("Choose a material group for this word, or “not said”.{}", meant(nearest))
            }
            NoContext { nearest, .. } => {
                format!("Let it be created, or correct the number.{}", meant(nearest))
            }
            NoPlace { nearest, .. } => format!("Let it be created, or correct the name.{}", meant(nearest)),
            SeveralContexts { .. } => "Name the one it came from, and put the other in the note.".into(),
            RunOfNumbers { .. } => "Write out each number.".into(),
            ToItself => "Take its own number out of the list.".into(),
            Opposite { .. } => "Correct one of the two rows.".into(),
            HumanRemains => "Nothing to do; it is restricted.".into(),
            _ => String::new(),
        }
    }
}

fn meant(nearest: &Option<String>) -> String {
    nearest.as_ref().map(|nearest| format!(" Is {nearest} meant?")).unwrap_or_default()
}

impl Trouble {
    /// What a unit measures, as “a unit of …” ends.
    pub(super) fn measured(unit: Unit) -> &'static str {
        match unit {
            Unit::Milligram | Unit::Gram | Unit::Kilogram => "weight",
            Unit::Millimetre | Unit::Centimetre | Unit::Metre => "length",
            Unit::Percent => "share",
        }
    }
}
