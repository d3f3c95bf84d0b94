//! Enums that are stored as a word and shown as words.

/// A word that stands in no list of its kind.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{word}” is no {kind}")]
pub struct UnknownWord {
    pub kind: &'static str,
    pub word: String,
}

/// Declares an enum with a stored word (`code`) and a word for people (`label`) on each variant.
#[macro_export]
macro_rules! text_enum {
    ($(#[$meta:meta])* $name:ident, $kind:literal { $($(#[$vmeta:meta])* $variant:ident = $code:literal, $label:literal;)+ }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
        #[serde(try_from = "String", into = "&'static str")]
        pub enum $name { $($(#[$vmeta])* $variant),+ }

        impl $name {
            /// Every variant, in the order people expect.
            pub const ALL: &'static [$name] = &[$($name::$variant),+];
            /// The stored word.
            pub const fn code(self) -> &'static str { match self { $($name::$variant => $code),+ } }
            /// The word shown to people.
            pub const fn label(self) -> &'static str { match self { $($name::$variant => $label),+ } }
        }
        impl std::str::FromStr for $name {
            type Err = $crate::text_enum::UnknownWord;
            fn from_str(word: &str) -> Result<Self, Self::Err> {
                match word {
                    $($code => Ok($name::$variant),)+
                    _ => Err($crate::text_enum::UnknownWord { kind: $kind, word: word.to_owned() }),
                }
            }
        }
        impl TryFrom<String> for $name {
            type Error = $crate::text_enum::UnknownWord;
            fn try_from(word: String) -> Result<Self, Self::Error> { word.parse() }
        }
        impl From<$name> for &'static str { fn from(value: $name) -> &'static str { value.code() } }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result { f.write_str(self.label()) }
        }
    };
}
