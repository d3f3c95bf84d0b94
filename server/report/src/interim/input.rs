//! What an interim report is made of. Whoever assembles it decides what may be seen: restricted finds are left out
//! before they come here.
use chrono::NaiveDate;
use domain::examination::{Method, Verdict};
use domain::stages::{Stage, StageState};
use serde::{Deserialize, Serialize};

/// Everything an interim report is drawn from; the only input of both its renderings.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Interim {
    /// Site code.
    pub code: String,
    pub title: String,
    /// Name and place of the site.
    pub site: String,
    pub client: Option<String>,
    /// Where the archive goes, with its accession number.
    pub repository: Option<String>,
    /// The project's own account of site and circumstances; a line break parts paragraphs. May be empty.
    pub circumstances: String,
    /// First and last day on which what is reported here was recorded.
    pub recorded: Option<(NaiveDate, NaiveDate)>,
    /// The day the records were read for this report.
    pub reported_on: NaiveDate,
    pub prepared_by: Vec<Author>,
    /// Material groups in the order of their chapters; a group not named here follows at the end.
    pub groups: Vec<String>,
    pub contexts: Vec<ContextLine>,
    pub finds: Vec<FindLine>,
    pub opinions: Vec<OpinionLine>,
    pub settlements: Vec<SettlementLine>,
    /// Finds judged residual or intrusive where they lie.
    pub judgements: Vec<JudgementLine>,
    /// What specialists recorded row by row.
    pub rows: Vec<RowsLine>,
    /// Ring diameters against lists of moulds.
    pub rings: Vec<RingsLine>,
    pub photographs: Vec<Photograph>,
    pub outstanding: Vec<OutstandingWork>,
    pub bibliography: Vec<String>,
    /// What the assembler knows to be missing, one sentence each, beside what is computed here.
    pub completeness: Vec<String>,
    /// How many finds were left out because they are restricted; 0 says nothing of it.
    pub restricted_left_out: usize,
}

/// A person to whom words are credited.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Author {
    pub name: String,
    /// Degree, post or field; empty when not recorded.
    pub qualification: String,
}

/// A context as far as the tables ask.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ContextLine {
    pub number: String,
    pub phase: Option<String>,
    /// What it is thought to be.
    pub interpretation: String,
    /// What its finds and fixed years say of its age.
    pub dated: Option<TerminusLine>,
}

/// The limits of the age of a context. They are limits, not a date.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct TerminusLine {
    /// The year it formed no earlier than: "AD 270".
    pub post_quem: Option<String>,
    /// The find that sets that year, with its date and, where it lies in another context, that context.
    pub set_by: String,
    /// The year without that find.
    pub without: String,
    /// The year by which it was there, and whose year that is.
    pub ante_quem: Option<String>,
    /// What contradicts itself, a sentence each.
    pub conflicts: Vec<String>,
}

/// Somebody's judgement that a find is older or later than the context it lies in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct JudgementLine {
    pub find: String,
    pub context: String,
    /// "residual", "intrusive".
    pub origin: String,
    pub reason: String,
    pub by: String,
    pub on: NaiveDate,
}

/// The rows of one specialist in one discipline, in the version that stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RowsLine {
    pub discipline: String,
    pub author: Author,
    pub version: u32,
    pub submitted_on: NaiveDate,
    /// "24 rows, 118 pieces, 1240.5 g".
    pub together: String,
    /// Name of each column, and whether numbers stand in it.
    pub heads: Vec<(String, bool)>,
    pub rows: Vec<PartLine>,
    /// Sums by the words of a column.
    pub by: Vec<WordSums>,
    /// Where rows and register disagree: "12: 11 pieces in the rows, 12 in the register".
    pub differences: Vec<String>,
    /// Why they do, in the author's words.
    pub note: String,
}

/// A row: a find or a part of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PartLine {
    pub find: String,
    /// Which part; empty for the whole.
    pub part: String,
    /// One for each head.
    pub cells: Vec<String>,
}

/// Rows together by what they say in one column.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WordSums {
    pub column: String,
    /// Word, rows, pieces, mass in g; empty where no row says it.
    pub lines: Vec<[String; 4]>,
}

/// Ring diameters of a find as measured last, against one list of moulds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RingsLine {
    pub find: String,
    /// "11.8, 23.7, 37.3 mm".
    pub measured: String,
    /// Who measured, and when.
    pub by: String,
    /// Name and source of the list.
    pub list: String,
    /// What may be said, in a sentence; near ties are said to be ties.
    pub finding: String,
    /// The moulds that fit best: "A, 56.0 % of the weight, scale 0.980".
    pub nearest: Vec<String>,
}

/// One find: a line of the register and an entry of the catalogue.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FindLine {
    pub number: String,
    /// Number of its context.
    pub context: Option<String>,
    /// Material group, by name.
    pub group: String,
    /// Material in the register's own words.
    pub material: String,
    /// What it is now thought to be.
    pub identification: String,
    pub description: String,
    /// Bulk, by context and material, rather than registered singly.
    pub bulk: bool,
    /// Pieces; `None` when nobody has counted.
    pub pieces: Option<u32>,
    /// Grams; `None` when nobody has weighed.
    pub weight_g: Option<f64>,
    pub dimensions: Vec<Dimension>,
    /// Condition in the register's words, where nobody has assessed it.
    pub condition: Option<String>,
    /// The latest condition assessment.
    pub assessed: Option<AssessmentLine>,
    /// The earliest first.
    pub examined: Vec<ExaminationLine>,
    /// The earliest first.
    pub treated: Vec<TreatmentLine>,
    pub date: Option<DateStatement>,
    pub parallel: Option<String>,
    /// The stage it stands at and how it stands there.
    pub stage: Stage,
    pub state: StageState,
    pub hold: Option<Hold>,
    /// Work stages of its route; a stage without a mark was not needed.
    pub work: Vec<WorkMark>,
    /// Whether it has an entry in the catalogue.
    pub catalogued: bool,
}

/// A condition assessment, in the words of the project's scales.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct AssessmentLine {
    pub on: NaiveDate,
    pub condition: String,
    pub stability: String,
    /// What was seen, apart from any cause: "crack, rim, 5 %".
    pub seen: Vec<String>,
    pub risk: String,
    pub recommendation: String,
}

/// An examination with the question it was to answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ExaminationLine {
    pub on: NaiveDate,
    pub method: Method,
    pub question: String,
    pub result: Verdict,
    pub seen: String,
}

/// A treatment step by its closed record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TreatmentLine {
    pub stage: Stage,
    pub on: NaiveDate,
    pub by: String,
    pub method: String,
    /// With batch and concentration, where they are known.
    pub materials: String,
    pub removed: String,
    pub outcome: String,
    /// How it went beyond the level agreed; empty when it did not.
    pub beyond: String,
}

/// A measurement, for example `L` 42.0 mm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Dimension {
    /// `L`, `W`, `Th`, `Diam`, …
    pub of: String,
    pub mm: f64,
}

/// A date as somebody put it, with the range computed from it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DateStatement {
    /// As written.
    pub words: String,
    /// The computed range, for people: "AD 1368–1467".
    pub range: Option<String>,
    /// The rule by which words became a range.
    pub rule: Option<String>,
}

/// Why a find waits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hold {
    pub reason: String,
    pub since: NaiveDate,
}

/// How far one stage of work on one find has come, by its working record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkMark {
    pub stage: Stage,
    pub state: StageState,
    /// How far it went, in the words of the record: the cleaning level, the way of packing.
    pub extent: Option<String>,
}

/// One submitted opinion, in its latest version.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpinionLine {
    /// Number of the find.
    pub find: String,
    /// One author, or several for a joint opinion.
    pub authors: Vec<Author>,
    pub submitted_on: NaiveDate,
    pub version: u32,
    pub preliminary: bool,
    /// What was before the author's eyes, in words: "the object", "images and X-rays".
    pub seen_as: String,
    /// Who entered it for the author from what, and whether the author has confirmed it; `None` when the author submitted it.
    pub entered: Option<String>,
    pub identification: String,
    /// "certain", "probable", "possible".
    pub confidence: Option<String>,
    pub dates: Vec<DateGiven>,
    pub material: Option<String>,
    pub origin: Option<String>,
    /// One to a line; that none was found is said here too.
    pub parallels: Vec<String>,
    pub basis: String,
    pub negative_findings: String,
    pub significance: String,
    /// Each with its days and cost where they are known.
    pub recommendations: Vec<String>,
    /// Numbers of the other finds that the same opinion covers.
    pub covers: Vec<String>,
}

/// A date with what it is the date of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DateGiven {
    /// "Made", "In use", "Deposited", "Scientific date".
    pub kind: String,
    pub date: DateStatement,
}

/// The editor's decision on the opinions of one find.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SettlementLine {
    pub find: String,
    /// "agreed", "majority", "unresolved".
    pub outcome: String,
    pub identification: String,
    pub date: Option<DateStatement>,
    pub reason: String,
    pub settled_by: Author,
    pub settled_on: NaiveDate,
    /// What happened since that opens it again, with its day.
    pub reopened: Option<String>,
    pub dissent: Vec<Dissent>,
}

/// A view that the settlement did not follow, in its author's words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dissent {
    pub author: Author,
    pub words: String,
}

/// A photograph chosen for the report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Photograph {
    /// A name by which the page that shows the report finds the picture; unique in the report.
    pub name: String,
    /// JPEG at print size, stripped of metadata. Not needed for the page.
    #[serde(skip)]
    pub jpeg: Vec<u8>,
    pub caption: String,
    /// Who made it.
    pub credit: String,
    pub finds: Vec<String>,
    /// What it shows, for those who cannot see it.
    pub alt: String,
}

/// Work that somebody still owes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OutstandingWork {
    pub find: Option<String>,
    pub what: String,
    pub who: Option<String>,
    pub due_on: Option<NaiveDate>,
}
