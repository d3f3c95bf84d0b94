//! Pieces and mass of the rows, against the register and by what they say.
use super::{Column, FindAsked, Meaning, Row};

/// Masses that differ by less are one weighing on two balances (common practice, no source).
const SLACK_G: f64 = 1.0;
/// The same as a part of the mass in the register (common practice, no source).
const SLACK: f64 = 0.01;

/// Rows together. What no row says is none, not nought.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sum {
    pub rows: usize,
    pub pieces: Option<f64>,
    pub mass_g: Option<f64>,
}

/// Where the rows of a find and the register disagree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    pub number: String,
    /// “11 pieces in the rows, 12 in the register”.
    pub sentence: String,
}

/// The rows that say the same in one column.
#[derive(Debug, Clone, PartialEq)]
pub struct WordSum {
    /// Empty where nothing is said.
    pub word: String,
    pub sum: Sum,
}

/// Rows together.
pub fn sum<'a>(columns: &[Column], rows: impl IntoIterator<Item = &'a Row>) -> Sum {
    let place = |meaning: Meaning| columns.iter().position(|column| column.meaning == meaning);
    let (pieces, mass) = (place(Meaning::Pieces), place(Meaning::Mass));
    let mut all = Sum::default();
    for row in rows {
        let value = |place: Option<usize>| row.cells.get(place?)?.parse::<f64>().ok();
        all.rows += 1;
        add(&mut all.pieces, value(pieces));
        add(&mut all.mass_g, value(mass));
    }
    all
}

fn add(sum: &mut Option<f64>, value: Option<f64>) {
    if let Some(value) = value {
        *sum = Some(sum.unwrap_or_default() + value);
    }
}

/// Where pieces or mass of the finds that have rows disagree with the register; a mass by more than a gram and a hundredth.
pub fn differences(columns: &[Column], rows: &[Row], finds: &[FindAsked]) -> Vec<Difference> {
    let mut all = Vec::new();
    for find in finds {
        let said = sum(columns, rows.iter().filter(|row| row.find == find.id));
        let mut note = |sentence| all.push(Difference { number: find.number.clone(), sentence });
        if let Some(pieces) = said.pieces.filter(|pieces| *pieces != find.pieces as f64) {
            note(format!("{pieces} pieces in the rows, {} in the register", find.pieces));
        }
        if let (Some(mass), Some(known)) = (said.mass_g, find.mass_g)
            && (mass - known).abs() > SLACK_G.max(known * SLACK)
        {
            note(format!("{} g in the rows, {} g in the register", rounded(mass), rounded(known)));
        }
    }
    all
}

/// The rows by what they say in a column, the heaviest first, then the most.
pub fn sums_by(columns: &[Column], rows: &[Row], column: usize) -> Vec<WordSum> {
    let mut words: Vec<&str> =
        rows.iter().filter_map(|row| row.cells.get(column)).map(String::as_str).collect();
    words.sort_unstable();
    words.dedup();
    let of = |word: &str| {
        let own = rows.iter().filter(|row| row.cells.get(column).is_some_and(|cell| cell == word));
        WordSum { word: word.to_owned(), sum: sum(columns, own) }
    };
    let mut sums: Vec<WordSum> = words.into_iter().map(of).collect();
    let rank = |one: &WordSum| (one.sum.mass_g.unwrap_or_default(), one.sum.rows as f64);
    sums.sort_by(|a, b| rank(b).partial_cmp(&rank(a)).unwrap_or(std::cmp::Ordering::Equal));
    sums
}

/// To a hundredth: sums of decimals carry dust.
fn rounded(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

#[cfg(test)]
mod tests {
    use super::super::BROUGHT;
    use super::*;
    use crate::ids::FindId;
    use uuid::Uuid;

    fn row(mass: &str) -> Row {
        Row {
            find: FindId(Uuid::nil()),
            sub_number: String::new(),
            cells: ["skull", "", "", "", "", mass, ""].map(String::from).into(),
        }
    }

    /// Story 9 of the trade: spits of 212, 305 and 98 g are 615 g.
    #[test]
    fn three_spits_are_weighed_together_and_a_hundredth_is_no_difference() {
        let columns = BROUGHT[1].columns();
        let rows = [row("212"), row("305"), row("98")];
        let together = sum(&columns, &rows);
        assert_eq!((together.rows, together.pieces, together.mass_g), (3, None, Some(615.0)));
        let asked =
            |mass| FindAsked { id: FindId(Uuid::nil()), number: "95".into(), pieces: 1, mass_g: Some(mass) };
        assert_eq!(differences(&columns, &rows, &[asked(610.0)]), []);
        let wrong = differences(&columns, &rows, &[asked(600.0)]);
        assert_eq!(wrong[0].sentence, "615 g in the rows, 600 g in the register");
    }
}
