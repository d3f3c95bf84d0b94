//! When two people saved the same record: both versions side by side, field by field, own words still in the form.

/// A field that differs: what was typed, and what was saved meanwhile.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    pub name: &'static str,
    pub label: &'static str,
    pub mine: String,
    pub theirs: String,
}

/// What the page of a conflict shows above the form.
#[derive(Debug, Clone, Default)]
pub struct Conflict {
    pub clashes: Vec<Clash>,
}

impl Conflict {
    /// The fields that differ between what was typed and what is now kept.
    pub fn between(
        mine: &[(&'static str, &'static str, String)],
        theirs: &[(&'static str, &'static str, String)],
    ) -> Self {
        let pairs = mine.iter().zip(theirs).filter(|(a, b)| a.2 != b.2);
        let clashes = pairs
            .map(|(a, b)| Clash { name: a.0, label: a.1, mine: a.2.clone(), theirs: b.2.clone() })
            .collect();
        Self { clashes }
    }
}
