//! What the person chose on the way of a register, as it is kept with it and read from the form.
use register::table::Reading;
use register::values::{DateOrder, Decimal};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, HashMap};

/// What the person chose on the way.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Choices {
    pub reading: Reading,
    /// From 0; guessed when left out.
    pub header_row: Option<usize>,
    /// Field by column, an empty word leaving the column out.
    pub fields: BTreeMap<usize, String>,
    /// By column, where it does not tell by itself.
    pub decimals: BTreeMap<usize, Decimal>,
    pub dates: BTreeMap<usize, DateOrder>,
    pub create_contexts: bool,
    pub create_places: bool,
    /// Folded word to code of the material group.
    pub materials: HashMap<String, String>,
}

/// As typed: pairs of names and values, a name for each column and each unknown word.
pub(super) type Pairs = Vec<(String, String)>;

impl Choices {
    /// Takes over what the form says. Where another sheet, header row or way to part the cells is chosen than the one
    /// whose columns were shown, the columns are proposed anew.
    pub(super) fn take(&mut self, posted: &Pairs) {
        let value = |name: &str| posted.iter().find(|(key, _)| key == name).map(|(_, value)| value.as_str());
        let shown = |name: &str| value(name).filter(|value| !value.is_empty());
        let reading = Reading {
            sheet: shown("sheet").map(str::to_owned),
            encoding: shown("encoding").and_then(|word| word.parse().ok()),
            separator: shown("separator").and_then(|word| word.parse().ok()),
        };
        let others = ["sheet", "header_row"].iter().any(|name| shown(name) != shown(&format!("of_{name}")));
        let anew = others || reading.separator != self.reading.separator;
        self.fields = if anew { BTreeMap::new() } else { by_column(posted, "column-") };
        self.decimals = if anew { BTreeMap::new() } else { by_column(posted, "decimal-") };
        self.dates = if anew { BTreeMap::new() } else { by_column(posted, "dates-") };
        self.header_row = shown("header_row").and_then(|row| row.parse().ok());
        self.reading = reading;
        self.create_contexts = value("create_contexts").is_some();
        self.create_places = value("create_places").is_some();
        for (key, code) in posted {
            if let Some(word) = key.strip_prefix("material-") {
                self.materials.remove(word);
                if !code.is_empty() {
                    self.materials.insert(word.to_owned(), code.clone());
                }
            }
        }
    }
}

/// The values of the names that are a prefix and a column; what cannot be read is no choice.
fn by_column<T: std::str::FromStr>(posted: &Pairs, prefix: &str) -> BTreeMap<usize, T> {
    let column = |(key, value): &(String, String)| {
        Some((key.strip_prefix(prefix)?.parse().ok()?, value.parse().ok()?))
    };
    posted.iter().filter_map(column).collect()
}
