//! Words of letters and digits together: "AD120", "120s", "LC3", "2ndC", "C1BC", "c120", and Roman numerals.
use super::refusal::Refusal;
use super::suggest;
use super::token::{Era, Lexeme, Named, Token, Unit};

/// The last century that a phrase may name, and the last year.
pub(super) const LAST_CENTURY: i64 = 21;

/// Cuts the run of letters and digits at `at` into tokens and says where it ends.
pub(super) fn word(
    text: &str,
    chars: &[char],
    at: usize,
    lexemes: &mut Vec<Lexeme>,
) -> Result<usize, Refusal> {
    let Some((tokens, end)) = tokens_of(text, chars, at)? else {
        return Err(unknown(text, chars, at, end_of(chars, at)));
    };
    lexemes.extend(tokens.into_iter().map(|token| Lexeme { token, start: at, end }));
    Ok(end)
}

/// Where the run of letters and digits at `at` ends.
pub(super) fn end_of(chars: &[char], at: usize) -> usize {
    run_end(chars, at, char::is_alphanumeric)
}

/// The tokens of the run of letters and digits at `at` and where it ends; `None` for a word that is not known.
pub(super) fn tokens_of(
    text: &str,
    chars: &[char],
    at: usize,
) -> Result<Option<(Vec<Token>, usize)>, Refusal> {
    let letters = run_end(chars, at, char::is_alphabetic);
    if run_end(chars, letters, |one| one.is_ascii_digit()) == letters && letters > at {
        let end = end_of(chars, at);
        return Ok(letters_only(&chars[at..end]).map(|tokens| (tokens, end)));
    }
    let (digits, end_of_digits) = digits(text, chars, letters)?;
    if digits.is_empty() {
        return Ok(None);
    }
    let decade = matches!(chars.get(end_of_digits..end_of_digits + 2), Some(['\'', 's' | 'S']));
    let end = if decade { end_of_digits + 2 } else { end_of(chars, end_of_digits) };
    let prefix = lower(&chars[at..letters]);
    let suffix = if decade { "s".to_owned() } else { lower(&chars[end_of_digits..end]) };
    let value: i64 =
        digits.parse().map_err(|_| Refusal::plain(format!("{digits} is too long for a year.")))?;
    let found = Parts { value, digits: digits.len(), low: chars[at] == 'c', prefix, suffix };
    check_ordinal(&found, chars, at, end)?;
    Ok(found.tokens().map(|tokens| (tokens, end)))
}

/// A number between letters: what stands before it and behind it decides what it counts.
struct Parts {
    value: i64,
    digits: usize,
    low: bool,
    prefix: String,
    suffix: String,
}

impl Parts {
    fn tokens(&self) -> Option<Vec<Token>> {
        let (named, mark) = prefix_of(&self.prefix)?;
        let (ordinal, suffix) = split_ordinal(&self.suffix);
        let (is_decade, suffix) = match suffix.strip_prefix('s') {
            Some(rest) if ordinal.is_empty() => (true, rest),
            _ => (false, suffix),
        };
        let (has_c, era) = c_and_era(suffix)?;
        let is_century = !is_decade && (has_c || mark == Mark::C && self.value <= LAST_CENTURY);
        let mut tokens = named;
        if !tokens.is_empty() && !is_century {
            return None;
        }
        match mark {
            Mark::Circa(Some(era)) => tokens.extend([Token::Circa, Token::Era(era)]),
            Mark::Circa(None) => tokens.push(Token::Circa),
            Mark::C if !is_century => tokens.push(Token::Circa),
            Mark::Era(era) => tokens.push(Token::Era(era)),
            Mark::C | Mark::None => {}
        }
        let low = self.low && mark == Mark::C && tokens.is_empty();
        tokens.push(match (is_century, is_decade, ordinal.is_empty()) {
            (true, ..) => Token::Century { value: self.value, low },
            (_, true, _) => Token::Decade { value: self.value, digits: self.digits },
            (.., false) => Token::Ordinal { value: self.value, roman: false },
            _ => Token::Number { value: self.value, digits: self.digits },
        });
        tokens.extend(era);
        Some(tokens)
    }
}

#[derive(PartialEq, Clone, Copy)]
enum Mark {
    None,
    /// "C", which is a century or circa.
    C,
    Circa(Option<Era>),
    Era(Era),
}

fn prefix_of(prefix: &str) -> Option<(Vec<Token>, Mark)> {
    if let Some(era) = era_of(prefix) {
        return Some((Vec::new(), Mark::Era(era)));
    }
    let mark = match prefix {
        "" => Mark::None,
        "c" => Mark::C,
        "ca" | "circa" => Mark::Circa(None),
        _ => match prefix.strip_prefix('c').and_then(era_of) {
            Some(era) => Mark::Circa(Some(era)),
            None => return shorthand(prefix),
        },
    };
    Some((Vec::new(), mark))
}

/// "l", "em", "ml", with or without the c: the parts of a century in letters.
fn shorthand(prefix: &str) -> Option<(Vec<Token>, Mark)> {
    let (letters, mark) = match prefix.strip_suffix('c') {
        Some(letters) => (letters, Mark::C),
        None => (prefix, Mark::None),
    };
    let [early, mid, late] = [Named::Early, Named::Mid, Named::Late].map(Token::Named);
    let named = match letters {
        "e" => vec![early],
        "m" => vec![mid],
        "l" => vec![late],
        "em" => vec![early, Token::Slash, mid],
        "ml" => vec![mid, Token::Slash, late],
        _ => return None,
    };
    Some((named, mark))
}

fn split_ordinal(suffix: &str) -> (&str, &str) {
    ["st", "nd", "rd", "th"]
        .into_iter()
        .find_map(|one| suffix.strip_prefix(one).map(|rest| (one, rest)))
        .unwrap_or(("", suffix))
}

/// What is left behind a number: nothing, an era, "c", "c" and an era.
fn c_and_era(suffix: &str) -> Option<(bool, Option<Token>)> {
    if suffix.is_empty() {
        return Some((false, None));
    }
    if suffix == "bp" {
        return Some((false, Some(Token::BeforePresent)));
    }
    if let Some(era) = era_of(suffix) {
        return Some((false, Some(Token::Era(era))));
    }
    let rest = suffix.strip_prefix('c')?;
    if rest.is_empty() {
        return Some((true, None));
    }
    Some((true, Some(Token::Era(era_of(rest)?))))
}

fn era_of(word: &str) -> Option<Era> {
    match word {
        "ad" | "ce" | "calad" => Some(Era::Ad),
        "bc" | "bce" | "calbc" => Some(Era::Bc),
        "calbp" => Some(Era::CalBp),
        _ => None,
    }
}

fn check_ordinal(found: &Parts, chars: &[char], at: usize, end: usize) -> Result<(), Refusal> {
    let (ordinal, rest) = split_ordinal(&found.suffix);
    let right = suggest::ordinal_ending(found.value);
    if ordinal.is_empty() || ordinal == right {
        return Ok(());
    }
    let (prefix, value) = (&found.prefix, found.value);
    let reason = format!("“{value}{ordinal}” is not how that number is written.");
    Err(Refusal::with(
        reason,
        vec![suggest::replaced(chars, at, end, &format!("{prefix}{value}{right}{rest}"))],
    ))
}

fn letters_only(chars: &[char]) -> Option<Vec<Token>> {
    let word: String = chars.iter().collect();
    let numeral = |value| Token::Ordinal { value, roman: true };
    match roman(&word) {
        Some(value) => Some(vec![numeral(value)]),
        None => Some(vec![numeral(roman(word.strip_suffix('C')?)?), Token::Unit(Unit::Century)]),
    }
}

/// A Roman numeral from I to XXI in capitals.
pub(super) fn roman(word: &str) -> Option<i64> {
    (1..=LAST_CENTURY).find(|value| suggest::roman(*value) == word)
}

fn unknown(text: &str, chars: &[char], at: usize, end: usize) -> Refusal {
    let word: String = chars[at..end].iter().collect();
    let reason = format!("“{word}” is not a word of a date that is known here.");
    let near = suggest::nearest(&word);
    let mut suggestions = vec![suggest::spelt_out(text)];
    suggestions.extend(near.map(|near| suggest::replaced(chars, at, end, near)));
    suggestions.extend(suggest::outside_brackets(chars, at));
    suggestions.extend(suggest::known_words(text, chars));
    suggestions.push(suggest::without_brackets(chars));
    suggestions.extend(near.map(str::to_owned));
    // a type number left alone ("Dressel 20") is no year that anyone meant
    let is_short = |one: &String| one.len() < 3 && one.chars().all(|digit| digit.is_ascii_digit());
    suggestions.retain(|one| one != text && !is_short(one));
    Refusal::with(reason, suggestions)
}

/// A run of digits, with "10,000" read as one number.
fn digits(text: &str, chars: &[char], at: usize) -> Result<(String, usize), Refusal> {
    let mut end = run_end(chars, at, |one| one.is_ascii_digit());
    let mut digits: String = chars[at..end].iter().collect();
    let is_short = digits.len() <= 3;
    loop {
        let group = run_end(chars, end + 1, |one| one.is_ascii_digit());
        if !is_short || chars.get(end) != Some(&',') || group != end + 4 {
            break;
        }
        digits.extend(&chars[end + 1..group]);
        end = group;
    }
    if matches!(chars.get(end..end + 2), Some(['.', next]) if next.is_ascii_digit()) {
        let whole = text.split_once('.').map(|(whole, _)| whole.to_owned());
        return Err(Refusal::with("Years are whole numbers.", whole.into_iter().collect()));
    }
    Ok((digits, end))
}

fn run_end(chars: &[char], at: usize, keep: impl Fn(char) -> bool) -> usize {
    let mut end = at.min(chars.len());
    while chars.get(end).is_some_and(|one| keep(*one)) {
        end += 1;
    }
    end.max(at.min(chars.len()))
}

fn lower(chars: &[char]) -> String {
    chars.iter().collect::<String>().to_lowercase()
}
