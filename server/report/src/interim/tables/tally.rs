//! How much there is: finds, pieces and grams, with what is missing from each sum.
use super::super::input::FindLine;
use super::super::wording::{NONE, counted, together, whole};

/// The size of a set of finds. Weight is summed in hundredths of a gram, so that totals equal their rows exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    pub finds: usize,
    pub pieces: usize,
    /// Finds without a count.
    pub uncounted: usize,
    pub weight_cg: u64,
    /// Finds without a weight.
    pub unweighed: usize,
}

/// Grams as hundredths; a weight that is not a number, or below nothing, counts as none.
fn hundredths(weight_g: f64) -> Option<u64> {
    (weight_g.is_finite() && (0.0..1e15).contains(&weight_g)).then(|| (weight_g * 100.0).round() as u64)
}

impl Tally {
    /// The size of these finds.
    pub fn of<'a>(finds: impl IntoIterator<Item = &'a FindLine>) -> Self {
        let mut tally = Self::default();
        for find in finds {
            tally.add(find);
        }
        tally
    }

    /// Counts one more find in.
    pub fn add(&mut self, find: &FindLine) {
        self.finds += 1;
        match find.pieces {
            Some(pieces) => self.pieces += pieces as usize,
            None => self.uncounted += 1,
        }
        match find.weight_g.and_then(hundredths) {
            Some(weight) => self.weight_cg += weight,
            None => self.unweighed += 1,
        }
    }

    /// Pieces for a cell; a dash when none of the finds was counted.
    pub fn pieces_cell(&self) -> String {
        if self.uncounted == self.finds { NONE.to_owned() } else { whole(self.pieces) }
    }

    /// Hundredths of a gram; `None` when none of the finds was weighed.
    pub fn weight(&self) -> Option<u64> {
        (self.unweighed < self.finds).then_some(self.weight_cg)
    }

    /// "12 finds, 30 pieces, 182.4 g", leaving out what nobody counted or weighed.
    pub fn words(&self) -> String {
        let mut words = vec![counted(self.finds, "find", "finds")];
        if self.uncounted < self.finds {
            words.push(counted(self.pieces, "piece", "pieces"));
        }
        words.extend(self.weight().map(|weight| together(&[&grams(weight), "g"])));
        words.join(", ")
    }

    /// What the sums do not hold, one sentence each.
    pub fn gaps(&self) -> Vec<String> {
        let gap = |missing: usize, what: &str, sum: &str| {
            let are = if missing == 1 { "is" } else { "are" };
            (missing > 0 && self.finds > 0).then(|| {
                let missing = counted(missing, "find", "finds");
                format!("{missing} {are} not {what} and {are} missing from the {sum}.")
            })
        };
        let gaps = [gap(self.uncounted, "counted", "pieces"), gap(self.unweighed, "weighed", "weight")];
        gaps.into_iter().flatten().collect()
    }
}

/// Hundredths of a gram as grams, without needless zeros: "1,204.5".
pub fn grams(weight_cg: u64) -> String {
    with_decimals(weight_cg, decimals(weight_cg))
}

/// A column of weights in grams, all with as many decimals as the finest of them needs.
pub fn weight_cells(weights: &[Option<u64>]) -> Vec<String> {
    let finest = weights.iter().flatten().map(|weight| decimals(*weight)).max().unwrap_or(0);
    weights
        .iter()
        .map(|weight| weight.map_or(NONE.to_owned(), |weight| with_decimals(weight, finest)))
        .collect()
}

fn decimals(weight_cg: u64) -> usize {
    match weight_cg {
        round if round % 100 == 0 => 0,
        tenths if tenths % 10 == 0 => 1,
        _ => 2,
    }
}

fn with_decimals(weight_cg: u64, places: usize) -> String {
    let fraction = format!("{:02}", weight_cg % 100);
    let whole = whole((weight_cg / 100) as usize);
    if places == 0 { whole } else { format!("{whole}.{}", &fraction[..places]) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_of_a_column_share_their_decimals() {
        assert_eq!(weight_cells(&[Some(18_240), Some(100_000), None]), ["182.4", "1,000.0", "–"]);
        assert_eq!(weight_cells(&[Some(100), Some(2_500)]), ["1", "25"]);
        assert_eq!(grams(120_450), "1,204.5");
        assert_eq!(grams(5), "0.05");
    }
}
