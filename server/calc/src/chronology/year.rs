//! One calendar year.
use crate::error::CalcError;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A calendar year, held as an astronomical integer: 1 is AD 1, 0 is 1 BC, −1 is 2 BC.
///
/// Spoken and printed dates know no year 0 (1 BC is followed by AD 1); the integer does, so that differences come out
/// right across the change of era. Source: ISO 8601-1:2019, where year 0000 is 1 BC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "i64", into = "i64")]
pub struct Year(i64);

impl Year {
    /// The earliest and latest year held: a thousand million years either way.
    pub const LIMIT: i64 = 1_000_000_000;

    /// A year from its astronomical number.
    ///
    /// # Errors
    /// `OutOfRange` beyond [`Year::LIMIT`].
    pub fn astronomical(number: i64) -> Result<Self, CalcError> {
        if number.unsigned_abs() > Self::LIMIT.unsigned_abs() {
            let limit = Self::LIMIT as f64;
            let value = number as f64;
            return Err(CalcError::OutOfRange { field: "year", value, low: -limit, high: limit, unit: "" });
        }
        Ok(Self(number))
    }

    /// The year AD `number`.
    ///
    /// # Errors
    /// `OutOfRange` for 0 and below: the era has no year 0.
    ///
    /// ```
    /// use calc::chronology::Year;
    /// assert_eq!(Year::ad(43)?.number(), 43);
    /// assert!(Year::ad(0).is_err());
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn ad(number: i64) -> Result<Self, CalcError> {
        within("ad_year", number)?;
        Self::astronomical(number)
    }

    /// The year `number` BC: astronomically 1 − number.
    ///
    /// # Errors
    /// `OutOfRange` for 0 and below: the era has no year 0.
    ///
    /// ```
    /// use calc::chronology::Year;
    /// assert_eq!(Year::bc(44)?.number(), -43);
    /// assert_eq!(Year::bc(1)?.number(), 0);
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn bc(number: i64) -> Result<Self, CalcError> {
        within("bc_year", number)?;
        Self::astronomical(1 - number)
    }

    /// The year `number` before AD 1950, the nought year of calibrated ages before present.
    ///
    /// # Errors
    /// `OutOfRange` beyond [`Year::LIMIT`].
    pub fn from_cal_bp(number: i64) -> Result<Self, CalcError> {
        Self::astronomical(1950_i64.saturating_sub(number))
    }

    /// The astronomical number.
    pub const fn number(self) -> i64 {
        self.0
    }

    /// Calibrated years before present: 1950 − astronomical year (cal BP 0 is AD 1950; later years are negative).
    pub const fn cal_bp(self) -> i64 {
        1950 - self.0
    }

    /// Whether the year lies before AD 1.
    pub const fn is_bc(self) -> bool {
        self.0 < 1
    }

    /// The year in the standard date notation: four digits, a sign for earlier years, `Y` before longer ones
    /// (ISO 8601-2:2019 clause 4; Library of Congress specification, level 1).
    ///
    /// ```
    /// use calc::chronology::Year;
    /// assert_eq!(Year::bc(44)?.edtf(), "-0043");
    /// assert_eq!(Year::bc(10_501)?.edtf(), "Y-10500");
    /// # Ok::<(), calc::CalcError>(())
    /// ```
    pub fn edtf(self) -> String {
        match self.0 {
            number @ 0..=9999 => format!("{number:04}"),
            number @ -9999..=-1 => format!("-{:04}", -number),
            number => format!("Y{number}"),
        }
    }

    /// The year `years` later (earlier if negative), kept within [`Year::LIMIT`].
    pub fn plus(self, years: i64) -> Self {
        Self(self.0.saturating_add(years).clamp(-Self::LIMIT, Self::LIMIT))
    }
}

fn within(field: &'static str, number: i64) -> Result<(), CalcError> {
    if (1..=Year::LIMIT).contains(&number) {
        return Ok(());
    }
    Err(CalcError::OutOfRange { field, value: number as f64, low: 1.0, high: Year::LIMIT as f64, unit: "" })
}

/// "44 BC", "AD 43".
impl fmt::Display for Year {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_bc() { write!(out, "{} BC", 1 - self.0) } else { write!(out, "AD {}", self.0) }
    }
}

impl TryFrom<i64> for Year {
    type Error = CalcError;

    fn try_from(number: i64) -> Result<Self, CalcError> {
        Self::astronomical(number)
    }
}

impl From<Year> for i64 {
    fn from(year: Year) -> Self {
        year.0
    }
}
