//! What stands behind the rules of reading.
use super::Settings;
use crate::source::Source;

/// No year 0; a century n AD runs from 100n − 99 to 100n.
pub(super) const CALENDAR: Source =
    Source::seen("ISO", "2019", "ISO 8601-1, year 0000 is 1 BC", "calendar arithmetic");

/// Early, mid and late as thirds of 33, 34 and 33 years.
pub(super) const THIRDS: Source = Source::seen(
    "Petrovay",
    "2010",
    "Searching for a Date (web article)",
    "formula for parts of a century, after Baca and others 2006, Cataloging Cultural Objects",
);

pub(super) const QUARTERS: Source =
    Source::common_practice("early and late a quarter each, mid the half between");

const CIRCA_TEN: Source = Source::seen(
    "Thornes, Dorrell and Lie",
    "1999",
    "Introduction to Object ID",
    "date or period: circa, ten years on either side",
);

const CIRCA_FIVE: Source = Source::seen(
    "Baca and others",
    "2006",
    "Cataloging Cultural Objects",
    "example: ca. 1610 from 1605 to 1615",
);

const CIRCA_OWN: Source = Source::common_practice("width of circa as the unit has set it");

pub(super) const TURN: Source =
    Source::common_practice("the turn of a century reaches as far as circa on each side");

pub(super) const HALVES: Source = Source::common_practice("earlier and later mean the halves");

pub(super) const DECADE_THIRDS: Source = Source::common_practice("parts of a decade are 3, 4 and 3 years");

pub(super) const LIMITS: Source = Source::common_practice("before, after, from and by keep the year named");

/// What stands behind the width of circa.
pub(super) fn circa(settings: &Settings) -> &'static Source {
    match settings.circa_years {
        10 => &CIRCA_TEN,
        5 => &CIRCA_FIVE,
        _ => &CIRCA_OWN,
    }
}
