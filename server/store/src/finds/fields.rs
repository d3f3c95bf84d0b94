//! A find's words field by field, as forms name them: to tell what a change changed and to lay two versions side by side.
use super::NewFind;
use crate::journal::{self, Entry};

/// One field: its name in forms, its label, what it holds as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    pub name: &'static str,
    pub label: &'static str,
    pub value: String,
}

/// Every field of a find but its number, context and place, in the order of the form.
pub fn fields(find: &NewFind) -> Vec<Field> {
    let text = |words: &str| words.to_owned();
    let number = |value: Option<f64>| value.map(|v| v.to_string()).unwrap_or_default();
    let rows: [(&'static str, &'static str, String); 25] = [
        ("kind", "Kind", text(if find.bulk { "bulk" } else { "single" })),
        ("material", "Material group", text(&find.material)),
        ("material_words", "Material in words", text(&find.material_words)),
        ("object_type", "Object", text(&find.object_type)),
        ("description", "Description", text(&find.description)),
        ("quantity", "Quantity", find.quantity.to_string()),
        ("weight_g", "Mass, g", number(find.weight_g)),
        ("fragments", "Fragments", find.fragments.map(|n| n.to_string()).unwrap_or_default()),
        ("recovered_on", "Recovered on", find.recovered_on.map(|d| d.to_string()).unwrap_or_default()),
        ("recovered_by", "Recovered by", text(&find.recovered_by)),
        ("recovery_method", "Recovery method", text(&find.recovery_method)),
        ("recovered_state", "State on recovery", text(find.recovered_state.code())),
        ("sample_number", "Sample", text(&find.sample_number)),
        ("easting_m", "Easting, m", number(find.easting_m)),
        ("northing_m", "Northing, m", number(find.northing_m)),
        ("height_m", "Height, m", number(find.height_m)),
        ("length_mm", "Length, mm", number(find.length_mm)),
        ("width_mm", "Width, mm", number(find.width_mm)),
        ("thickness_mm", "Thickness, mm", number(find.thickness_mm)),
        ("diameter_mm", "Diameter, mm", number(find.diameter_mm)),
        ("period", "Period", text(&find.period)),
        ("completeness_pct", "Completeness, %", number(find.completeness_pct)),
        ("condition_note", "Condition", text(&find.condition_note)),
        ("accession_number", "Accession number", text(&find.accession_number)),
        ("note", "Note", text(&find.note)),
    ];
    let restricted = if find.restricted { "yes" } else { "no" };
    let rows = rows.into_iter().chain([("restricted", "Restricted", text(restricted))]);
    rows.map(|(name, label, value)| Field { name, label, value }).collect()
}

/// What differs between two versions: label, before, after.
pub fn changes(before: &NewFind, after: &NewFind) -> Vec<(&'static str, String, String)> {
    let pairs = fields(before).into_iter().zip(fields(after));
    pairs.filter(|(a, b)| a.value != b.value).map(|(a, b)| (a.label, a.value, b.value)).collect()
}

/// A change in words for the journal: “changed Mass, g from 12 to 13; Object from … to …”, and apart from it, for those who
/// may know it, the exact findspot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangeWords {
    pub open: String,
    pub findspot: Option<String>,
}

/// Labels of the fields that tell the exact findspot.
const FINDSPOT: &[&str] = &["Easting, m", "Northing, m", "Height, m"];

impl ChangeWords {
    /// What differs between two versions, and what else changed: label, before, after.
    pub fn of(
        before: &NewFind,
        after: &NewFind,
        also: impl IntoIterator<Item = (&'static str, String, String)>,
    ) -> Self {
        let differs = changes(before, after).into_iter().chain(also);
        let (exact, open): (Vec<_>, Vec<_>) = differs.partition(|(label, _, _)| FINDSPOT.contains(label));
        let findspot = (!exact.is_empty()).then(|| in_words(exact));
        let open = match (open.is_empty(), &findspot) {
            (true, None) => "saved without a change".into(),
            (true, Some(_)) => "changed the exact findspot".into(),
            (false, _) => in_words(open),
        };
        Self { open, findspot }
    }

    /// The entries that tell it, like the given one but for words and verb.
    pub fn entries(self, like: &Entry, said: impl Fn(String) -> String) -> Vec<Entry> {
        let open = Entry { words: said(self.open), ..like.clone() };
        let exact =
            self.findspot.map(|words| Entry { words: said(words), verb: journal::FINDSPOT, ..like.clone() });
        std::iter::once(open).chain(exact).collect()
    }
}

fn in_words(differs: Vec<(&'static str, String, String)>) -> String {
    let shown = |value: String| {
        if value.is_empty() { "nothing".to_owned() } else { format!("“{}”", shorten(&value)) }
    };
    let parts: Vec<String> = differs
        .into_iter()
        .map(|(label, old, new)| format!("{label} from {} to {}", shown(old), shown(new)))
        .collect();
    format!("changed {}", parts.join("; "))
}

fn shorten(words: &str) -> String {
    if words.chars().count() <= 80 {
        return words.to_owned();
    }
    words.chars().take(79).chain(['…']).collect()
}
