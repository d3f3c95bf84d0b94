//! The fields of an opinion as pages show them: rows of which there may be several, groups that are folded away.
use super::opinion_form::{ADVICE, DATES, OpinionForm, PARALLELS, at, shown};
use crate::form::Errors;
use domain::review::opinion::{Confidence, DateKind, Likeness, SeenAs, Weight};

/// The form with what its rows and lists show.
pub(super) struct Fields {
    pub form: OpinionForm,
    /// Where a script asks how dates are read.
    pub reading_href: String,
    /// The readings on the page in one line.
    pub shown: String,
    pub dates: Vec<DateRow>,
    pub parallels: Vec<ParallelRow>,
    pub advice: Vec<AdviceRow>,
    pub confidences: &'static [Confidence],
    pub kinds: &'static [DateKind],
    pub weights: &'static [Weight],
    pub seen: &'static [SeenAs],
    pub likenesses: &'static [Likeness],
    /// The group whose row was asked for.
    asked_for: Option<&'static str>,
}

/// One range of years as typed, and as it is read.
pub(super) struct DateRow {
    pub id: &'static str,
    pub number: usize,
    pub words: String,
    pub kind: String,
    pub weight: String,
    /// “Read as …”.
    pub reading: String,
    pub rule: String,
}

/// One parallel as typed.
pub(super) struct ParallelRow {
    pub id: &'static str,
    pub number: usize,
    pub citation: String,
    pub place: String,
    pub date: String,
    pub basis: String,
    pub likeness: Vec<Likeness>,
}

/// One recommendation as typed.
pub(super) struct AdviceRow {
    pub id: &'static str,
    pub number: usize,
    pub action: String,
    pub reason: String,
    pub days: String,
    pub cost: String,
}

/// How many rows a form shows of each kind; more only when they are asked for.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Rows {
    dates: usize,
    parallels: usize,
    advice: usize,
}

impl Rows {
    /// One row more of the kind that a button asks for.
    pub fn asked(form: &OpinionForm) -> Self {
        let wanted = |rows: &[String]| rows.iter().filter(|words| !words.trim().is_empty()).count() + 1;
        let one = |rows: &[String]| wanted(rows).max(2);
        match form.do_what.as_str() {
            "dates" => Self { dates: one(&form.date_words).min(DATES.len()), ..Self::default() },
            "parallels" => {
                Self { parallels: one(&form.parallel_citation).min(PARALLELS.len()), ..Self::default() }
            }
            "advice" => Self { advice: one(&form.advice_action).min(ADVICE.len()), ..Self::default() },
            _ => Self::default(),
        }
    }

    /// Where a kept draft leads: to the row that was asked for, or to the dates as they are read.
    pub fn address(page: &str, form: &OpinionForm) -> String {
        let asked = Self::asked(form);
        let row = |name: &str, ids: &'static [&'static str], wanted: usize| {
            format!("{page}?{name}={wanted}#{}", ids[wanted - 1])
        };
        match form.do_what.as_str() {
            "dates" => row("dates", &DATES, asked.dates),
            "parallels" => row("parallels", &PARALLELS, asked.parallels),
            "advice" => row("advice", &ADVICE, asked.advice),
            "look" => format!("{page}#{}", DATES[0]),
            _ => page.to_owned(),
        }
    }
}

impl Fields {
    /// The form with at least one row of each kind.
    pub fn of(form: OpinionForm, rows: &Rows, convention: &str, reading_href: String) -> Self {
        let readings = form.readings(convention);
        let read = |row: usize| {
            let reading = readings.iter().find(|(at, _)| *at == row).and_then(|(_, r)| r.as_ref().ok());
            reading.map(|r| (format!("Read as {}", r.label), r.rule.clone())).unwrap_or_default()
        };
        let date = |(row, id): (usize, &&'static str)| {
            let (reading, rule) = read(row);
            DateRow {
                id,
                number: row + 1,
                words: at(&form.date_words, row).into(),
                kind: at(&form.date_kind, row).into(),
                weight: at(&form.date_weight, row).into(),
                reading,
                rule,
            }
        };
        let parallel = |(row, id): (usize, &&'static str)| ParallelRow {
            id,
            number: row + 1,
            citation: at(&form.parallel_citation, row).into(),
            place: at(&form.parallel_place, row).into(),
            date: at(&form.parallel_date, row).into(),
            basis: at(&form.parallel_basis, row).into(),
            likeness: form.likenesses(row),
        };
        let advice = |(row, id): (usize, &&'static str)| AdviceRow {
            id,
            number: row + 1,
            action: at(&form.advice_action, row).into(),
            reason: at(&form.advice_reason, row).into(),
            days: at(&form.advice_days, row).into(),
            cost: at(&form.advice_cost, row).into(),
        };
        let dates = needed(&[&form.date_words], rows.dates);
        let lines =
            [&form.parallel_citation, &form.parallel_place, &form.parallel_date, &form.parallel_basis];
        let parallels = needed(&lines, rows.parallels);
        let lines = [&form.advice_action, &form.advice_reason, &form.advice_days, &form.advice_cost];
        let advised = needed(&lines, rows.advice);
        Self {
            reading_href,
            shown: shown(&readings),
            dates: DATES.iter().enumerate().take(dates).map(date).collect(),
            parallels: PARALLELS.iter().enumerate().take(parallels).map(parallel).collect(),
            advice: ADVICE.iter().enumerate().take(advised).map(advice).collect(),
            confidences: Confidence::ALL,
            kinds: DateKind::ALL,
            weights: Weight::ALL,
            seen: SeenAs::ALL,
            likenesses: Likeness::ALL,
            asked_for: match rows {
                Rows { parallels: 1.., .. } => Some("parallels"),
                Rows { advice: 1.., .. } => Some("advice"),
                _ => None,
            },
            form,
        }
    }

    /// Whether a way of seeing is ticked.
    pub fn sees(&self, way: &SeenAs) -> bool {
        self.form.seen_as.iter().any(|ticked| ticked == way.code())
    }

    /// What a folded group holds, beside its name.
    pub fn said_of_parallels(&self) -> String {
        let cited = self.parallels.iter().filter(|row| !row.citation.is_empty()).count();
        match (cited, self.form.parallels_none.as_str()) {
            (0, "yes") => "none found".into(),
            (0, _) => String::new(),
            (n, _) => format!("{n} cited"),
        }
    }

    pub fn said_more(&self) -> String {
        let form = &self.form;
        let all = [
            (&form.material_words, "material"),
            (&form.origin, "origin"),
            (&form.negative_findings, "not found"),
            (&form.significance, "significance"),
        ];
        let said = all.into_iter().filter(|(words, _)| !words.trim().is_empty()).map(|(_, name)| name);
        said.collect::<Vec<_>>().join(", ")
    }

    pub fn said_of_advice(&self) -> String {
        match self.advice.iter().filter(|row| !row.action.is_empty()).count() {
            0 => String::new(),
            n => n.to_string(),
        }
    }

    pub fn said_of_authors(&self) -> String {
        let joint = self.form.joint_authors.lines().filter(|line| !line.trim().is_empty()).count();
        let authors = (joint > 0).then(|| format!("with {joint} more"));
        let finds = self.form.covers.len();
        let finds = (finds > 0).then(|| format!("{finds} further"));
        authors.into_iter().chain(finds).collect::<Vec<_>>().join(", ")
    }

    /// Whether a folded group stands open: when something in it is wrong, or a row more was asked for.
    pub fn opens_parallels(&self, errors: &Errors) -> bool {
        let wrong =
            PARALLELS.iter().chain(&["parallels", "parallels_none"]).any(|id| errors.get(id).is_some());
        wrong || self.asked_for == Some("parallels")
    }

    pub fn opens_more(&self, errors: &Errors) -> bool {
        let ids = ["material_words", "origin", "negative_findings", "significance"];
        ids.iter().any(|id| errors.get(id).is_some())
    }

    pub fn opens_advice(&self, errors: &Errors) -> bool {
        ADVICE.iter().any(|id| errors.get(id).is_some()) || self.asked_for == Some("advice")
    }

    pub fn opens_authors(&self, errors: &Errors) -> bool {
        ["joint_authors", "covers", "also"].iter().any(|id| errors.get(id).is_some())
    }
}

/// Rows up to the last one with something in it, or as many as were asked for; one at least.
fn needed(columns: &[&Vec<String>], asked: usize) -> usize {
    let last = columns.iter().flat_map(|column| column.iter().rposition(|words| !words.trim().is_empty()));
    last.max().map_or(1, |row| row + 1).max(asked)
}
