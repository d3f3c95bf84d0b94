//! Which column means what: proposed from the headers, remembered from last time, decided by the person.
use crate::field::{Field, Unit};
use crate::header::Header;
use crate::values::{DateOrder, Decimal};
use domain::words::fold;
use serde::{Deserialize, Serialize};

/// What a column means, and how its cells are to be read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Match<F> {
    /// From 0.
    pub column: usize,
    /// The header as written, to be remembered.
    pub header: String,
    /// Left out when the column is not wanted.
    pub field: Option<F>,
    /// The unit that the header names, or the person.
    pub unit: Option<Unit>,
    /// Set by the person where the column itself does not tell; otherwise worked out.
    #[serde(default)]
    pub decimal: Option<Decimal>,
    #[serde(default)]
    pub dates: Option<DateOrder>,
    /// Whether it was matched so the last time.
    pub remembered: bool,
}

/// A match for each header: remembered ones first, then the likeliest by the words of the header. No field twice, except
/// those that join several columns, and those only where the person says so.
pub fn propose<F: Field>(headers: &[Header], remembered: &[(String, F)]) -> Vec<Match<F>> {
    let mut matches: Vec<Match<F>> = headers.iter().map(|header| recall(header, remembered)).collect();
    let mut guesses: Vec<(u32, usize, F, Option<Unit>)> = Vec::new();
    for (at, header) in headers.iter().enumerate().filter(|(at, _)| matches[*at].field.is_none()) {
        guesses.extend(likely::<F>(header).into_iter().map(|(score, field, unit)| (score, at, field, unit)));
    }
    guesses.sort_by_key(|(score, at, ..)| (std::cmp::Reverse(*score), *at));
    for (_, at, field, unit) in guesses {
        let taken = matches.iter().any(|other| other.field == Some(field));
        if !taken && matches[at].field.is_none() {
            matches[at].field = Some(field);
            matches[at].unit = unit.filter(|unit| field.spec().unit().is_some_and(|kept| unit.fits(kept)));
        }
    }
    matches
}

/// The field that a header names outright, if any.
pub fn meaning<F: Field>(header: &str) -> Option<F> {
    let words = Words::of(header);
    F::all().iter().copied().find(|field| words.name(*field))
}

fn recall<F: Field>(header: &Header, remembered: &[(String, F)]) -> Match<F> {
    let folded = fold(&header.written);
    let before = remembered.iter().find(|(words, _)| !folded.is_empty() && fold(words) == folded);
    let field = before.map(|(_, field)| *field);
    let kept = field.and_then(|field| field.spec().unit());
    let unit = Words::of(&header.written).unit.filter(|unit| kept.is_some_and(|kept| unit.fits(kept)));
    Match {
        column: header.column,
        header: header.written.clone(),
        field,
        unit,
        decimal: None,
        dates: None,
        remembered: field.is_some(),
    }
}

/// Fields a header may mean, with a score: outright 1000, by a word in it less.
fn likely<F: Field>(header: &Header) -> Vec<(u32, F, Option<Unit>)> {
    let own = Words::of(&header.written);
    let grouped = header.over.as_ref().map(|over| Words::of(&format!("{over} {}", header.written)));
    let unit = own.unit.or(grouped.as_ref().and_then(|words| words.unit));
    let mut found = Vec::new();
    for &field in F::all() {
        let outright = own.name(field) || grouped.as_ref().is_some_and(|words| words.name(field));
        let score = if outright { Some(1000) } else { own.holds(field) };
        found.extend(score.map(|score| (score, field, unit)));
    }
    found
}

/// A header taken apart.
struct Words {
    /// All of it, folded.
    whole: String,
    /// Without the unit.
    bare: String,
    unit: Option<Unit>,
}

impl Words {
    fn of(header: &str) -> Words {
        let whole = fold(&spaced(header));
        let tokens: Vec<&str> = whole.split(' ').collect();
        let mut unit = header.contains('%').then_some(Unit::Percent);
        let mut bare = Vec::new();
        for (at, token) in tokens.iter().enumerate() {
            match Unit::named(token) {
                // a letter alone is no unit: “M” may be anything
                Some(named) if tokens.len() > 1 && at > 0 => unit = unit.or(Some(named)),
                _ => bare.push(*token),
            }
        }
        if unit.is_some() && bare.len() > 1 && bare.last() == Some(&"in") {
            bare.pop();
        }
        Words { bare: bare.join(" "), whole, unit }
    }

    /// Whether the header is one of the field's own words.
    fn name<F: Field>(&self, field: F) -> bool {
        let spec = field.spec();
        let fits = self.unit.is_none_or(|unit| spec.unit().is_some_and(|kept| unit.fits(kept)));
        spec.words().any(|word| word == self.whole || (fits && word == self.bare))
    }

    /// How much the header looks like the field by one of its words: long words, and few others beside them.
    fn holds<F: Field>(&self, field: F) -> Option<u32> {
        let spec = field.spec();
        if self.unit.is_some_and(|unit| spec.unit().is_none_or(|kept| !unit.fits(kept))) {
            return None;
        }
        let tokens: Vec<&str> = self.bare.split(' ').collect();
        let telling = spec.words().filter(|word| word.len() >= 5);
        let scores = telling.filter_map(|word| {
            let wanted: Vec<&str> = word.split(' ').collect();
            let others = tokens.len().checked_sub(wanted.len()).filter(|others| (1..=2).contains(others))?;
            // the last word of an English heading says what it is: “context description” is a description
            tokens.ends_with(&wanted).then_some(50 + 20 * wanted.len() as u32 - 10 * others as u32)
        });
        scores.max()
    }
}

/// “FindNo” as two words.
fn spaced(header: &str) -> String {
    let mut spaced = String::with_capacity(header.len() + 4);
    let mut before = ' ';
    for c in header.chars() {
        if before.is_lowercase() && c.is_uppercase() {
            spaced.push(' ');
        }
        spaced.push(c);
        before = c;
    }
    spaced
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::field::{ContextField, FindField};

    // Headers as units write them: common practice, no source.
    #[test]
    fn headers_of_finds_registers_are_understood() {
        use FindField::*;
        for (header, field) in [
            ("SF No", Number),
            ("Find no.", Number),
            ("Small find", Number),
            ("FindNo", Number),
            ("Ctx", Context),
            ("Mat.", Material),
            ("Wt (g)", WeightG),
            ("Weight/kg", WeightG),
            ("Qty", Count),
            ("No. of frags", Fragments),
            ("Date found", RecoveredOn),
            ("Easting", EastingM),
            ("OD", HeightM),
            ("Height (m OD)", HeightM),
            ("L (mm)", LengthMm),
            ("Completeness %", CompletenessPct),
            ("Wet/dry", State),
        ] {
            assert_eq!(meaning::<FindField>(header), Some(field), "{header}");
        }
        assert_eq!(meaning::<FindField>("Sherds (g)"), None, "a weight is no count");
        assert_eq!(meaning::<ContextField>("Overlain by"), Some(ContextField::Below));
    }

    #[test]
    fn the_unit_in_a_header_is_kept_with_the_match() {
        assert_eq!(Words::of("Weight/kg").unit, Some(Unit::Kilogram));
        assert_eq!(Words::of("Wt g").unit, Some(Unit::Gram));
        assert_eq!(Words::of("Length in cm").bare, "length");
        assert_eq!(Words::of("M").unit, None);
    }
}
