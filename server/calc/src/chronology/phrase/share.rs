//! "second half", "first three quarters", "last decade": equal shares of a century.
use super::bound::Part;
use super::grammar::Parser;
use super::refusal::Refusal;
use super::suggest;
use super::token::{Share, Token};

enum Number {
    Nth(i64),
    Last,
}

impl Parser<'_> {
    /// "second half", "first three quarters", "second and third quarters", "last decade": the part and its length.
    pub fn shares(&self) -> Result<Option<(Part, usize)>, Refusal> {
        let Some(first) = self.share_number(0) else { return Ok(None) };
        let mut ahead = 1;
        let mut second = None;
        let joins =
            matches!(self.peek_at(1), Some(Token::And | Token::Or | Token::Dash | Token::To | Token::Slash));
        if let Some(number) = self.share_number(2)
            && joins
            && self.share_at(3).is_some()
        {
            second = Some(number);
            ahead = 3;
        }
        let mut count = None;
        if let Some(Token::Count(number) | Token::Number { value: number @ 1..=9, .. }) = self.peek_at(ahead)
            && self.share_at(ahead + 1).is_some()
        {
            count = Some(number);
            ahead += 1;
        }
        ahead += usize::from(
            self.peek_at(ahead) == Some(Token::Dash)
                && matches!(self.peek_at(ahead + 1), Some(Token::Share(_))),
        );
        let Some(share) = self.share_at(ahead) else { return Ok(None) };
        Ok(Some((shares_of(share, first, second, count)?, ahead + 1)))
    }

    fn share_number(&self, ahead: usize) -> Option<Number> {
        match self.peek_at(ahead)? {
            Token::Ordinal { value, roman: false } => Some(Number::Nth(value)),
            Token::Last => Some(Number::Last),
            _ => None,
        }
    }

    /// A share here; "third" is one when it counts no century.
    fn share_at(&self, ahead: usize) -> Option<Share> {
        match self.peek_at(ahead)? {
            Token::Share(share) => Some(share),
            Token::Ordinal { value: 3, roman: false }
                if !matches!(self.peek_at(ahead + 1), Some(Token::Unit(_))) =>
            {
                Some(Share::Third)
            }
            _ => None,
        }
    }
}

fn shares_of(
    share: Share,
    first: Number,
    second: Option<Number>,
    count: Option<i64>,
) -> Result<Part, Refusal> {
    let of = share.of();
    let nth = |number: Number| match number {
        Number::Nth(value) => value,
        Number::Last => of,
    };
    let is_last = matches!(first, Number::Last);
    let from = nth(first);
    let (from, to) = match (second, count) {
        (Some(second), _) => (from, nth(second)),
        (None, Some(count)) if is_last => (of - count + 1, of),
        (None, Some(count)) if from == 1 => (1, count),
        (None, Some(count)) => (from, from + count - 1),
        (None, None) => (from, from),
    };
    if from < 1 || to > of || to < from {
        let wrong = suggest::ordinal(if (1..=of).contains(&from) { to } else { from });
        let word = share.word();
        return Err(Refusal::plain(format!("There is no {wrong} {word}: a whole is cut into {of}.")));
    }
    Ok(Part::Shares { share, from, to })
}
