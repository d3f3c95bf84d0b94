//! Why a file is not read, and what the person can do.

/// Why a file is not read. Each is a sentence followed by what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unreadable {
    #[error(
        "The file is empty. Choose the file again; if it stays empty, save it again from your spreadsheet."
    )]
    Empty,
    #[error("The file is larger than {} MB. Split the register, or save it as CSV.", mega(*limit))]
    TooManyBytes { limit: u64 },
    #[error("The spreadsheet unpacks to more than {} MB. Remove pictures and unused sheets, or save the one sheet as CSV.", mega(*limit))]
    TooLargeUnpacked { limit: u64 },
    #[error(
        "The spreadsheet is built in a way that no register needs ({part}). Open it in a spreadsheet program and save it as a new file, or as CSV."
    )]
    OddlyBuilt { part: &'static str },
    #[error(
        "The table goes beyond row {limit}. Split it into several files, or clear stray cells far below the last row."
    )]
    TooManyRows { limit: usize },
    #[error("The table goes beyond column {}. Remove what is not part of the register, or clear stray cells far to the right.", super::letter(*limit - 1))]
    TooManyColumns { limit: usize },
    #[error("The table has more than {limit} cells. Split it into several files.")]
    TooManyCells { limit: usize },
    #[error("The words in the table take up more than {} MB. Split it into several files.", mega(*limit as u64))]
    TooManyWords { limit: usize },
    #[error("The cell in row {row}, column {} is longer than {limit} characters. Shorten it{}", super::letter(*column), quote_hint(*quoted))]
    TooLongCell { row: usize, column: usize, limit: usize, quoted: bool },
    #[error("The quotation mark (\") that opens the cell in row {row}, column {}, is never closed. Close it or take it out.", super::letter(*column))]
    UnclosedQuote { row: usize, column: usize },
    #[error(
        "This is a spreadsheet in the old .xls format. Open it in a spreadsheet program and save it as .xlsx, .ods or CSV."
    )]
    OldExcel,
    #[error(
        "This is a spreadsheet in the binary .xlsb format. Open it in Excel and save it as .xlsx or CSV."
    )]
    BinaryExcel,
    #[error(
        "The file is protected by a password. Open it, take the password off, save it and choose it again."
    )]
    Protected,
    #[error("This is {what}, not a table. {advice}")]
    NotATable { what: &'static str, advice: &'static str },
    #[error(
        "The file is damaged and cannot be read to the end. Open it in a spreadsheet program and save it as a new file."
    )]
    Damaged,
    #[error("There is no sheet called “{name}” in this file. Choose one of its sheets.")]
    NoSuchSheet { name: String },
    #[error("The sheet is empty. Choose another sheet.")]
    NothingInIt,
}

fn mega(bytes: u64) -> u64 {
    bytes / 1_000_000
}

fn quote_hint(quoted: bool) -> &'static str {
    if quoted {
        "; if it is not that long, a quotation mark (\") at its beginning is never closed: take it out."
    } else {
        "."
    }
}
