//! A matched column: how its numbers and days are to be read, decided from all of it, and each of its cells read.
use super::Value;
use super::trouble::Trouble;
use crate::field::{Field, Kind, LONGEST_PROSE, LONGEST_WORDS, Shape, Unit};
use crate::header::Header;
use crate::matching::Match;
use crate::table::{Cell, Fault, Separator, Table};
use crate::values::identifier::{self, NoName};
use crate::values::number::{self, Evidence, NotANumber};
use crate::values::words::{self, one_line, prose, says_nothing, says_unknown};
use crate::values::{DateOrder, Decimal, date};
use chrono::NaiveDate;
use domain::finds::limits::{LENGTH_MM, MASS_G, MOST_PIECES, POSITION_M};
use std::sync::Arc;

/// A column and its conventions.
pub(super) struct Column<F> {
    pub field: F,
    pub column: usize,
    /// By letter and header.
    pub place: String,
    shape: Shape,
    /// Of numbers without a unit of their own.
    unit: Option<Unit>,
    /// Brackets around a number are left out.
    brackets: bool,
    /// For numbers that can be read in two ways; nothing when the column goes both ways.
    decimal: Option<Decimal>,
    order: Option<DateOrder>,
    /// What is to be said of the whole column.
    pub troubles: Vec<Trouble>,
    /// How it was decided to be read, where it was not plain.
    pub reading: Option<String>,
    today: NaiveDate,
}

impl<F: Field> Column<F> {
    /// Decides how to read the column from the rows below the header.
    pub fn settle(
        table: &Table,
        from: usize,
        matched: &Match<F>,
        field: F,
        header: &Header,
        today: NaiveDate,
    ) -> Self {
        let spec = field.spec();
        let mut column = Column {
            field,
            column: matched.column,
            place: header.place(),
            shape: spec.shape,
            unit: matched.unit.or(spec.unit()),
            brackets: F::KIND == Kind::Contexts || field.code() == "context",
            decimal: matched.decimal,
            order: matched.dates,
            troubles: Vec::new(),
            reading: None,
            today,
        };
        let cells = table.rows.iter().skip(from).filter_map(|row| row.get(matched.column));
        match spec.shape {
            Shape::Whole | Shape::Size(_) | Shape::Coordinate | Shape::Percent => {
                column.settle_decimal(cells, matched.decimal, table.separator);
            }
            Shape::Day => column.settle_order(cells, matched.dates),
            Shape::Identifier => column.settle_names(cells),
            _ => {}
        }
        column
    }

    fn settle_decimal<'a>(
        &mut self,
        cells: impl Iterator<Item = &'a Cell>,
        chosen: Option<Decimal>,
        separator: Option<Separator>,
    ) {
        let (mut points, mut commas, mut unclear) = (0, 0, [0, 0]);
        let mut examples: [Option<String>; 2] = [None, None];
        for text in cells.filter_map(text) {
            match number::evidence(text) {
                Evidence::Certain(Decimal::Point) => points += 1,
                Evidence::Certain(Decimal::Comma) => commas += 1,
                Evidence::Unclear(mark) => {
                    let at = usize::from(mark == Decimal::Comma);
                    unclear[at] += 1;
                    examples[at].get_or_insert_with(|| one_line(text));
                }
                Evidence::None => {}
            }
        }
        let usual = if separator == Some(Separator::Semicolon) { Decimal::Comma } else { Decimal::Point };
        let whole = self.shape == Shape::Whole;
        let assumed = match (points, commas, unclear) {
            _ if chosen.is_some() => return,
            (0, 0, [0, 0]) => Decimal::Point,
            (0, 0, [_, 0]) if whole => Decimal::Comma,
            (0, 0, [0, _]) if whole => Decimal::Point,
            (0, 0, [0, _] | [_, 0]) => usual,
            (0, 0, _) => return self.reading = Some(BOTH_MARKS.into()),
            (_, 0, _) => Decimal::Point,
            (0, _, _) => Decimal::Comma,
            _ => return self.reading = Some(BOTH_MARKS.into()),
        };
        self.decimal = Some(assumed);
        if commas > 0 {
            self.reading = Some("Numbers are read with a decimal comma.".into());
        }
        // a mark that would be the decimal one is only doubtful when it is taken to group thousands, or is no usual one
        let doubtful = match (assumed, unclear) {
            _ if points + commas > 0 => None,
            (Decimal::Comma, [_, 0]) => Some(0),
            (Decimal::Point, [0, _]) if !whole => Some(1),
            _ => None,
        };
        if let Some((at, example)) = doubtful.and_then(|at| Some((at, examples[at].take()?))) {
            self.troubles.push(Trouble::DecimalAssumed { example, decimal: assumed, rows: unclear[at] });
        }
    }

    fn settle_order<'a>(&mut self, cells: impl Iterator<Item = &'a Cell>, chosen: Option<DateOrder>) {
        let (mut day_first, mut month_first, mut unclear, mut short, mut serials) = (0, 0, 0, 0, 0);
        let (mut example, mut serial) = (None, None);
        for cell in cells {
            let read = match (cell, text(cell)) {
                (Cell::Number(count), _) => date::serial(*count).map(|date| date::Written::Serial { date }),
                (_, Some(text)) => date::read(text, self.today).ok(),
                _ => None,
            };
            let Some(read) = read else { continue };
            short += usize::from(read.short_year());
            if matches!(read, date::Written::Serial { .. }) {
                serials += 1;
                serial.get_or_insert_with(|| one_line(&cell.shown()));
            }
            match read.evidence() {
                date::Evidence::Certain(DateOrder::DayFirst) => day_first += 1,
                date::Evidence::Certain(DateOrder::MonthFirst) => month_first += 1,
                date::Evidence::Unclear => {
                    unclear += 1;
                    example.get_or_insert_with(|| one_line(&cell.shown()));
                }
                date::Evidence::None => {}
            }
        }
        if chosen.is_none() {
            self.order = match (day_first, month_first) {
                (0, 0) => Some(DateOrder::DayFirst),
                (_, 0) => Some(DateOrder::DayFirst),
                (0, _) => Some(DateOrder::MonthFirst),
                _ => None,
            };
            self.reading = match self.order {
                None => {
                    Some("Dates stand in both orders; those that can be read in two ways are refused.".into())
                }
                Some(DateOrder::MonthFirst) => Some("Dates are read month first.".into()),
                Some(DateOrder::DayFirst) => None,
            };
            if let (0, 0, Some(example)) = (day_first, month_first, example) {
                let order = DateOrder::DayFirst;
                self.troubles.push(Trouble::OrderAssumed { example, order, rows: unclear });
            }
        }
        if short > 0 {
            let last = chrono::Datelike::year(&self.today);
            self.troubles.push(Trouble::ShortYears { first: last - 99, last, rows: short });
        }
        if let Some(example) = serial {
            self.troubles.push(Trouble::Serials { example, rows: serials });
        }
    }

    fn settle_names<'a>(&mut self, cells: impl Iterator<Item = &'a Cell>) {
        let mut decimals =
            cells.filter(|cell| matches!(cell, Cell::Number(value) if value.fract() != 0.0)).peekable();
        if let Some(example) = decimals.peek().map(|cell| cell.shown().into_owned()) {
            self.troubles.push(Trouble::DecimalNames { example, rows: decimals.count() });
        }
    }

    /// Reads a cell; nothing when it is empty. What is only doubtful goes to `doubts`.
    pub fn read(&self, cell: &Cell, doubts: &mut Vec<Trouble>) -> Result<Option<Value>, Trouble> {
        match cell {
            Cell::Empty => return Ok(None),
            Cell::Fault(fault) => return Err(of_fault(*fault)),
            Cell::Text(text) if words::is_formula(text.trim()) => return Err(Trouble::NotCalculated),
            _ => {}
        }
        match self.shape {
            Shape::Identifier => {
                let name = identifier::read(cell, self.brackets).map_err(|why| no_name(why, cell))?;
                Ok(name.map(|name| Value::Words(name.into())))
            }
            Shape::Numbers => {
                let names = identifier::list(cell).map_err(|why| no_name(why, cell))?;
                Ok((!names.is_empty()).then_some(Value::Numbers(names)))
            }
            Shape::Words => text_value(cell, one_line, LONGEST_WORDS),
            Shape::Prose => text_value(cell, prose, LONGEST_PROSE),
            Shape::Day => self.day(cell, doubts),
            Shape::YesNo => choice(cell, words::yes_no, "yes or no").map(|truth| truth.map(Value::Truth)),
            Shape::Basis => {
                choice(cell, words::basis, "registered or bulk").map(|bulk| bulk.map(Value::Truth))
            }
            Shape::State => {
                choice(cell, words::state, "dry, damp or wet").map(|state| state.map(Value::State))
            }
            Shape::Whole | Shape::Size(_) | Shape::Coordinate | Shape::Percent => self.number(cell, doubts),
        }
    }

    fn number(&self, cell: &Cell, doubts: &mut Vec<Trouble>) -> Result<Option<Value>, Trouble> {
        let shown = one_line(&cell.shown());
        let written = match cell {
            Cell::Number(value) => number::Written { value: *value, unit: None, about: false },
            Cell::Shown(both) if !both.1.ends_with('%') => {
                number::Written { value: both.0, unit: None, about: false }
            }
            Cell::Date(_) | Cell::Truth(_) => return Err(Trouble::NotANumber { shown }),
            _ if says_unknown(words::unquoted(&shown)) => return Ok(None),
            _ => {
                let unclear = matches!(number::evidence(&shown), Evidence::Unclear(_));
                let decimal = match self.decimal {
                    None if unclear => return Err(Trouble::UnclearDecimal { shown }),
                    decimal => decimal.unwrap_or(Decimal::Point),
                };
                number::read(&shown, decimal).map_err(|why| not_a_number(why, &shown))?
            }
        };
        let value = self.measure(&written, &shown)?;
        if written.about {
            doubts.push(Trouble::About { shown, value: crate::table::plain(written.value) });
        }
        if value == Value::Whole(0) && self.field.code() == "count" {
            doubts.push(Trouble::ZeroCount);
        }
        Ok(Some(value))
    }

    /// The number in the unit of the field, within its bounds.
    fn measure(&self, written: &number::Written, shown: &str) -> Result<Value, Trouble> {
        let shown = || shown.to_owned();
        let value = written.value;
        let kept = match self.shape {
            Shape::Size(kept) => kept,
            Shape::Coordinate => Unit::Metre,
            Shape::Percent => Unit::Percent,
            _ => {
                return match value {
                    _ if written.unit.is_some() => Err(Trouble::NotANumber { shown: shown() }),
                    value if value < 0.0 => Err(Trouble::Negative { shown: shown() }),
                    value if value > MOST_PIECES as f64 => {
                        Err(Trouble::TooLarge { shown: shown(), most: MOST_PIECES.to_string() })
                    }
                    value if value.fract() != 0.0 => Err(Trouble::NotWhole { shown: shown() }),
                    value => Ok(Value::Whole(value as i64)),
                };
            }
        };
        let unit = written.unit.or(self.unit).unwrap_or(kept);
        let wanted = Trouble::measured(kept);
        let value = unit.convert(value, kept).ok_or_else(|| Trouble::WrongUnit { shown: shown(), wanted })?;
        match self.shape {
            Shape::Size(_) if value < 0.0 => Err(Trouble::Negative { shown: shown() }),
            Shape::Percent if !(0.0..=100.0).contains(&value) => Err(Trouble::NotAShare { shown: shown() }),
            _ if value.abs() > most(kept) => {
                Err(Trouble::TooLarge { shown: shown(), most: crate::table::plain(most(kept)) })
            }
            _ => Ok(Value::Size(value)),
        }
    }

    fn day(&self, cell: &Cell, doubts: &mut Vec<Trouble>) -> Result<Option<Value>, Trouble> {
        let shown = one_line(&cell.shown());
        let day = match cell {
            Cell::Date(date) => *date,
            Cell::Truth(_) => return Err(Trouble::NotADay { shown }),
            _ if says_unknown(&shown) => return Ok(None),
            _ => {
                let written = date::read(&shown, self.today).map_err(|why| self.not_a_day(why, &shown))?;
                let order = match self.order {
                    None if written.evidence() == date::Evidence::Unclear => {
                        return Err(Trouble::UnclearDay { shown });
                    }
                    // a column in both orders: what can be read in one way only is read so
                    None => match written.evidence() {
                        date::Evidence::Certain(order) => order,
                        _ => DateOrder::DayFirst,
                    },
                    Some(order) => order,
                };
                written.day(order).map_err(|why| self.not_a_day(why, &shown))?
            }
        };
        if day > self.today {
            doubts.push(Trouble::Future { date: day });
        }
        Ok(Some(Value::Day(day)))
    }

    fn not_a_day(&self, why: date::NotADay, shown: &str) -> Trouble {
        let shown = shown.to_owned();
        match why {
            date::NotADay::Range => Trouble::DayRange { shown },
            date::NotADay::NoDay => Trouble::NoDay { shown },
            date::NotADay::NoYear => Trouble::NoYear { shown },
            date::NotADay::NoSuchDay => {
                Trouble::NoSuchDay { shown, order: self.order.unwrap_or(DateOrder::DayFirst) }
            }
            date::NotADay::Other => Trouble::NotADay { shown },
        }
    }
}

const BOTH_MARKS: &str = "Numbers stand with decimal points and with decimal commas; those that can be read in two ways are refused.";

/// The text of a cell that says something.
fn text(cell: &Cell) -> Option<&str> {
    match cell {
        Cell::Text(text) if !says_unknown(text.trim()) => Some(text),
        _ => None,
    }
}

fn text_value(cell: &Cell, tidy: fn(&str) -> String, limit: usize) -> Result<Option<Value>, Trouble> {
    let shown = cell.shown();
    let tidied = tidy(&shown);
    let kept = words::unquoted(&tidied);
    if says_nothing(kept) {
        return Ok(None);
    }
    let length = kept.chars().count();
    if length > limit {
        return Err(Trouble::TooLong { length, limit });
    }
    let words: Arc<str> = match cell {
        Cell::Text(text) if **text == *kept => text.clone(),
        _ => kept.into(),
    };
    Ok(Some(Value::Words(words)))
}

fn choice<T>(
    cell: &Cell,
    meaning: fn(&str) -> Option<T>,
    wanted: &'static str,
) -> Result<Option<T>, Trouble> {
    let shown = one_line(&cell.shown());
    match meaning(&shown) {
        Some(chosen) => Ok(Some(chosen)),
        None if says_unknown(&shown) => Ok(None),
        None => Err(Trouble::NotOneOf { shown, wanted }),
    }
}

fn of_fault(fault: Fault) -> Trouble {
    match fault {
        Fault::NotCalculated => Trouble::NotCalculated,
        Fault::Error(shown) => Trouble::FormulaError { shown: shown.into() },
    }
}

fn no_name(why: NoName, cell: &Cell) -> Trouble {
    let shown = one_line(&cell.shown());
    match why {
        NoName::TurnedIntoDate => Trouble::TurnedIntoDate { shown },
        NoName::Shortened => Trouble::Shortened { shown },
        NoName::TooLong => {
            Trouble::TooLong { length: shown.chars().count(), limit: domain::finds::number::LONGEST }
        }
        NoName::Fault(fault) => of_fault(fault),
        NoName::Other => Trouble::NotOneOf { shown, wanted: "a number that names something" },
    }
}

fn not_a_number(why: NotANumber, shown: &str) -> Trouble {
    let shown = shown.to_owned();
    match why {
        NotANumber::Range => Trouble::Range { shown },
        NotANumber::Several => Trouble::Several { shown },
        NotANumber::Limit => Trouble::Limit { shown },
        NotANumber::Other => Trouble::NotANumber { shown },
    }
}

/// The most that is believed of a measure kept in a unit.
fn most(kept: Unit) -> f64 {
    match kept {
        Unit::Gram => *MASS_G.end(),
        Unit::Millimetre => *LENGTH_MM.end(),
        _ => *POSITION_M.end(),
    }
}
