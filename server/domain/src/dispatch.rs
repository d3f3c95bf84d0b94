//! Objects that leave the house and come back: what may leave, what is owed, and what became of the rest.

crate::text_enum! {
    /// Where something sent was counted and weighed.
    Way, "way" {
        /// By the recipient.
        There = "there", "on arrival";
        /// At home again.
        Back = "back", "on return";
    }
}

crate::text_enum! {
    /// What can happen to the quantity of a find.
    Change, "change of a quantity" {
        Split = "split", "pieces taken out";
        Join = "join", "joined";
        Broken = "broken", "broken into more";
        Sampled = "sampled", "used up as a sample";
        Missing = "missing", "missing";
        Found = "found", "found again";
        Recount = "recount", "counted or weighed again";
    }
}

impl Change {
    /// What can explain a difference between what went and what came.
    pub const EXPLAINING: &'static [Change] =
        &[Change::Join, Change::Broken, Change::Sampled, Change::Missing, Change::Found, Change::Recount];

    /// Whether everything is still there, in other pieces.
    pub const fn keeps_mass(self) -> bool {
        matches!(self, Change::Split | Change::Join | Change::Broken)
    }

    /// Whether so many pieces can become so many by it.
    pub const fn fits(self, before: i64, after: i64) -> bool {
        match self {
            Change::Split | Change::Recount => true,
            Change::Join => after >= 1 && after < before,
            Change::Broken => before >= 1 && after > before,
            Change::Sampled | Change::Missing => after <= before,
            Change::Found => after >= before,
        }
    }
}

crate::text_enum! {
    /// What a find still lacks before it leaves the house.
    Lack, "thing missing before a dispatch" {
        Count = "count", "its pieces are not counted";
        Mass = "mass", "it is not weighed";
        CountOrMass = "count_or_mass", "it is neither counted nor weighed";
        Condition = "condition", "its condition as it leaves is not described";
        Photograph = "photograph", "there is no photograph of it as it leaves";
    }
}

/// A find about to leave, as far as the rule asks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leaving {
    pub bulk: bool,
    pub amount: Amount,
    pub described: bool,
    pub photographs: i64,
}

impl Leaving {
    /// What it lacks: count, mass, condition and a photograph; a bulk find one of count and mass and no photograph
    /// (common practice, no source).
    ///
    /// ```
    /// use domain::dispatch::{Amount, Lack, Leaving};
    /// let sherds = Amount { pieces: 40, mass_g: None };
    /// let bulk = Leaving { bulk: true, amount: sherds, described: true, photographs: 0 };
    /// assert!(bulk.lacks().is_empty());
    /// assert_eq!(Leaving { bulk: false, ..bulk }.lacks(), [Lack::Mass, Lack::Photograph]);
    /// ```
    pub fn lacks(&self) -> Vec<Lack> {
        let (uncounted, unweighed) = (self.amount.pieces == 0, self.amount.mass_g.is_none());
        let mut lacks = Vec::new();
        let mut lack = |missing: bool, what: Lack| {
            if missing {
                lacks.push(what);
            }
        };
        lack(!self.bulk && uncounted, Lack::Count);
        lack(!self.bulk && unweighed, Lack::Mass);
        lack(self.bulk && uncounted && unweighed, Lack::CountOrMass);
        lack(!self.described, Lack::Condition);
        lack(!self.bulk && self.photographs == 0, Lack::Photograph);
        lacks
    }
}

/// Pieces and their mass. Nought pieces: they were not counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amount {
    pub pieces: i64,
    pub mass_g: Option<f64>,
}

impl Amount {
    /// What is left of it when some of it is there already; a mass only where both were weighed.
    ///
    /// ```
    /// use domain::dispatch::Amount;
    /// let amount = |pieces, mass_g| Amount { pieces, mass_g };
    /// assert_eq!(amount(17, Some(41.0)).less(amount(5, Some(12.0))), amount(12, Some(29.0)));
    /// assert_eq!(amount(3, Some(41.0)).less(amount(5, None)), amount(0, None));
    /// ```
    pub fn less(self, already: Self) -> Self {
        let mass_g = self.mass_g.zip(already.mass_g).map(|(all, some)| (all - some).max(0.0));
        Self { pieces: (self.pieces - already.pieces).max(0), mass_g }
    }
}

/// What differs, found less what was expected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    pub pieces: i64,
    /// Only where both were weighed and differ by more than weighing does.
    pub mass_g: Option<f64>,
}

/// What is known of one find on one dispatch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Account {
    pub sent: Amount,
    /// By events on the way there: pieces and g.
    pub changed_there: (i64, f64),
    /// By every event since it left, those on the way there among them.
    pub changed: (i64, f64),
    /// As counted by the recipient.
    pub arrived: Option<Amount>,
    /// All that has come back so far.
    pub back: Option<Amount>,
    /// Nothing more is to come back.
    pub complete: bool,
}

/// Two weighings of the same pieces may differ by so many g, or by this share of the mass, whichever is more: two
/// balances, and air more or less damp (common practice, no source).
const SAME_MASS: (f64, f64) = (0.1, 0.005);

impl Account {
    /// What should have arrived there.
    pub fn expected_there(&self) -> Amount {
        self.sent.changed_by(self.changed_there)
    }

    /// What should be there now, or should have come back.
    pub fn expected(&self) -> Amount {
        self.sent.changed_by(self.changed)
    }

    /// How many pieces have not come back.
    pub fn outstanding(&self) -> i64 {
        self.expected().pieces - self.back.map_or(0, |back| back.pieces)
    }

    /// What arrived otherwise than it was sent, as long as nobody has explained it.
    ///
    /// ```
    /// use domain::dispatch::{Account, Amount, Gap};
    /// let amount = |pieces| Amount { pieces, mass_g: Some(41.2) };
    /// let account = Account {
    ///     sent: amount(17), changed_there: (0, 0.0), changed: (0, 0.0),
    ///     arrived: Some(amount(17)), back: Some(amount(16)), complete: true,
    /// };
    /// assert_eq!(account.gap_there(), None);
    /// // 17 went, 16 came back of the same mass
    /// assert_eq!(account.gap(), Some(Gap { pieces: -1, mass_g: None }));
    /// // two of them were joined: one piece less, the mass as before
    /// assert_eq!(Account { changed: (-1, 0.0), ..account }.gap(), None);
    /// ```
    pub fn gap_there(&self) -> Option<Gap> {
        self.expected_there().gap_to(self.arrived?)
    }

    /// What came back otherwise than was expected, once nothing more is to come.
    pub fn gap(&self) -> Option<Gap> {
        let nothing = Amount { pieces: 0, mass_g: None };
        if self.complete { self.expected().gap_to(self.back.unwrap_or(nothing)) } else { None }
    }

    /// Whether everything is back or explained.
    pub fn is_settled(&self) -> bool {
        self.complete && self.gap().is_none() && self.gap_there().is_none()
    }
}

impl Amount {
    fn changed_by(self, (pieces, mass_g): (i64, f64)) -> Amount {
        Amount { pieces: self.pieces + pieces, mass_g: self.mass_g.map(|mass| (mass + mass_g).max(0.0)) }
    }

    fn gap_to(self, found: Amount) -> Option<Gap> {
        let pieces = found.pieces - self.pieces;
        let mass_g = self.mass_g.zip(found.mass_g).map(|(expected, found)| found - expected);
        let most = SAME_MASS.0.max(SAME_MASS.1 * self.mass_g.unwrap_or(0.0));
        let mass_g = mass_g.filter(|differs| differs.abs() > most + 1e-9);
        (pieces != 0 || mass_g.is_some()).then_some(Gap { pieces, mass_g })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn account(back: Amount) -> Account {
        let sent = Amount { pieces: 17, mass_g: Some(41.2) };
        Account {
            sent,
            changed_there: (0, 0.0),
            changed: (0, 0.0),
            arrived: None,
            back: Some(back),
            complete: true,
        }
    }

    #[test]
    fn two_balances_may_differ_a_little_and_a_missing_mass_is_seen() {
        let back = |mass_g| account(Amount { pieces: 17, mass_g: Some(mass_g) }).gap();
        assert_eq!(back(41.4), None, "0.2 g are less than 0.5 % of 41.2 g");
        assert_eq!(back(41.1), None);
        let gap = back(38.0).unwrap();
        assert_eq!(gap.pieces, 0);
        assert!((gap.mass_g.unwrap() + 3.2).abs() < 1e-9);
    }

    #[test]
    fn as_long_as_more_is_to_come_nothing_differs() {
        let part = account(Amount { pieces: 5, mass_g: Some(12.0) });
        assert_eq!(Account { complete: false, ..part }.gap(), None);
        assert_eq!(Account { complete: false, ..part }.outstanding(), 12);
    }

    #[test]
    fn a_loss_on_the_way_there_is_not_asked_about_again_on_return() {
        let arrived = Some(Amount { pieces: 16, mass_g: Some(38.8) });
        let account = Account { arrived, ..account(Amount { pieces: 16, mass_g: Some(38.8) }) };
        assert!(account.gap_there().is_some());
        let told = Account { changed_there: (-1, -2.4), changed: (-1, -2.4), ..account };
        assert!(told.is_settled());
    }

    #[test]
    fn a_change_says_more_or_less_as_it_is_called() {
        assert!(Change::Join.fits(2, 1) && !Change::Join.fits(2, 0) && !Change::Join.fits(1, 1));
        assert!(Change::Broken.fits(1, 3) && !Change::Broken.fits(3, 1));
        assert!(Change::Sampled.fits(1, 1), "a part of a piece");
        assert!(Change::Missing.fits(1, 0) && !Change::Missing.fits(0, 1));
    }
}
