//! Days of the calendar, and figures that are left out (`X`). Gregorian, reckoned back before its start, as ISO 8601-1 says.

/// A year, month and day pattern of figures, `X` for any.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pattern<'a>(pub &'a str);

impl Pattern<'_> {
    /// Whether it is `length` long and holds nothing but figures and `X`.
    pub fn is_well_formed(&self, length: usize) -> bool {
        self.0.len() == length && self.0.bytes().all(|one| one.is_ascii_digit() || one == b'X')
    }

    /// The least and greatest numbers it can stand for.
    pub fn bounds(&self) -> (i64, i64) {
        let with = |figure: &str| self.0.replace('X', figure).parse::<i64>().unwrap_or(0);
        (with("0"), with("9"))
    }

    fn stands_for(&self, number: i64) -> bool {
        let figures = format!("{number:0width$}", width = self.0.len());
        figures.len() == self.0.len()
            && self.0.bytes().zip(figures.bytes()).all(|(want, have)| want == b'X' || want == have)
    }

    /// The numbers within `1..=last` that it stands for.
    pub fn numbers(&self, last: i64) -> Vec<i64> {
        (1..=last).filter(|number| self.stands_for(*number)).collect()
    }
}

/// Days in a month of an astronomical year.
pub(super) fn days_in(year: i64, month: i64) -> i64 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if is_leap(year) => 29,
        2 => 28,
        _ => 31,
    }
}

fn is_leap(year: i64) -> bool {
    year.rem_euclid(4) == 0 && (year.rem_euclid(100) != 0 || year.rem_euclid(400) == 0)
}

/// Whether a leap year lies within the years given.
pub(super) fn has_leap(first: i64, last: i64) -> bool {
    (first..=last.min(first.saturating_add(8))).any(is_leap)
}
