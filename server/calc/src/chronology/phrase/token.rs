//! The words and signs of a date phrase.
use super::Likelihood;
use super::lexicon::{self, Entry};
use super::refusal::Refusal;
use super::{segment, suggest};
use crate::chronology::Period;

/// Which way years are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Era {
    Bc,
    Ad,
    CalBp,
}

/// A part of a century, millennium or decade that is named by a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Named {
    Early,
    Mid,
    Late,
    /// "earlier": the first half.
    Earlier,
    /// "later": the second half.
    Later,
}

/// The equal shares that a unit is cut into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Share {
    Half,
    Third,
    Quarter,
    Decade,
}

impl Share {
    /// How many of them make a whole.
    pub(super) const fn of(self) -> i64 {
        match self {
            Self::Half => 2,
            Self::Third => 3,
            Self::Quarter => 4,
            Self::Decade => 10,
        }
    }

    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Half => "half",
            Self::Third => "third",
            Self::Quarter => "quarter",
            Self::Decade => "decade",
        }
    }
}

/// A unit of many years.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    Century,
    Millennium,
}

/// A date that is only a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Limit {
    Before,
    After,
    From,
    By,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Token {
    Number {
        value: i64,
        digits: usize,
    },
    Ordinal {
        value: i64,
        roman: bool,
    },
    /// "C2", "2C"; `low` for a lower-case "c2", which could also be circa.
    Century {
        value: i64,
        low: bool,
    },
    /// "130s".
    Decade {
        value: i64,
        digits: usize,
    },
    Unit(Unit),
    Share(Share),
    /// "two", "three" (quarters).
    Count(i64),
    Last,
    Named(Named),
    /// "part", as in "early part of".
    PartWord,
    Very,
    Era(Era),
    /// "BP", an age that is not calibrated.
    BeforePresent,
    /// A lone "c" or "C": circa or century, known from its neighbours.
    LetterC,
    Circa,
    PlusMinus,
    Dash,
    Slash,
    To,
    Or,
    And,
    Comma,
    Limit(Limit),
    /// A limit written after the date: "+", "onwards", "at the latest".
    Suffix(Limit),
    Between,
    Question,
    Doubt(Likelihood),
    Open,
    Close,
    Turn,
    /// "era", as in "turn of the era".
    EraWord,
    Period(&'static Period),
}

/// A token and the characters it stands on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lexeme {
    pub token: Token,
    pub start: usize,
    pub end: usize,
}

/// The phrase as characters, signs of one meaning made one sign. One character in, one character out.
pub(super) fn characters(text: &str) -> Vec<char> {
    text.chars()
        .map(|one| match one {
            '–' | '—' | '−' | '‐' | '‑' | '‒' | '―' => '-',
            '’' | '‘' | '`' => '\'',
            '“' | '”' => '"',
            '⁄' | '∕' => '/',
            '{' => '[',
            '}' => ']',
            '∼' | '≈' => '~',
            other if other.is_whitespace() => ' ',
            other => other,
        })
        .collect()
}

/// Cuts a phrase into tokens.
pub(super) fn cut(text: &str) -> Result<Vec<Lexeme>, Refusal> {
    let chars = characters(text);
    let mut lexemes = Vec::new();
    let mut at = 0;
    while at < chars.len() {
        at = if chars[at].is_alphanumeric() {
            cut_word(text, &chars, at, &mut lexemes)?
        } else {
            cut_sign(text, &chars, at, &mut lexemes)?
        };
    }
    tell_c_apart(&mut lexemes);
    Ok(lexemes)
}

fn cut_word(text: &str, chars: &[char], at: usize, lexemes: &mut Vec<Lexeme>) -> Result<usize, Refusal> {
    if let Some((entry, end)) = lexicon::longest(chars, at) {
        match entry {
            Entry::Silent => {}
            Entry::Word(token) => lexemes.push(Lexeme { token, start: at, end }),
            Entry::Refused { reason, instead } => {
                return Err(Refusal::with(reason, vec![suggest::replaced(chars, at, end, instead)]));
            }
        }
        return Ok(end);
    }
    segment::word(text, chars, at, lexemes)
}

fn cut_sign(text: &str, chars: &[char], at: usize, lexemes: &mut Vec<Lexeme>) -> Result<usize, Refusal> {
    let ahead = |sign: &str| sign.chars().enumerate().all(|(n, one)| chars.get(at + n) == Some(&one));
    let (token, length) = match chars[at] {
        _ if ahead("(?)") || ahead("[?]") => (Some(Token::Question), 3),
        _ if ahead("+/-") => (Some(Token::PlusMinus), 3),
        ' ' | '.' | ':' | '"' | '\'' => (None, 1),
        // "1250 × 1275": between these limits
        '-' | '×' => (Some(Token::Dash), 1),
        '/' => (Some(Token::Slash), 1),
        '+' => (Some(Token::Suffix(Limit::From)), 1),
        '±' => (Some(Token::PlusMinus), 1),
        '~' => (Some(Token::Circa), 1),
        '&' => (Some(Token::And), 1),
        ',' | ';' => (Some(Token::Comma), 1),
        '?' => (Some(Token::Question), 1),
        '(' | '[' => (Some(Token::Open), 1),
        ')' | ']' => (Some(Token::Close), 1),
        '<' => (Some(Token::Limit(Limit::Before)), 1),
        '>' => (Some(Token::Limit(Limit::After)), 1),
        '≤' => (Some(Token::Limit(Limit::By)), 1),
        '≥' => (Some(Token::Limit(Limit::From)), 1),
        other => {
            let reason = format!("The sign “{other}” has no meaning in a date.");
            let without: String = text.chars().filter(|one| *one != other).collect();
            let mut suggestions = vec![without.trim().to_owned()];
            suggestions.extend(suggest::outside_brackets(chars, at));
            return Err(Refusal::with(reason, suggestions));
        }
    };
    if let Some(token) = token {
        lexemes.push(Lexeme { token, start: at, end: at + length });
    }
    Ok(at + length)
}

/// A lone "c" after "2nd" is a century, before "AD 120" it is circa; "late C 2" is a century too.
fn tell_c_apart(lexemes: &mut Vec<Lexeme>) {
    let mut at = 0;
    while at < lexemes.len() {
        if lexemes[at].token == Token::LetterC {
            let before = at.checked_sub(1).map(|n| lexemes[n].token);
            let after = lexemes.get(at + 1).map(|one| one.token);
            let is_date_next =
                matches!(after, Some(Token::Number { .. } | Token::Ordinal { .. } | Token::Decade { .. }));
            match (before, after) {
                (Some(Token::Named(_)), Some(Token::Number { value: value @ 1..=21, .. })) => {
                    lexemes[at].token = Token::Century { value, low: false };
                    lexemes[at].end = lexemes[at + 1].end;
                    lexemes.remove(at + 1);
                }
                (Some(Token::Ordinal { .. }), _) if !is_date_next => {
                    lexemes[at].token = Token::Unit(Unit::Century)
                }
                (Some(Token::Number { value: 1..=21, .. }), _) if !is_date_next => {
                    lexemes[at].token = Token::Unit(Unit::Century);
                }
                _ => lexemes[at].token = Token::Circa,
            }
        }
        at += 1;
    }
}
