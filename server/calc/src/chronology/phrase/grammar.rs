//! Tokens put together: a statement of clauses, each a chain of bounds.
use super::Likelihood;
use super::bound::{Bound, Core};
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
    /// "possibly to AD 250": the last bound is doubted, and kept.
    pub doubted_end: bool,
}

impl Clause {
    /// Whether it is made of plain years.
    pub fn is_in_years(&self) -> bool {
        self.bounds.iter().all(|bound| matches!(bound.core, Some(Core::Year { .. })))
    }

    /// Whether it names nothing but periods and reigns.
    pub fn is_named(&self) -> bool {
        self.bounds.iter().all(|bound| matches!(bound.core, Some(Core::Period(_))))
    }
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
        if let Some((limit, length)) = parser.open_end()? {
            parser.at += length;
            limit_all(&mut clauses, limit)?;
            continue;
        }
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
                clauses.push(parser.beside(&clauses)?);
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

    /// "Charles I 1625–49", "1697 William III": a name and a date side by side, as if one stood in brackets.
    fn beside(&mut self, clauses: &[Clause]) -> Result<Clause, Refusal> {
        let begins_date = matches!(
            self.peek(),
            Some(
                Token::Number { .. }
                    | Token::Decade { .. }
                    | Token::Ordinal { roman: false, .. }
                    | Token::Century { .. }
                    | Token::Named(_)
                    | Token::Era(_)
                    | Token::Circa
            )
        );
        let fits = match clauses.last() {
            Some(last) if last.is_named() => begins_date,
            Some(_) => matches!(self.peek(), Some(Token::Period(_))),
            None => false,
        };
        if fits { self.clause(Joiner::Gloss) } else { Err(self.not_understood()) }
    }

    /// What stands in brackets behind a date: a doubt about it, or another way to put it; nothing in "(dated)".
    fn bracket(&mut self, clauses: &mut Vec<Clause>) -> Result<(), Refusal> {
        if self.peek() == Some(Token::Close) {
            self.at += 1;
            return Ok(());
        }
        if let Some((limit, length)) = self.open_end()?
            && self.peek_at(length) == Some(Token::Close)
        {
            self.at += length + 1;
            return limit_all(clauses, limit);
        }
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
        let mut clause = Clause {
            joiner,
            limit: None,
            likelihood: Likelihood::Unsaid,
            bounds: Vec::new(),
            doubted_end: false,
        };
        let is_between = self.before_clause(&mut clause);
        clause.bounds.push(self.bound(None)?);
        loop {
            let is_dash = self.peek() == Some(Token::Dash);
            clause.doubted_end |= self.doubted_separator();
            if !clause.doubted_end && !self.separator(is_between && clause.bounds.len() == 1) {
                break;
            }
            let aside = is_dash && matches!(self.peek(), Some(Token::Doubt(_)));
            let bound = self.bound(clause.bounds.last())?;
            clause.bounds.push(Bound { aside, ..bound });
            if clause.doubted_end {
                break;
            }
        }
        if is_between && clause.bounds.len() < 2 {
            return Err(Refusal::plain("“between” wants two dates: between … and …."));
        }
        clause.limit = match clause.limit {
            Some(Limit::From) if clause.bounds.len() > 1 => None,
            Some(Limit::After) if clause.doubted_end => None,
            Some(Limit::Before) if clause.doubted_end => Some(Limit::By),
            limit => limit,
        };
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
            Some(Token::Dash | Token::Slash | Token::Comma) if self.peek_at(1) == Some(Token::To) => 2,
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

    /// Steps over ", possibly to" and its kin: the end that follows is doubted, and kept.
    fn doubted_separator(&mut self) -> bool {
        let mark = usize::from(matches!(self.peek(), Some(Token::Comma | Token::Dash)));
        let doubt = usize::from(matches!(self.peek_at(mark), Some(Token::Doubt(_))));
        let is_to = matches!(self.peek_at(mark + doubt), Some(Token::To | Token::Limit(Limit::By)));
        let found = doubt == 1 && is_to;
        self.at += if found { mark + 2 } else { 0 };
        found
    }

    /// "+", "onwards", "or later", ", possibly later" behind the last bound.
    fn after_clause(&mut self, clause: &mut Clause) -> Result<(), Refusal> {
        let Some((limit, length)) = self.open_end()? else { return Ok(()) };
        self.at += length;
        set_limit(clause, limit)
    }

    /// "+", "or later", ", possibly earlier" with nothing behind it: the limit and how many tokens say so.
    fn open_end(&self) -> Result<Option<(Limit, usize)>, Refusal> {
        if let Some(Token::Suffix(limit)) = self.peek() {
            return Ok(Some((limit, 1)));
        }
        let mark = usize::from(self.peek() == Some(Token::Comma));
        let link = usize::from(matches!(self.peek_at(mark), Some(Token::Or | Token::And)));
        let doubt = match self.peek_at(mark + link) {
            Some(Token::Doubt(likelihood)) => Some(likelihood),
            _ => None,
        };
        let length = mark + link + usize::from(doubt.is_some());
        let limit = match self.peek_at(length) {
            Some(Token::Named(Named::Later) | Token::Limit(Limit::After)) => Limit::From,
            Some(Token::Named(Named::Earlier) | Token::Limit(Limit::Before)) => Limit::By,
            _ => return Ok(None),
        };
        let is_end = matches!(
            self.peek_at(length + 1),
            None | Some(Token::Close | Token::Comma | Token::Question | Token::Open)
        );
        if !is_end || length == mark {
            return Ok(None);
        }
        if doubt == Some(Likelihood::More) {
            return Err(self.probably_beyond(limit));
        }
        Ok(Some((limit, length + 1)))
    }

    /// "17th century, probably later": the date itself is the less likely one.
    fn probably_beyond(&self, limit: Limit) -> Refusal {
        let word = if limit == Limit::From { "later" } else { "earlier" };
        let start = self.lexemes.get(self.at).map_or(0, |lexeme| lexeme.start);
        let before: String = characters(self.text)[..start].iter().collect();
        let reason = format!("If it is probably {word}, how much {word} is not said.");
        Refusal::with(reason, vec![format!("{} or {word}", before.trim_end_matches([' ', ',', '(', '[']))])
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
        let mut suggestions = vec![without.split_whitespace().collect::<Vec<_>>().join(" ")];
        // without its limit a date would say something else
        if !matches!(lexeme.token, Token::Limit(_) | Token::Suffix(_)) {
            let dropped = suggest::replaced(&chars, lexeme.start, lexeme.end, "");
            suggestions.push(suggest::tidied(&dropped));
        }
        suggestions.push(suggest::tidied(&before));
        suggestions.retain(|one| one != self.text);
        Refusal::with(format!("“{word}” is not understood where it stands."), suggestions)
    }
}

/// "Hadrian (AD 117–138) or later": the limit holds for what stands in the brackets and for what they explain.
fn limit_all(clauses: &mut [Clause], limit: Limit) -> Result<(), Refusal> {
    for clause in clauses.iter_mut().rev() {
        set_limit(clause, limit)?;
        if clause.joiner != Joiner::Gloss {
            break;
        }
    }
    Ok(())
}

fn set_limit(clause: &mut Clause, limit: Limit) -> Result<(), Refusal> {
    if clause.limit.is_some_and(|before| before != limit) {
        return Err(Refusal::plain("One limit is set before the date and another behind it."));
    }
    clause.limit = Some(limit);
    Ok(())
}
