//! The table of solvents. Every value has its source in a column of the same file; what is from memory says so there.
use crate::words::fold;
use std::sync::LazyLock;

/// A solvent as the table has it; what the table does not know is `None` or empty.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
pub struct Solvent {
    pub name: String,
    pub trade_name: String,
    /// Chemical Abstracts registry number.
    pub cas: String,
    /// °C at 101 325 Pa.
    #[serde(rename = "boiling_point_c")]
    pub boiling_c: Option<f64>,
    /// g/mol.
    pub molar_mass_g_mol: Option<f64>,
    /// Closed cup, °C.
    #[serde(rename = "flash_point_c")]
    pub flash_c: Option<f64>,
    /// Eight-hour mean.
    pub wel_twa_ppm: Option<f64>,
    pub wel_twa_mg_m3: Option<f64>,
    /// Fifteen-minute mean.
    pub wel_stel_ppm: Option<f64>,
    pub wel_stel_mg_m3: Option<f64>,
    /// Sk: through the skin; BMGV: biological monitoring.
    pub wel_notation: String,
    /// Codes of hazard statements.
    #[serde(rename = "h_statements")]
    pub hazards: String,
    pub caution: String,
    #[serde(rename = "source_molar_boiling_density")]
    pub boiling_source: String,
    #[serde(rename = "source_flash")]
    pub flash_source: String,
    /// Edition, year and how well it was seen.
    #[serde(rename = "source_wel")]
    pub wel_source: String,
    #[serde(rename = "source_h")]
    pub hazards_source: String,
}

/// Other names of the bench, folded, with the name in the table (common practice, no source).
const ALSO: &[(&str, &str)] = &[
    ("de ionised water", "water"),
    ("demineralised water", "water"),
    ("distilled water", "water"),
    ("purified water", "water"),
    ("isopropyl alcohol", "propan-2-ol"),
    ("2 propanol", "propan-2-ol"),
    ("ipa", "propan-2-ol"),
    ("mek", "butan-2-one"),
    ("xylene", "o-xylene"),
    ("iso octane", "2,2,4-trimethylpentane"),
    ("ims", "industrial methylated spirit (IMS)"),
    ("industrial methylated spirit", "industrial methylated spirit (IMS)"),
    ("dearomatised white spirit", "white spirit, dearomatised"),
    ("low aromatic white spirit", "white spirit, dearomatised"),
];

static TABLE: LazyLock<Vec<Solvent>> = LazyLock::new(|| {
    let mut reader = csv::Reader::from_reader(include_str!("solvents.csv").as_bytes());
    reader.deserialize().collect::<Result<_, _>>().expect("the embedded table is whole: a test reads it")
});

/// Name, trade name and registry number of each, folded.
static NAMES: LazyLock<Vec<[String; 3]>> =
    LazyLock::new(|| TABLE.iter().map(|s| [fold(&s.name), fold(&s.trade_name), fold(&s.cas)]).collect());

/// Every solvent of the table, in its order.
pub fn all() -> &'static [Solvent] {
    &TABLE
}

/// The solvent of a name, a trade name or a registry number, however it is spelt with capitals and hyphens.
///
/// ```
/// assert_eq!(domain::solvents::find("Isopropanol").map(|s| s.name.as_str()), Some("propan-2-ol"));
/// assert!(domain::solvents::find("white spirit").is_none(), "there are two kinds: say which");
/// ```
pub fn find(words: &str) -> Option<&'static Solvent> {
    let wanted = fold(words);
    if wanted.is_empty() {
        return None;
    }
    let also = ALSO.iter().find(|(other, _)| *other == wanted).map(|(_, name)| fold(name));
    let wanted = also.unwrap_or(wanted);
    let at = NAMES.iter().position(|names| names.contains(&wanted))?;
    all().get(at)
}

/// Names of the table that share a word with what was typed, a few of them.
pub fn near(words: &str) -> Vec<&'static str> {
    let folded = fold(words);
    let typed: Vec<&str> = folded.split(' ').filter(|word| word.len() > 2).collect();
    let shares =
        |name: &String| typed.iter().any(|word| name.contains(&word.chars().take(4).collect::<String>()));
    let fitting = |by: usize| {
        let all = all().iter().zip(NAMES.iter()).filter(|(_, names)| shares(&names[by]));
        all.map(|(solvent, _)| solvent.name.as_str()).take(3).collect::<Vec<_>>()
    };
    let by_name = fitting(0);
    if by_name.is_empty() { fitting(1) } else { by_name }
}

impl Solvent {
    /// The flash point in words, with its source.
    pub fn flash(&self) -> String {
        match self.flash_c {
            Some(c) => format!("{c} °C ({})", self.flash_source),
            None => "none in the table".into(),
        }
    }

    /// The limit of exposure in words, without its source.
    pub fn limit(&self) -> String {
        let pair = |ppm: Option<f64>, mg: Option<f64>| match (ppm, mg) {
            (Some(ppm), Some(mg)) => Some(format!("{ppm} ppm ({mg} mg/m³)")),
            (Some(ppm), None) => Some(format!("{ppm} ppm")),
            (None, mg) => mg.map(|mg| format!("{mg} mg/m³")),
        };
        let long = pair(self.wel_twa_ppm, self.wel_twa_mg_m3).map(|words| format!("{words} over 8 h"));
        let short = pair(self.wel_stel_ppm, self.wel_stel_mg_m3).map(|words| format!("{words} over 15 min"));
        let mut parts: Vec<String> = [long, short].into_iter().flatten().collect();
        if parts.is_empty() {
            return "none in the table".into();
        }
        if self.wel_notation.contains("Sk") {
            parts.push("goes through the skin".into());
        }
        parts.join("; ")
    }
}
