//! What a column can mean: the fields of finds and of contexts, each with what it takes and how registers call it.
mod context;
mod find;
mod unit;

pub use context::ContextField;
pub use find::FindField;
pub use unit::Unit;

/// Longest text of one line, in characters.
pub const LONGEST_WORDS: usize = 500;
/// Longest text of several lines, in characters.
pub const LONGEST_PROSE: usize = 10_000;

domain::text_enum! {
    /// Which of the two registers a file is.
    Kind, "register" {
        Finds = "finds", "finds";
        Contexts = "contexts", "contexts";
    }
}

/// What a field takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// A number that names something: text, kept as written but for spaces.
    Identifier,
    /// Text of one line.
    Words,
    /// Text of several lines.
    Prose,
    /// A whole number, not below zero.
    Whole,
    /// A number in that unit, not below zero.
    Size(Unit),
    /// A number in metres, of either sign.
    Coordinate,
    /// 0 to 100.
    Percent,
    Day,
    YesNo,
    /// Dry, damp or wet.
    State,
    /// Registered singly or bulk.
    Basis,
    /// Several context numbers.
    Numbers,
}

/// A field as the person and the matching see it.
#[derive(Debug, Clone, Copy)]
pub struct Spec {
    pub shape: Shape,
    /// Without a column for it nothing is imported, and no row may leave it empty.
    pub required: bool,
    /// Shown beside the choice.
    pub hint: &'static str,
    /// How registers head such a column, folded, separated by commas. English usage; common practice, no source.
    words: &'static str,
}

impl Spec {
    /// How registers head such a column, folded.
    pub fn words(&self) -> impl Iterator<Item = &'static str> {
        self.words.split(',')
    }

    /// The unit in which the field is kept.
    pub fn unit(&self) -> Option<Unit> {
        match self.shape {
            Shape::Size(unit) => Some(unit),
            Shape::Coordinate => Some(Unit::Metre),
            Shape::Percent => Some(Unit::Percent),
            _ => None,
        }
    }
}

/// A field of either register. Its words are stored; its label is shown.
pub trait Field:
    Copy + Ord + std::hash::Hash + std::fmt::Debug + std::str::FromStr + serde::Serialize + Send + Sync + 'static
{
    const KIND: Kind;
    /// The number by which a row is known.
    const NUMBER: Self;
    /// Every field, in the order people expect.
    fn all() -> &'static [Self];
    /// The stored word.
    fn code(self) -> &'static str;
    /// The word shown to people.
    fn label(self) -> &'static str;
    fn spec(self) -> &'static Spec;

    /// Whether several columns may be joined in it.
    fn joins(self) -> bool {
        self.spec().shape == Shape::Prose
    }
}

/// Looks a field up in its table.
fn spec_in<F: PartialEq>(table: &'static [(F, Spec)], field: F) -> &'static Spec {
    static NOTHING: Spec = Spec { shape: Shape::Words, required: false, hint: "", words: "" };
    table.iter().find(|(other, _)| *other == field).map_or(&NOTHING, |(_, spec)| spec)
}

const fn spec(shape: Shape, hint: &'static str, words: &'static str) -> Spec {
    Spec { shape, required: false, hint, words }
}

const fn required(shape: Shape, hint: &'static str, words: &'static str) -> Spec {
    Spec { shape, required: true, hint, words }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    fn sound<F: Field>() {
        let mut heard = HashSet::new();
        for field in F::all() {
            let spec = field.spec();
            assert!(!spec.words.is_empty() && !spec.hint.is_empty(), "{field:?} stands in no table");
            for word in spec.words() {
                assert_eq!(domain::words::fold(word), word, "{field:?}: words are kept folded");
                assert!(heard.insert(word), "“{word}” means two things");
            }
        }
    }

    #[test]
    fn every_field_has_words_of_its_own() {
        sound::<FindField>();
        sound::<ContextField>();
    }
}
