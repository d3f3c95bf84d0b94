//! The note that travels with objects: what went, how it is packed, when it is due, and where both sides sign.
use crate::interim::wording::{capital, counted, long_day};
use crate::typeset::{self, Files, Printing, Template, TypesetError};
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

const DISPATCH_NOTE: Template = Template {
    main: include_str!("../../../../templates/report/dispatch_note.typ"),
    parts: &[typeset::HOUSE],
};

/// A note. Whoever assembles it leaves out what may not be printed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DispatchNote {
    /// What it is called: “VSQ31 D4”.
    pub name: String,
    pub project: String,
    pub site: String,
    pub recipient: String,
    pub address: String,
    pub purpose: String,
    pub packing: String,
    pub carrier: String,
    pub insurer: String,
    /// What may be sampled; empty: nothing.
    pub sampling: String,
    pub sent_on: NaiveDate,
    pub due_on: NaiveDate,
    pub sent_by: String,
    pub lines: Vec<NoteLine>,
    /// Lines that are not printed here.
    pub left_out: usize,
    /// The address where arrival and return are recorded.
    pub url: String,
}

/// One find.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NoteLine {
    pub number: String,
    pub what: String,
    pub material: String,
    /// 0 when only weighed.
    pub pieces: i64,
    pub mass_g: Option<f64>,
    pub condition: String,
}

/// Why a note was not printed.
#[derive(Debug, thiserror::Error)]
pub enum DispatchNoteError {
    #[error("the address of {0} is too long for a code")]
    Address(String),
    #[error(transparent)]
    Typeset(#[from] TypesetError),
}

#[derive(Serialize)]
struct Paper<'a> {
    name: &'a str,
    project: &'a str,
    site: &'a str,
    code: &'static str,
    facts: Vec<Fact<'a>>,
    lines: Vec<Printed>,
    total: String,
    left_out: String,
    due_on: String,
    sent_on: String,
    sent_by: &'a str,
    recipient: &'a str,
}

#[derive(Serialize)]
struct Fact<'a> {
    label: &'static str,
    value: std::borrow::Cow<'a, str>,
}

/// A line in words.
#[derive(Serialize)]
struct Printed {
    number: String,
    what: String,
    material: String,
    pieces: String,
    mass: String,
    condition: String,
}

/// The note as PDF, its lines in the order given.
///
/// # Errors
/// [`DispatchNoteError::Address`] when the address cannot be a code.
pub fn pdf(note: &DispatchNote, printed_on: NaiveDate) -> Result<Vec<u8>, DispatchNoteError> {
    let code = typeset::qr(&note.url).ok_or_else(|| DispatchNoteError::Address(note.name.clone()))?;
    let files = Files::from([("code.svg".to_owned(), code.into_bytes())]);
    let paper = Paper {
        name: &note.name,
        project: &note.project,
        site: &note.site,
        code: "code.svg",
        facts: facts(note),
        lines: note.lines.iter().map(printed).collect(),
        total: total(&note.lines),
        left_out: match note.left_out {
            0 => String::new(),
            n => format!("{} not printed here.", counted(n, "further line is", "further lines are")),
        },
        due_on: long_day(note.due_on),
        sent_on: long_day(note.sent_on),
        sent_by: &note.sent_by,
        recipient: &note.recipient,
    };
    let identity = format!("dispatch note {}", note.url);
    let printing = Printing { identity: &identity, date: printed_on };
    Ok(typeset::compile(&DISPATCH_NOTE, &paper, files, &printing)?)
}

fn facts(note: &DispatchNote) -> Vec<Fact<'_>> {
    let sampling: &str = if note.sampling.is_empty() { "not permitted" } else { &note.sampling };
    let words = [
        ("To", note.recipient.as_str()),
        ("Address", note.address.as_str()),
        ("What for", note.purpose.as_str()),
        ("Packing", note.packing.as_str()),
        ("Carrier", note.carrier.as_str()),
        ("Insurer", note.insurer.as_str()),
        ("Sampling", sampling),
    ];
    let mut facts: Vec<Fact> = words
        .into_iter()
        .filter(|(_, value)| !value.is_empty())
        .map(|(label, value)| Fact { label, value: value.into() })
        .collect();
    facts.push(Fact {
        label: "Sent",
        value: format!("{}, by {}", long_day(note.sent_on), note.sent_by).into(),
    });
    facts.push(Fact { label: "Due back", value: long_day(note.due_on).into() });
    facts
}

fn printed(line: &NoteLine) -> Printed {
    Printed {
        number: line.number.clone(),
        what: capital(line.what.trim()),
        material: line.material.clone(),
        pieces: if line.pieces == 0 { "–".into() } else { line.pieces.to_string() },
        mass: line.mass_g.map_or_else(|| "–".into(), grams),
        condition: line.condition.clone(),
    }
}

/// “3 finds, 19 pieces, 84.1 g”, leaving out what was not counted or weighed throughout.
fn total(lines: &[NoteLine]) -> String {
    if lines.is_empty() {
        return String::new();
    }
    let pieces: i64 = lines.iter().map(|line| line.pieces).sum();
    let mut parts = vec![counted(lines.len(), "find", "finds")];
    if lines.iter().all(|line| line.pieces > 0) {
        parts.push(counted(usize::try_from(pieces).unwrap_or(0), "piece", "pieces"));
    }
    let mass: Option<f64> = lines.iter().map(|line| line.mass_g).sum();
    parts.extend(mass.map(|mass| format!("{}\u{a0}g", grams(mass))));
    parts.join(", ")
}

fn grams(mass_g: f64) -> String {
    let text = format!("{mass_g:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
