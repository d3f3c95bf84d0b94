//! A computed figure that opens to its working.
use calc::{Basis, Source};

/// A figure, display-ready; the macro `source::figure` shows it.
#[derive(Debug, Clone)]
pub(crate) struct Figure {
    pub name: &'static str,
    pub value: String,
    pub formula: String,
    /// What went in, each with its unit.
    pub inputs: Vec<(&'static str, String)>,
    pub limits: String,
    /// What the rule does not cover; empty where there is nothing to say.
    pub caution: String,
    pub source: String,
}

impl Figure {
    /// A figure reached by a rule that says where it comes from.
    pub(crate) fn of(
        name: &'static str,
        value: String,
        basis: &Basis,
        inputs: Vec<(&'static str, String)>,
    ) -> Self {
        let sources: Vec<String> = basis.sources.iter().map(Source::to_string).collect();
        Self {
            name,
            value,
            formula: basis.formula.into(),
            inputs,
            limits: basis.range.into(),
            caution: basis.caution.into(),
            source: sources.join("; "),
        }
    }
}

/// A number with so many decimals and a true minus sign.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let is_nought = text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.'));
    if is_nought { text.trim_start_matches('-').to_owned() } else { text.replace('-', "−") }
}

/// A number to so many figures in plain notation, thousands apart left out: 0.0124, 1.5, 348.
pub(crate) fn figures(value: f64, count: usize) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let wanted = count as f64 - 1.0 - value.abs().log10().floor();
    fixed(value, wanted.clamp(0.0, 9.0) as usize)
}
