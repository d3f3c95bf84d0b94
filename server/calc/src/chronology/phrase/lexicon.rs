//! The words of a date phrase, those of several words included.
use super::Likelihood;
use super::token::{Era, Limit, Named, Share, Token, Unit};
use crate::chronology::periods;

/// What a word stands for.
#[derive(Debug, Clone, Copy)]
pub(super) enum Entry {
    Word(Token),
    /// Says nothing of the years: "the", "of", "dated".
    Silent,
    /// Understood, and not read: the reason, and what to write in its place.
    Refused {
        reason: &'static str,
        instead: &'static str,
    },
}

/// The longest entry that begins at `at`, and the character behind it. Between words a space, a hyphen or a stop will do.
pub(super) fn longest(chars: &[char], at: usize) -> Option<(Entry, usize)> {
    let mut best: Option<(Entry, usize)> = None;
    let mut take = |entry: Entry, end: Option<usize>| {
        if let Some(end) = end
            && best.is_none_or(|(_, reach)| reach < end)
        {
            best = Some((entry, end));
        }
    };
    for (words, token) in WORDS {
        take(Entry::Word(*token), end_of(chars, at, words));
    }
    for words in SILENT {
        take(Entry::Silent, end_of(chars, at, words));
    }
    for (words, reason, instead) in REFUSED {
        take(Entry::Refused { reason, instead }, end_of(chars, at, words));
    }
    for period in periods::all() {
        for name in period.names() {
            take(Entry::Word(Token::Period(period)), end_of(chars, at, name));
        }
    }
    for (words, token) in DOTTED {
        take(Entry::Word(*token), end_of_dotted(chars, at, words));
    }
    best
}

/// Whether a word says nothing of the years.
pub(super) fn is_silent(word: &str) -> bool {
    SILENT.contains(&word.to_lowercase().as_str())
}

/// Every word that may be meant by a misspelt one.
pub(super) fn vocabulary() -> impl Iterator<Item = &'static str> {
    let words = WORDS.iter().map(|(words, _)| *words).filter(|word| word.len() > 3);
    words.chain(periods::all().flat_map(|period| period.names()))
}

fn end_of(chars: &[char], at: usize, words: &str) -> Option<usize> {
    if !words.chars().next().is_some_and(|first| same_letter(first, chars[at])) {
        return None;
    }
    let mut here = at;
    for wanted in words.chars() {
        if wanted == ' ' || wanted == '-' {
            let start = here;
            while chars.get(here).is_some_and(|one| matches!(one, ' ' | '-' | '.')) {
                here += 1;
            }
            if here == start {
                return None;
            }
        } else {
            if !same_letter(*chars.get(here)?, wanted) {
                return None;
            }
            here += 1;
        }
    }
    let is_whole = chars.get(here).is_none_or(|next| !next.is_alphanumeric());
    is_whole.then_some(here)
}

fn same_letter(one: char, two: char) -> bool {
    if one.is_ascii() || two.is_ascii() {
        return one.eq_ignore_ascii_case(&two);
    }
    one.to_lowercase().eq(two.to_lowercase())
}

/// "A.D.", "a.d", "B. C." at `at`; digits may follow at once.
fn end_of_dotted(chars: &[char], at: usize, letters: &str) -> Option<usize> {
    let mut here = at;
    for (n, wanted) in letters.chars().enumerate() {
        if n > 0 {
            if chars.get(here) != Some(&'.') {
                return None;
            }
            here += 1;
            while wanted != 'e' && chars.get(here) == Some(&' ') {
                here += 1;
            }
        }
        if !chars.get(here)?.eq_ignore_ascii_case(&wanted) {
            return None;
        }
        here += 1;
    }
    if chars.get(here) == Some(&'.') {
        return Some(here + 1);
    }
    let is_whole = chars.get(here).is_none_or(|next| !next.is_alphabetic());
    is_whole.then_some(here)
}

const DOTTED: &[(&str, Token)] = &[
    ("ad", Token::Era(Era::Ad)),
    ("bc", Token::Era(Era::Bc)),
    ("bce", Token::Era(Era::Bc)),
    ("ce", Token::Era(Era::Ad)),
    ("bp", Token::BeforePresent),
];

const SILENT: &[&str] = &[
    "the",
    "of",
    "in",
    "a",
    "an",
    "at",
    "on",
    "it",
    "is",
    "as",
    "date",
    "dates",
    "dated",
    "dating",
    "dating to",
    "dated to",
    "datable to",
    "made",
    "struck",
    "minted",
    "issued",
    "produced",
    "manufactured",
    "designed",
    "felled",
    "felling",
    "range",
    "extending",
    "continuing",
    "reign",
    "reign of",
    "period",
    "either",
    "s",
    "year",
    "years",
    "some time",
    "sometime",
];

const WORDS: &[(&str, Token)] = &[
    ("ad", Token::Era(Era::Ad)),
    ("ce", Token::Era(Era::Ad)),
    ("cal ad", Token::Era(Era::Ad)),
    ("anno domini", Token::Era(Era::Ad)),
    ("bc", Token::Era(Era::Bc)),
    ("bce", Token::Era(Era::Bc)),
    ("cal bc", Token::Era(Era::Bc)),
    ("cal bp", Token::Era(Era::CalBp)),
    ("bp", Token::BeforePresent),
    ("century", Token::Unit(Unit::Century)),
    ("centuries", Token::Unit(Unit::Century)),
    ("cent", Token::Unit(Unit::Century)),
    ("cents", Token::Unit(Unit::Century)),
    ("millennium", Token::Unit(Unit::Millennium)),
    ("millennia", Token::Unit(Unit::Millennium)),
    ("mill", Token::Unit(Unit::Millennium)),
    ("half", Token::Share(Share::Half)),
    ("halves", Token::Share(Share::Half)),
    ("thirds", Token::Share(Share::Third)),
    ("quarter", Token::Share(Share::Quarter)),
    ("quarters", Token::Share(Share::Quarter)),
    ("decade", Token::Share(Share::Decade)),
    ("decades", Token::Share(Share::Decade)),
    ("two", Token::Count(2)),
    ("three", Token::Count(3)),
    ("four", Token::Count(4)),
    ("five", Token::Count(5)),
    ("last", Token::Last),
    ("final", Token::Last),
    ("latter", Token::Last),
    ("early", Token::Named(Named::Early)),
    ("e", Token::Named(Named::Early)),
    ("start", Token::Named(Named::Early)),
    ("beginning", Token::Named(Named::Early)),
    ("mid", Token::Named(Named::Mid)),
    ("middle", Token::Named(Named::Mid)),
    ("m", Token::Named(Named::Mid)),
    ("late", Token::Named(Named::Late)),
    ("l", Token::Named(Named::Late)),
    ("end", Token::Named(Named::Late)),
    ("close", Token::Named(Named::Late)),
    ("earlier", Token::Named(Named::Earlier)),
    ("later", Token::Named(Named::Later)),
    ("part", Token::PartWord),
    ("very", Token::Very),
    ("c", Token::LetterC),
    ("ca", Token::Circa),
    ("circa", Token::Circa),
    ("approx", Token::Circa),
    ("approximately", Token::Circa),
    ("about", Token::Circa),
    ("around", Token::Circa),
    ("roughly", Token::Circa),
    ("or so", Token::Circa),
    ("to", Token::To),
    ("through", Token::To),
    ("into", Token::To),
    ("and into", Token::To),
    ("or", Token::Or),
    ("and", Token::And),
    ("before", Token::Limit(Limit::Before)),
    ("pre", Token::Limit(Limit::Before)),
    ("prior to", Token::Limit(Limit::Before)),
    ("earlier than", Token::Limit(Limit::Before)),
    ("after", Token::Limit(Limit::After)),
    ("post", Token::Limit(Limit::After)),
    ("later than", Token::Limit(Limit::After)),
    ("from", Token::Limit(Limit::From)),
    ("since", Token::Limit(Limit::From)),
    ("not before", Token::Limit(Limit::From)),
    ("not earlier than", Token::Limit(Limit::From)),
    ("no earlier than", Token::Limit(Limit::From)),
    ("tpq", Token::Limit(Limit::From)),
    ("terminus post quem", Token::Limit(Limit::From)),
    ("by", Token::Limit(Limit::By)),
    ("until", Token::Limit(Limit::By)),
    ("till", Token::Limit(Limit::By)),
    ("up to", Token::Limit(Limit::By)),
    ("not after", Token::Limit(Limit::By)),
    ("not later than", Token::Limit(Limit::By)),
    ("no later than", Token::Limit(Limit::By)),
    ("taq", Token::Limit(Limit::By)),
    ("terminus ante quem", Token::Limit(Limit::By)),
    ("onwards", Token::Suffix(Limit::From)),
    ("onward", Token::Suffix(Limit::From)),
    ("earliest", Token::Suffix(Limit::From)),
    ("latest", Token::Suffix(Limit::By)),
    ("between", Token::Between),
    ("probably", Token::Doubt(Likelihood::More)),
    ("prob", Token::Doubt(Likelihood::More)),
    ("likely", Token::Doubt(Likelihood::More)),
    ("more likely", Token::Doubt(Likelihood::More)),
    ("most likely", Token::Doubt(Likelihood::More)),
    ("more probably", Token::Doubt(Likelihood::More)),
    ("most probably", Token::Doubt(Likelihood::More)),
    ("but more likely", Token::Doubt(Likelihood::More)),
    ("but probably", Token::Doubt(Likelihood::More)),
    ("less likely", Token::Doubt(Likelihood::Less)),
    ("possibly", Token::Doubt(Likelihood::Less)),
    ("poss", Token::Doubt(Likelihood::Less)),
    ("perhaps", Token::Doubt(Likelihood::Less)),
    ("but possibly", Token::Doubt(Likelihood::Less)),
    ("but perhaps", Token::Doubt(Likelihood::Less)),
    ("turn", Token::Turn),
    ("x", Token::Dash),
    ("era", Token::EraWord),
    ("first", ordinal(1)),
    ("second", ordinal(2)),
    ("third", ordinal(3)),
    ("fourth", ordinal(4)),
    ("fifth", ordinal(5)),
    ("sixth", ordinal(6)),
    ("seventh", ordinal(7)),
    ("eighth", ordinal(8)),
    ("ninth", ordinal(9)),
    ("tenth", ordinal(10)),
    ("eleventh", ordinal(11)),
    ("twelfth", ordinal(12)),
    ("thirteenth", ordinal(13)),
    ("fourteenth", ordinal(14)),
    ("fifteenth", ordinal(15)),
    ("sixteenth", ordinal(16)),
    ("seventeenth", ordinal(17)),
    ("eighteenth", ordinal(18)),
    ("nineteenth", ordinal(19)),
    ("twentieth", ordinal(20)),
    ("twenty first", ordinal(21)),
];

const fn ordinal(value: i64) -> Token {
    Token::Ordinal { value, roman: false }
}

const LENGTH_UNSTATED: &str = "How long is not said, so no years follow from it.";
const END_UNSTATED: &str = "How many years are meant is not said.";
const SEASON: &str = "Only years are read, not days, months or seasons.";
const NO_DATE: &str = "That says there is no date: leave the field empty.";
const SAXON: &str = "The list has no period of that whole name; its parts are early, middle and late Saxon.";
const EARLIEST: &str = "How late it may be is not said: name a range, or “from … onwards”.";

/// Words that are understood and not read: words, reason, what to write instead.
const REFUSED: &[(&str, &str, &str)] = &[
    ("shortly", LENGTH_UNSTATED, ""),
    ("soon", LENGTH_UNSTATED, ""),
    ("just", LENGTH_UNSTATED, ""),
    ("long", LENGTH_UNSTATED, ""),
    ("well", LENGTH_UNSTATED, ""),
    ("closing years of the", END_UNSTATED, "late "),
    ("closing years of", END_UNSTATED, "late "),
    ("last years of the", END_UNSTATED, "late "),
    ("opening years of the", END_UNSTATED, "early "),
    ("opening years of", END_UNSTATED, "early "),
    ("first years of the", END_UNSTATED, "early "),
    ("as early as", EARLIEST, "from "),
    ("as late as", EARLIEST, "until "),
    ("spring", SEASON, ""),
    ("summer", SEASON, ""),
    ("autumn", SEASON, ""),
    ("winter", SEASON, ""),
    ("january", SEASON, ""),
    ("february", SEASON, ""),
    ("march", SEASON, ""),
    ("april", SEASON, ""),
    ("may", SEASON, ""),
    ("june", SEASON, ""),
    ("july", SEASON, ""),
    ("august", SEASON, ""),
    ("september", SEASON, ""),
    ("october", SEASON, ""),
    ("november", SEASON, ""),
    ("december", SEASON, ""),
    ("undated", NO_DATE, ""),
    ("unknown", NO_DATE, ""),
    ("uncertain", NO_DATE, ""),
    ("nd", NO_DATE, ""),
    ("undiagnostic", NO_DATE, ""),
    ("anglo saxon", SAXON, "late Saxon"),
    ("saxon", SAXON, "late Saxon"),
];
