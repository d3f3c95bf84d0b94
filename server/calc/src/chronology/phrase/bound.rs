//! One bound of a range: "late 1st century BC", "c. AD 120", "second half of the 2nd century", "Flavian".
use super::grammar::Parser;
use super::refusal::Refusal;
use super::suggest;
use super::token::{Era, Named, Share, Token, Unit};
use crate::chronology::Period;

/// The part of a unit that is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Named(Named),
    /// Shares `from` to `to` of a unit cut into equal shares, counted from 1.
    Shares {
        share: Share,
        from: i64,
        to: i64,
    },
}

/// How a century is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Written {
    /// "13th century".
    Word,
    /// "13 century".
    Number,
    /// "C13", "13C".
    Letter,
    /// "c13", which could also be circa.
    LowLetter,
}

/// What a bound names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Core {
    Year {
        value: i64,
        digits: usize,
    },
    /// "2nd" without a unit: a century unless its neighbour is a millennium.
    Ordinal {
        value: i64,
        roman: bool,
    },
    Century {
        value: i64,
        written: Written,
    },
    Millennium(i64),
    Decade {
        value: i64,
        digits: usize,
    },
    /// The change from a century into the next.
    Turn {
        before: (i64, Option<Era>),
        into: i64,
    },
    TurnOfEra,
    Period(&'static Period),
}

/// How far an approximate bound reaches to each side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Spread {
    /// "circa": as far as the settings say.
    Circa,
    /// "± 5".
    Years(i64),
}

#[derive(Debug, Clone, Default)]
pub(super) struct Bound {
    pub part: Option<Part>,
    pub core: Option<Core>,
    pub era: Option<Era>,
    /// The era stands before the number, as in "AD 43".
    pub era_leads: bool,
    pub spread: Option<Spread>,
    /// Doubted, behind a dash: the end of a range, or what is thought within the date before it.
    pub aside: bool,
}

impl Bound {
    /// Whether it is written in figures of years, in centuries or as a name, which decides how far a circa carries.
    pub fn is_kin_of(&self, other: &Self) -> bool {
        let kind = |bound: &Self| match bound.core {
            Some(Core::Year { .. } | Core::Decade { .. }) => 1,
            Some(Core::Period(_)) => 2,
            _ => 3,
        };
        kind(self) == kind(other)
    }
}

impl Parser<'_> {
    /// Reads one bound; `previous` lends its century to "1st century BC/AD".
    pub fn bound(&mut self, previous: Option<&Bound>) -> Result<Bound, Refusal> {
        let mut bound = Bound::default();
        let start = self.at;
        while let Some(token) = self.peek() {
            if !self.before_core(token, &mut bound)?
                && !self.core(token, &mut bound)?
                && !self.after_core(token, &mut bound)?
            {
                break;
            }
        }
        if self.at == start {
            return Err(self.not_understood());
        }
        if bound.core.is_none() && bound.part.is_none() {
            match (previous, bound.era) {
                (
                    Some(Bound {
                        part: None,
                        core: Some(Core::Century { .. } | Core::Ordinal { .. } | Core::Millennium(_)),
                        ..
                    }),
                    Some(_),
                ) => {
                    bound.core = previous.and_then(|one| one.core);
                    bound.era_leads = false;
                }
                _ => return Err(self.stops_short(start)),
            }
        }
        Ok(bound)
    }

    /// Takes a word that stands before the number or name; false if `token` is none.
    fn before_core(&mut self, token: Token, bound: &mut Bound) -> Result<bool, Refusal> {
        match token {
            Token::Question => self.uncertain = true,
            Token::Doubt(_) if bound.core.is_none() => self.uncertain = true,
            Token::Circa if bound.spread.is_none() => bound.spread = Some(Spread::Circa),
            Token::Very if matches!(self.peek_at(1), Some(Token::Named(_))) => {}
            Token::Era(era) if bound.core.is_none() && bound.era.is_none() => {
                (bound.era, bound.era_leads) = (Some(era), true);
            }
            Token::Named(named)
                if bound.part.is_none() && (bound.core.is_none() || self.part_may_follow()) =>
            {
                bound.part = Some(Part::Named(named));
                self.at += usize::from(self.peek_at(1) == Some(Token::PartWord));
                self.skip_glue();
            }
            Token::Last if bound.part.is_none() && self.peek_at(1) == Some(Token::PartWord) => {
                bound.part = Some(Part::Named(Named::Later));
                self.at += 1;
            }
            Token::Ordinal { .. } | Token::Last if bound.part.is_none() && bound.core.is_none() => {
                let Some((part, length)) = self.shares()? else { return Ok(false) };
                bound.part = Some(part);
                self.at += length - 1;
                self.skip_glue();
            }
            _ => return Ok(false),
        }
        self.at += 1;
        Ok(true)
    }

    /// "C2 late": a part behind its century, with nothing of another bound behind it.
    fn part_may_follow(&self) -> bool {
        matches!(
            self.peek_at(1),
            None | Some(Token::Dash | Token::Slash | Token::To | Token::Comma | Token::Close | Token::Era(_))
        )
    }

    /// A hyphen after a part belongs to it ("mid-2nd") unless another part or circa follows ("mid-late 2nd").
    fn skip_glue(&mut self) {
        let follows = matches!(
            self.peek_at(2),
            Some(
                Token::Ordinal { .. }
                    | Token::Century { .. }
                    | Token::Number { .. }
                    | Token::Decade { .. }
                    | Token::Period(_)
                    | Token::Era(_)
            )
        );
        let is_other_share = matches!(self.peek_at(3), Some(Token::Share(_)));
        self.at += usize::from(self.peek_at(1) == Some(Token::Dash) && follows && !is_other_share);
    }

    /// Takes the number or name itself; false if `token` begins none, or there is one already.
    fn core(&mut self, token: Token, bound: &mut Bound) -> Result<bool, Refusal> {
        if bound.core.is_some() {
            return Ok(false);
        }
        bound.core = Some(match token {
            Token::Century { value, low } => {
                let written = if low && bound.part.is_none() { Written::LowLetter } else { Written::Letter };
                self.at += usize::from(self.peek_at(1) == Some(Token::Unit(Unit::Century)));
                Core::Century { value, written }
            }
            Token::Ordinal { value, roman } => match self.unit_behind() {
                Some(unit) => unit_core(unit, value, Written::Word),
                None => Core::Ordinal { value, roman },
            },
            Token::Number { value, digits } => match self.unit_behind() {
                Some(unit) => unit_core(unit, value, Written::Number),
                None => Core::Year { value, digits },
            },
            Token::Decade { value, digits } => Core::Decade { value, digits },
            Token::Period(period) => {
                self.at += usize::from(self.peek_at(1) == Some(Token::EraWord));
                Core::Period(period)
            }
            Token::Turn => self.turn()?,
            _ => return Ok(false),
        });
        self.at += 1;
        Ok(true)
    }

    /// The unit behind a number, a hyphen between them skipped; leaves the parser on the unit.
    fn unit_behind(&mut self) -> Option<Unit> {
        let dash = usize::from(self.peek_at(1) == Some(Token::Dash));
        let Some(Token::Unit(unit)) = self.peek_at(1 + dash) else { return None };
        self.at += 1 + dash;
        Some(unit)
    }

    /// "turn of the 3rd/4th century", "turn of the era"; leaves the parser on its last word. With one century named it is
    /// not told whether its beginning or its end is meant.
    fn turn(&mut self) -> Result<Core, Refusal> {
        self.at += 1;
        if self.peek() == Some(Token::EraWord) {
            return Ok(Core::TurnOfEra);
        }
        let mut numbers = Vec::new();
        loop {
            let value = match self.peek() {
                Some(Token::Ordinal { value, .. } | Token::Century { value, .. }) => value,
                _ => {
                    let reason = "The turn of which century is not said.";
                    return Err(Refusal::with(reason, vec!["turn of the 1st and 2nd centuries".to_owned()]));
                }
            };
            self.at += usize::from(matches!(self.peek_at(1), Some(Token::Unit(Unit::Century))));
            let joins = |token| matches!(token, Some(Token::And | Token::Slash | Token::Dash | Token::To));
            let own_era = match self.peek_at(1) {
                Some(Token::Era(era)) if joins(self.peek_at(2)) => Some(era),
                _ => None,
            };
            self.at += usize::from(own_era.is_some());
            numbers.push((value, own_era));
            if numbers.len() == 2 || !joins(self.peek_at(1)) {
                break;
            }
            self.at += 2;
        }
        match numbers[..] {
            [before, (into, _)] => Ok(Core::Turn { before, into }),
            _ => Err(which_turn(numbers[0].0, self.peek_at(1) == Some(Token::Era(Era::Bc)))),
        }
    }

    /// Takes an era, a ± or a circa behind the number; false if `token` is none.
    fn after_core(&mut self, token: Token, bound: &mut Bound) -> Result<bool, Refusal> {
        match (token, bound.core) {
            (Token::Era(era), Some(core)) if bound.era.is_none() && !matches!(core, Core::Period(_)) => {
                bound.era = Some(era);
            }
            (Token::PlusMinus, Some(Core::Year { value, .. })) if bound.spread.is_none() => {
                let Some(Token::Number { value: years, .. }) = self.peek_at(1) else {
                    return Err(Refusal::plain("Behind ± a number of years is wanted."));
                };
                if self.peek_at(2) == Some(Token::BeforePresent) {
                    return Err(uncalibrated(value));
                }
                bound.spread = Some(Spread::Years(years));
                self.at += 1;
            }
            (Token::BeforePresent, Some(Core::Year { value, .. })) => return Err(uncalibrated(value)),
            _ => return Ok(false),
        }
        self.at += 1;
        Ok(true)
    }

    fn stops_short(&self, start: usize) -> Refusal {
        match self.lexemes.get(start) {
            Some(_) => Refusal::plain("A number or the name of a period is wanting."),
            None => self.not_understood(),
        }
    }
}

fn which_turn(century: i64, is_bc: bool) -> Refusal {
    let reason = "The turn of a single century may be its beginning or its end.";
    let earlier = if is_bc { century + 1 } else { century - 1 };
    let later = if is_bc { century - 1 } else { century + 1 };
    let era = if is_bc { " BC" } else { "" };
    let turn = |from, into| {
        format!("turn of the {} and {} centuries{era}", suggest::ordinal(from), suggest::ordinal(into))
    };
    Refusal::with(reason, vec![turn(earlier, century), turn(century, later)])
}

fn unit_core(unit: Unit, value: i64, written: Written) -> Core {
    match unit {
        Unit::Century => Core::Century { value, written },
        Unit::Millennium => Core::Millennium(value),
    }
}

fn uncalibrated(value: i64) -> Refusal {
    let reason =
        "An age BP is a measurement that wants calibrating first; only a calibrated age names years.";
    Refusal::with(reason, vec![format!("{value} cal BP")])
}
