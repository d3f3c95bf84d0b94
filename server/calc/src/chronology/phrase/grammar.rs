//! Tokens put together: a statement of clauses, each a chain of bounds.
use super::Likelihood;
use super::bound::Bound;
use super::refusal::Refusal;
use super::suggest;
use super::token::{Lexeme, Limit, Named, Token, characters};

/// How a clause hangs on the one before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Joiner {
    First,
    Or,
    And,
    Comma,
    /// In brackets behind a date.
    Gloss,
}

/// "after the late 2nd–early 3rd century?": bounds that make one range, and what is said of it.
#[derive(Debug)]
pub(super) struct Clause {
    pub joiner: Joiner,
    pub limit: Option<Limit>,
    pub likelihood: Likelihood,
    pub bounds: Vec<Bound>,
}

/// A whole phrase.
#[derive(Debug)]
pub(super) struct Statement {
    pub clauses: Vec<Clause>,
    pub uncertain: bool,
}

/// Reads the tokens one after the other.
pub(super) struct Parser<'a> {
    pub text: &'a str,
    pub lexemes: Vec<Lexeme>,
    pub at: usize,
    pub uncertain: bool,
}

/// Puts the tokens of `text` together.
pub(super) fn parse(text: &str, lexemes: Vec<Lexeme>) -> Result<Statement, Refusal> {
    let mut parser = Parser { text, lexemes, at: 0, uncertain: false };
    parser.take_off_brackets();
    parser.refuse_dangling_dash()?;
    let mut clauses = vec![parser.clause(Joiner::First)?];
    while let Some(token) = parser.peek() {
        parser.at += 1;
        match token {
            Token::Or => clauses.push(parser.clause(Joiner::Or)?),
            Token::And => clauses.push(parser.clause(Joiner::And)?),
            Token::Comma => {
                let joiner = match parser.peek() {
                    Some(Token::Or) => Joiner::Or,
                    Some(Token::And) => Joiner::And,
                    _ => Joiner::Comma,
                };
                parser.at += usize::from(joiner != Joiner::Comma);
                clauses.push(parser.clause(joiner)?);
            }
            Token::Doubt(_) if parser.peek().is_some() => {
                parser.at -= 1;
                clauses.push(parser.clause(Joiner::Comma)?);
            }
            Token::Doubt(_) | Token::Question => parser.uncertain = true,
            Token::Open => parser.bracket(&mut clauses)?,
            _ => {
                parser.at -= 1;
                return Err(parser.not_understood());
            }
        }
    }
    Ok(Statement { clauses, uncertain: parser.uncertain })
}

impl Parser<'_> {
    pub fn peek(&self) -> Option<Token> {
        self.peek_at(0)
    }

    pub fn peek_at(&self, ahead: usize) -> Option<Token> {
        self.lexemes.get(self.at + ahead).map(|lexeme| lexeme.token)
    }

    /// The whole phrase in brackets is an uncertain date.
    fn take_off_brackets(&mut self) {
        let is = |lexeme: Option<&Lexeme>, token: Token| lexeme.is_some_and(|one| one.token == token);
        let inner = self.lexemes.iter().filter(|one| matches!(one.token, Token::Open | Token::Close)).count();
        if inner == 2 && is(self.lexemes.first(), Token::Open) && is(self.lexemes.last(), Token::Close) {
            self.lexemes.remove(0);
            self.lexemes.pop();
            self.uncertain = true;
        }
    }

    fn refuse_dangling_dash(&self) -> Result<(), Refusal> {
        let chars = characters(self.text);
        let token = |lexeme: Option<&Lexeme>| lexeme.map(|one| one.token);
        if let (Some(Token::Dash), Some(first)) = (token(self.lexemes.first()), self.lexemes.first()) {
            let rest: String = chars[first.end..].iter().collect();
            let mut suggestions = vec![format!("before {}", rest.trim())];
            if let (Some(Token::Number { value, .. }), 2) = (self.peek_at(1), self.lexemes.len()) {
                suggestions.insert(0, format!("{} BC", value.saturating_add(1)));
            }
            return Err(Refusal::with(
                "A dash at the start leaves the first year open to guessing.",
                suggestions,
            ));
        }
        if let (Some(Token::Dash), Some(last)) = (token(self.lexemes.last()), self.lexemes.last()) {
            let before: String = chars[..last.start].iter().collect();
            let open = format!("{} onwards", before.trim());
            return Err(Refusal::with(
                "A dash at the end leaves the last year open to guessing.",
                vec![open],
            ));
        }
        Ok(())
    }

    /// What stands in brackets behind a date: a doubt about it, or another way to put it.
    fn bracket(&mut self, clauses: &mut Vec<Clause>) -> Result<(), Refusal> {
        if matches!(self.peek(), Some(Token::Doubt(_) | Token::Question))
            && self.peek_at(1) == Some(Token::Close)
        {
            self.uncertain = true;
            self.at += 2;
            return Ok(());
        }
        clauses.push(self.clause(Joiner::Gloss)?);
        if self.peek() != Some(Token::Close) {
            return Err(self.not_understood());
        }
        self.at += 1;
        Ok(())
    }

    fn clause(&mut self, joiner: Joiner) -> Result<Clause, Refusal> {
        let mut clause = Clause { joiner, limit: None, likelihood: Likelihood::Unsaid, bounds: Vec::new() };
        let is_between = self.before_clause(&mut clause);
        clause.bounds.push(self.bound(None)?);
        while self.separator(is_between && clause.bounds.len() == 1) {
            let last = clause.bounds.last().cloned();
            clause.bounds.push(self.bound(last.as_ref())?);
        }
        if is_between && clause.bounds.len() < 2 {
            return Err(Refusal::plain("“between” wants two dates: between … and …."));
        }
        if clause.limit == Some(Limit::From) && clause.bounds.len() > 1 {
            clause.limit = None;
        }
        self.after_clause(&mut clause)?;
        Ok(clause)
    }

    /// Doubts and limits before the first bound; whether it began with "between".
    fn before_clause(&mut self, clause: &mut Clause) -> bool {
        let mut is_between = false;
        while let Some(token) = self.peek() {
            match token {
                Token::Doubt(_) if clause.joiner == Joiner::First => self.uncertain = true,
                Token::Doubt(likelihood) => clause.likelihood = likelihood,
                Token::Question => self.uncertain = true,
                Token::Limit(limit) if clause.limit.is_none() => {
                    clause.limit = Some(limit);
                    self.at += usize::from(self.peek_at(1) == Some(Token::Dash));
                }
                Token::Between => is_between = true,
                Token::Comma if clause.likelihood != Likelihood::Unsaid => {}
                _ => break,
            }
            self.at += 1;
        }
        is_between
    }

    /// Steps over a dash, a stroke, "to" or "until" between two bounds of a range.
    fn separator(&mut self, and_counts: bool) -> bool {
        let found = match self.peek() {
            Some(Token::Dash | Token::Slash) if self.peek_at(1) == Some(Token::To) => 2,
            Some(Token::Dash) if matches!(self.peek_at(1), Some(Token::Or | Token::And)) => {
                self.at += 1;
                return self.separator(and_counts);
            }
            Some(Token::Dash | Token::Slash | Token::To | Token::Limit(Limit::By)) => 1,
            Some(Token::And) if and_counts => 1,
            _ => return false,
        };
        self.at += found;
        self.at += usize::from(self.peek() == Some(Token::Dash));
        true
    }

    /// "+", "onwards", "or later" behind the last bound.
    fn after_clause(&mut self, clause: &mut Clause) -> Result<(), Refusal> {
        let is_end =
            |token| matches!(token, None | Some(Token::Close | Token::Comma | Token::Question | Token::Open));
        let limit = match self.peek() {
            Some(Token::Suffix(limit)) => Some((limit, 1)),
            Some(Token::Or | Token::And) if is_end(self.peek_at(2)) => match self.peek_at(1) {
                Some(Token::Named(Named::Later) | Token::Limit(Limit::After)) => Some((Limit::From, 2)),
                Some(Token::Named(Named::Earlier) | Token::Limit(Limit::Before)) => Some((Limit::By, 2)),
                _ => None,
            },
            _ => None,
        };
        let Some((limit, length)) = limit else { return Ok(()) };
        if clause.limit.is_some_and(|before| before != limit) {
            return Err(Refusal::plain("One limit is set before the date and another behind it."));
        }
        clause.limit = Some(limit);
        self.at += length;
        Ok(())
    }

    /// The refusal for the token that stands here.
    pub fn not_understood(&self) -> Refusal {
        let chars = characters(self.text);
        let Some(lexeme) = self.lexemes.get(self.at) else {
            let reason = "The phrase stops before a date is named.";
            return Refusal::with(reason, vec![format!("{} century", self.text)]);
        };
        let word: String = self.text.chars().skip(lexeme.start).take(lexeme.end - lexeme.start).collect();
        let without: String =
            chars.iter().map(|one| if matches!(one, '(' | ')' | '[' | ']') { ' ' } else { *one }).collect();
        let before: String = chars[..lexeme.start].iter().collect();
        let suggestions = vec![
            without.split_whitespace().collect::<Vec<_>>().join(" "),
            suggest::replaced(&chars, lexeme.start, lexeme.end, ""),
            before.trim().to_owned(),
        ];
        let suggestions = suggestions.into_iter().filter(|one| one != self.text).collect();
        Refusal::with(format!("“{word}” is not understood where it stands."), suggestions)
    }
}
