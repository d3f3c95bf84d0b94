//! One cell as a number, a date, a word.
pub mod date;
pub mod identifier;
pub mod number;
pub mod words;

domain::text_enum! {
    /// What parts the whole from the decimals. The other of the two then groups thousands.
    Decimal, "decimal mark" {
        Point = "point", "decimal point (1,234.5)";
        Comma = "comma", "decimal comma (1.234,5)";
    }
}

domain::text_enum! {
    /// How a date in figures is written when the year does not come first.
    DateOrder, "order of dates" {
        DayFirst = "day_first", "day first (25/12/2031)";
        MonthFirst = "month_first", "month first (12/25/2031)";
    }
}
