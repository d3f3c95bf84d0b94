//! What an opinion says: dates of several kinds and weights, how sure, what was seen, parallels.
use super::Years;

crate::text_enum! {
    /// What a date is the date of; kinds are never compared with each other.
    DateKind, "kind of date" {
        Manufacture = "manufacture", "made";
        Use = "use", "in use";
        Deposition = "deposition", "deposited";
        Scientific = "scientific", "by a scientific method";
    }
}

crate::text_enum! {
    /// How an author weighs one range against the others of the same opinion.
    Weight, "weight" {
        Unsaid = "unsaid", "as likely as the others";
        More = "more", "more likely";
        Less = "less", "less likely";
    }
}

impl Weight {
    /// The share of a range in a pooled density, and nowhere else: twice, once, half (common practice, no source).
    pub const fn share(self) -> f64 {
        match self {
            Weight::More => 2.0,
            Weight::Unsaid => 1.0,
            Weight::Less => 0.5,
        }
    }
}

crate::text_enum! {
    /// How sure an author is of the identification.
    Confidence, "confidence" {
        Certain = "certain", "certain";
        Probable = "probable", "probable";
        Possible = "possible", "possible";
    }
}

crate::text_enum! {
    /// What the author had before the eyes.
    SeenAs, "way of seeing" {
        Object = "object", "the object";
        Image = "image", "images";
        Xray = "xray", "X-rays";
    }
}

crate::text_enum! {
    /// In what a parallel is like the find.
    Likeness, "likeness" {
        Form = "form", "form";
        Fabric = "fabric", "fabric";
        Style = "style", "style";
        Context = "context", "context";
    }
}

/// Several words of one list, in the order of the list, stored separated by blanks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Several<T>(Vec<T>);

impl<T> Default for Several<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

/// What the author had before the eyes: the object, images, X-rays, or several of them.
pub type Seen = Several<SeenAs>;
/// In what a parallel is like the find.
pub type Likenesses = Several<Likeness>;

impl<T: Copy + Ord> Several<T> {
    /// Each once, in the order of the list.
    pub fn of(mut words: Vec<T>) -> Self {
        words.sort();
        words.dedup();
        Self(words)
    }

    /// The words.
    pub fn all(&self) -> &[T] {
        &self.0
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<T: Copy + Into<&'static str>> Several<T> {
    /// The stored words.
    pub fn code(&self) -> String {
        let codes: Vec<&str> = self.0.iter().map(|one| (*one).into()).collect();
        codes.join(" ")
    }
}

impl<T: Copy + std::fmt::Display> Several<T> {
    /// “the object and images”, “the object, images and X-rays”.
    pub fn label(&self) -> String {
        let words: Vec<String> = self.0.iter().map(T::to_string).collect();
        match words.as_slice() {
            [] => String::new(),
            [one] => one.clone(),
            [first @ .., last] => format!("{} and {last}", first.join(", ")),
        }
    }
}

impl<T: std::str::FromStr> TryFrom<String> for Several<T> {
    type Error = T::Err;
    fn try_from(words: String) -> Result<Self, T::Err> {
        words.split_whitespace().map(str::parse).collect::<Result<_, _>>().map(Self)
    }
}

/// One range of years that an opinion gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dated {
    pub kind: DateKind,
    pub weight: Weight,
    pub years: Years,
}

/// The kind of date that counts for the context of a find: the making where it is dated, otherwise the next that is
/// (common practice: coins and pots date from their making, trade.md §6).
pub fn leading_kind(dates: &[Dated]) -> Option<DateKind> {
    dates.iter().map(|date| date.kind).min()
}

/// The span of all ranges of the leading kind: weights narrow nothing, so that nothing less likely is lost.
///
/// ```
/// use domain::review::Years;
/// use domain::review::opinion::{DateKind, Dated, Weight, leading_years};
/// let date = |kind, lo, hi| Dated { kind, weight: Weight::Unsaid, years: Years { lo: Some(lo), hi: Some(hi) } };
/// let said = [
///     date(DateKind::Deposition, 1450, 1500),
///     date(DateKind::Manufacture, 1401, 1433),
///     date(DateKind::Manufacture, 1368, 1400),
/// ];
/// assert_eq!(leading_years(&said), Some(Years { lo: Some(1368), hi: Some(1433) }));
/// assert_eq!(leading_years(&[]), None);
/// ```
pub fn leading_years(dates: &[Dated]) -> Option<Years> {
    let kind = leading_kind(dates)?;
    dates.iter().filter(|date| date.kind == kind).map(|date| date.years).reduce(Years::span)
}

/// What an opinion still lacks before it can be final.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lacking {
    Confidence,
    Parallels,
}

/// What a final opinion must say beyond a preliminary one: how sure the identification is, and its parallels or that none
/// was found (common practice, no source).
pub fn lacking(confidence: Option<Confidence>, parallels: usize, none_found: bool) -> Vec<Lacking> {
    let mut lacking = Vec::new();
    if confidence.is_none() {
        lacking.push(Lacking::Confidence);
    }
    if parallels == 0 && !none_found {
        lacking.push(Lacking::Parallels);
    }
    lacking
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_words_are_kept_once_and_in_order() {
        let seen = Seen::of(vec![SeenAs::Xray, SeenAs::Object, SeenAs::Xray]);
        assert_eq!(seen.code(), "object xray");
        assert_eq!(seen.label(), "the object and X-rays");
        assert_eq!(Seen::try_from(seen.code()).unwrap(), seen);
        assert!(Seen::try_from("dream".to_owned()).is_err());
    }

    #[test]
    fn a_final_opinion_says_how_sure_it_is_and_what_is_like_it() {
        assert_eq!(lacking(None, 0, false), [Lacking::Confidence, Lacking::Parallels]);
        assert!(lacking(Some(Confidence::Possible), 0, true).is_empty());
        assert!(lacking(Some(Confidence::Certain), 2, false).is_empty());
    }
}
