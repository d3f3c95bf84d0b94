//! The label of a box, A6 across: its name can be read from the other end of the store.
use super::LabelError;
use crate::interim::wording::{capital, day};
use crate::typeset::{self, Files, Printing, Template};
use chrono::NaiveDate;
use serde::Serialize;

const LABEL: Template =
    Template { main: include_str!("../../../../templates/report/box_label.typ"), parts: &[typeset::HOUSE] };
/// Numbers that a label lists; the page of the box lists all.
const MOST_NUMBERS: usize = 60;

/// What the label of a box says.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxLabel {
    pub site_code: String,
    pub name: String,
    /// Numbers of the finds in it.
    pub finds: Vec<String>,
    pub materials: Vec<String>,
    /// The climate aimed at: “at or below 12 % RH”.
    pub climate: String,
    /// “300 g silica gel”.
    pub gel: String,
    pub sealed_on: Option<NaiveDate>,
    pub next_check_on: Option<NaiveDate>,
    pub gross_kg: Option<f64>,
    /// How it is lifted, and what else to beware of.
    pub cautions: Vec<String>,
    /// The address that opens the box.
    pub url: String,
}

#[derive(Serialize)]
struct Printed {
    site: String,
    name: String,
    finds: String,
    materials: String,
    /// Label and words of each line.
    lines: Vec<(&'static str, String)>,
    caution: String,
    code: &'static str,
}

/// The label as PDF, one page of A6.
///
/// # Errors
/// [`LabelError::Address`] when the address cannot be a code.
pub fn box_pdf(label: &BoxLabel, printed_on: NaiveDate) -> Result<Vec<u8>, LabelError> {
    let code = typeset::qr(&label.url).ok_or_else(|| LabelError::Address(label.name.clone()))?;
    let mut files = Files::new();
    files.insert("code.svg".into(), code.into_bytes());
    let identity = format!("box {} {printed_on}", label.name);
    Ok(typeset::compile(
        &LABEL,
        &in_words(label),
        files,
        &Printing { identity: &identity, date: printed_on },
    )?)
}

fn in_words(label: &BoxLabel) -> Printed {
    let shown = label.finds.iter().take(MOST_NUMBERS).cloned().collect::<Vec<_>>().join(", ");
    let finds = match label.finds.len() {
        0 => "empty".to_owned(),
        many if many > MOST_NUMBERS => format!("{shown} and {} more", many - MOST_NUMBERS),
        _ => shown,
    };
    let mass = label.gross_kg.map(|mass| format!("{} kg", (mass * 10.0).round() / 10.0));
    let days = |at: Option<NaiveDate>| at.map(day).unwrap_or_default();
    let mut lines = vec![
        ("Climate", label.climate.clone()),
        ("Gel", label.gel.clone()),
        ("Sealed", days(label.sealed_on)),
        ("Look at it", days(label.next_check_on)),
        ("Gross mass", mass.unwrap_or_default()),
    ];
    lines.retain(|(_, words)| !words.is_empty());
    Printed {
        site: label.site_code.clone(),
        name: label.name.clone(),
        finds,
        materials: capital(&label.materials.join(", ").to_lowercase()),
        lines,
        caution: label.cautions.join(" "),
        code: "code.svg",
    }
}
