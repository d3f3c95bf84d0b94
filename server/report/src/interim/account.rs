//! The report as a sequence of sections and blocks, in words: what both renderings show and neither adds to.
use super::catalogue::{self, Entry};
use super::chapters;
use super::completeness;
use super::conservation;
use super::dated;
use super::input::{Author, Interim};
use super::opinions::FindOpinions;
use super::register::Register;
use super::rings;
use super::rows;
use super::summary;
use super::tables::{Table, quantities};
use super::wording::{listed, long_day, paragraphs, sentence};
use serde::Serialize;

/// A whole report, ready to be shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Account {
    /// What kind of document it is.
    pub kind: &'static str,
    /// Site code.
    pub code: String,
    pub title: String,
    pub site: String,
    /// The day the records were read.
    pub reported_on: String,
    /// Names of those who prepared it.
    pub authors: Vec<String>,
    /// How far the reader may rely on it.
    pub standing: String,
    /// What a report must say of itself, as labels and values.
    pub particulars: Vec<Fact>,
    pub sections: Vec<Section>,
}

/// A label and what it stands for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fact {
    pub label: String,
    pub value: String,
}

/// A numbered section; level 2 lies within the level 1 before it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Section {
    /// "4" or "4.2".
    pub number: String,
    pub level: u8,
    pub title: String,
    pub blocks: Vec<Block>,
}

/// A part of a section.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "block", rename_all = "snake_case")]
pub enum Block {
    Paragraph { text: String },
    Points { items: Vec<String> },
    Table { table: Table },
    Opinions { finds: Vec<FindOpinions> },
    Plates { plates: Vec<Plate> },
    Bibliography { items: Vec<String> },
    Catalogue { entries: Vec<Entry> },
}

/// A photograph with its caption.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Plate {
    pub number: usize,
    /// Name of the picture in the input.
    pub name: String,
    pub finds: Vec<String>,
    /// Caption with the find numbers and whoever made the picture.
    pub caption: String,
    pub alt: String,
}

impl Fact {
    /// A label and what it stands for.
    pub fn new(label: &str, value: impl Into<String>) -> Self {
        Self { label: label.to_owned(), value: value.into() }
    }
}

impl Block {
    /// A paragraph.
    pub fn paragraph(text: impl Into<String>) -> Self {
        Self::Paragraph { text: text.into() }
    }

    /// A table.
    pub fn table(table: Table) -> Self {
        Self::Table { table }
    }
}

impl Section {
    /// A section not yet numbered.
    pub fn new(level: u8, title: &str, blocks: Vec<Block>) -> Self {
        Self { number: String::new(), level, title: title.to_owned(), blocks }
    }

    /// Whether it lists every find; on a screen that is a page of its own.
    pub fn is_catalogue(&self) -> bool {
        self.blocks.iter().any(|block| matches!(block, Block::Catalogue { .. }))
    }
}

impl Account {
    /// Draws up the account: counts, words, order and numbering.
    pub fn of(interim: &Interim) -> Self {
        let register = Register::new(interim);
        let mut sections = vec![Section::new(1, "Summary", summary::blocks(&register))];
        let circumstances: Vec<Block> =
            paragraphs(&interim.circumstances).into_iter().map(Block::paragraph).collect();
        if !circumstances.is_empty() {
            sections.push(Section::new(1, "Site and circumstances", circumstances));
        }
        if register.finds.is_empty() {
            sections.push(Section::new(
                1,
                "Numbers",
                vec![Block::paragraph("There is nothing to count yet.")],
            ));
        } else {
            sections.extend(numbers(&register));
            sections.extend(dated::section(&register));
            sections.extend(chapters::sections(&register));
            sections.extend(rows::sections(&register));
            sections.extend(rings::section(&register));
            sections.push(Section::new(1, "Conservation state", conservation::blocks(&register)));
        }
        if !register.photographs.is_empty() {
            sections.push(Section::new(1, "Photographs", vec![Block::Plates { plates: plates(&register) }]));
        }
        sections.push(Section::new(1, "What is outstanding", completeness::blocks(&register)));
        if !interim.bibliography.is_empty() {
            let items = interim.bibliography.clone();
            sections.push(Section::new(1, "Bibliography", vec![Block::Bibliography { items }]));
        }
        sections.push(Section::new(1, "Catalogue", catalogue::blocks(&register)));
        number(&mut sections);
        Self {
            kind: "Interim report",
            code: interim.code.clone(),
            title: interim.title.clone(),
            site: interim.site.clone(),
            reported_on: long_day(interim.reported_on),
            authors: interim.prepared_by.iter().map(|author| author.name.clone()).collect(),
            standing: summary::standing(&register),
            particulars: particulars(interim),
            sections,
        }
    }

    /// The photographs in order.
    pub fn plates(&self) -> impl Iterator<Item = &Plate> {
        let blocks = self.sections.iter().flat_map(|section| &section.blocks);
        blocks.flat_map(|block| match block {
            Block::Plates { plates } => plates.as_slice(),
            _ => &[],
        })
    }
}

/// A person as credited: "Odile Marchbank, ACR".
pub fn credited(author: &Author) -> String {
    match author.qualification.trim() {
        "" => author.name.clone(),
        qualification => format!("{}, {qualification}", author.name),
    }
}

fn numbers(register: &Register) -> Vec<Section> {
    vec![
        Section::new(1, "Numbers", Vec::new()),
        Section::new(
            2,
            "By material and stage",
            vec![Block::table(quantities::by_material_and_stage(register))],
        ),
        Section::new(2, "By phase", vec![Block::table(quantities::by_phase(register))]),
        Section::new(2, "By context", vec![Block::table(quantities::by_context(register))]),
    ]
}

fn plates(register: &Register) -> Vec<Plate> {
    let numbered = register.photographs.iter().zip(1..);
    numbered
        .map(|(picture, number)| {
            let finds = match picture.finds.as_slice() {
                [] => String::new(),
                [one] => format!("Find {one}: "),
                many => format!("Finds {}: ", listed(many)),
            };
            let credit = picture.credit.trim();
            let credit = (!credit.is_empty()).then(|| format!("Photograph: {credit}."));
            let caption = sentence(&picture.caption);
            let caption = if caption.is_empty() { "no caption recorded.".to_owned() } else { caption };
            let parts = [Some(format!("{finds}{caption}")), credit];
            Plate {
                number,
                name: picture.name.clone(),
                finds: picture.finds.clone(),
                caption: parts.into_iter().flatten().collect::<Vec<_>>().join(" "),
                alt: described(&picture.alt, &picture.finds),
            }
        })
        .collect()
}

/// What a picture shows; a picture that nobody has described is at least called by its finds.
fn described(alt: &str, finds: &[String]) -> String {
    match (alt.trim(), finds) {
        ("", []) => "Photograph, not described.".to_owned(),
        ("", finds) => format!("Photograph of {}, not described.", finds.join(", ")),
        (alt, _) => alt.to_owned(),
    }
}

fn particulars(interim: &Interim) -> Vec<Fact> {
    let mut facts =
        vec![Fact::new("Site", interim.site.as_str()), Fact::new("Site code", interim.code.as_str())];
    facts.extend(interim.client.as_deref().map(|client| Fact::new("Client", client)));
    facts.push(match interim.recorded {
        Some((first, last)) if first == last => Fact::new("Recorded", long_day(first)),
        Some((first, last)) => Fact::new("Recorded", format!("{} to {}", long_day(first), long_day(last))),
        None => Fact::new("Recorded", "not stated"),
    });
    facts.push(Fact::new("Reported", long_day(interim.reported_on)));
    let authors: Vec<String> = interim.prepared_by.iter().map(credited).collect();
    let authors = if authors.is_empty() { "not stated".to_owned() } else { authors.join("; ") };
    facts.push(Fact::new("Prepared by", authors));
    facts.extend(interim.repository.as_deref().map(|place| Fact::new("Archive", place)));
    facts
}

/// Numbers sections ("4", "4.2") and tables (from 1) in reading order.
fn number(sections: &mut [Section]) {
    let (mut chapter, mut part, mut tables) = (0, 0, 0);
    for section in sections {
        if section.level == 1 {
            (chapter, part) = (chapter + 1, 0);
            section.number = chapter.to_string();
        } else {
            part += 1;
            section.number = format!("{chapter}.{part}");
        }
        for block in &mut section.blocks {
            if let Block::Table { table } = block {
                tables += 1;
                table.number = tables;
            }
        }
    }
}
