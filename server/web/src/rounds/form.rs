//! A round as typed: one row a pack, and the looks it parses to.
use crate::form::Errors;
use chrono::{NaiveDate, NaiveTime};
use domain::Instant;
use domain::clocks::ClockKind;
use domain::ids::ClockId;
use store::clocks::looks::NewLook;
use store::clocks::round::Passed;
use store::clocks::rules::{self, OwnRule};

/// Packs that one round may pass.
pub(super) const MOST_PACKS: usize = 200;

/// As typed. `clock`, `words` and `reading` stand once in each row, in the same order.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct RoundForm {
    pub kind: String,
    pub project: String,
    pub place: String,
    pub order: String,
    pub done_by: String,
    pub done_on: String,
    pub clock: Vec<String>,
    pub words: Vec<String>,
    pub reading: Vec<String>,
    /// Clocks that were ticked as in order.
    pub well: Vec<String>,
    /// Clocks whose fault was put right on the spot.
    pub put_right: Vec<String>,
}

/// One row as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Typed {
    pub well: bool,
    pub words: String,
    pub put_right: bool,
    pub reading: String,
}

/// What keeps a round from being kept: about the whole of it, and about single packs.
#[derive(Debug, Default)]
pub(super) struct Faults {
    pub errors: Errors,
    pub packs: Vec<(ClockId, String)>,
}

impl Faults {
    pub(super) fn of(&self, clock: ClockId) -> Option<&str> {
        self.packs.iter().find(|(id, _)| *id == clock).map(|(_, sentence)| sentence.as_str())
    }

    fn is_empty(&self) -> bool {
        self.errors.is_empty() && self.packs.is_empty()
    }
}

/// What a round knows besides what was typed.
pub(super) struct Known<'a> {
    pub packs: &'a [Passed],
    pub now: Instant,
    /// The rules of each project the packs belong to.
    pub rules: &'a [(domain::ids::ProjectId, Vec<OwnRule>)],
}

impl RoundForm {
    /// The clocks of the rows; what is no id is passed over.
    pub(super) fn clocks(&self) -> Vec<ClockId> {
        self.clock.iter().filter_map(|text| text.parse().ok()).collect()
    }

    /// What was typed about a clock.
    pub(super) fn row(&self, clock: ClockId) -> Typed {
        let id = clock.to_string();
        let at = self.clock.iter().position(|text| *text == id);
        let nth = |list: &[String]| at.and_then(|at| list.get(at)).cloned().unwrap_or_default();
        Typed {
            well: self.well.contains(&id),
            words: nth(&self.words),
            put_right: self.put_right.contains(&id),
            reading: nth(&self.reading),
        }
    }

    /// The looks of a round, or everything that is wrong with it. A row left empty was not looked at.
    pub(super) fn parse(&self, known: &Known<'_>) -> Result<Vec<NewLook>, Faults> {
        let mut faults = Faults::default();
        let done_by = faults.errors.required("done_by", &self.done_by, "Say who went round.");
        let looked_at = self.looked_at(known.now, &mut faults.errors);
        let mut looks = Vec::new();
        for pack in known.packs {
            match self.look(pack, looked_at, known) {
                Ok(Some(look)) => looks.push(NewLook { done_by: done_by.clone(), ..look }),
                Ok(None) => {}
                Err(sentence) => faults.packs.push((pack.id, sentence)),
            }
        }
        if looks.is_empty() && faults.packs.is_empty() {
            faults.errors.add("packs", "Nothing is ticked yet. Tick what is in order, or say what is not.");
        }
        if faults.is_empty() { Ok(looks) } else { Err(faults) }
    }

    /// The moment of a round: now for one of today, noon of its day for one that is typed in afterwards.
    fn looked_at(&self, now: Instant, errors: &mut Errors) -> Instant {
        let today = now.date_naive();
        match errors.day("done_on", &self.done_on) {
            Some(day) if day > today => {
                errors.add("done_on", "This day is still to come. Write the day of the round.");
                now
            }
            Some(day) if day < today => midday(day),
            Some(_) => now,
            None => {
                errors.add("done_on", "Say on which day the round was made.");
                now
            }
        }
    }

    fn look(&self, pack: &Passed, looked_at: Instant, known: &Known<'_>) -> Result<Option<NewLook>, String> {
        let typed = self.row(pack.id);
        let mut errors = Errors::default();
        let words = errors.line("words", &typed.words);
        let reads = pack.kind == ClockKind::Indicator;
        let indicator_rh = errors.measure("reading", &typed.reading, 0.0..=100.0).filter(|_| reads);
        if let Some((_, sentence)) = errors.list().first() {
            return Err(sentence.clone());
        }
        if typed.well && (!words.is_empty() || typed.put_right) {
            return Err("Either it is in order or it is not: take the tick away, or the words.".into());
        }
        if !typed.well && words.is_empty() {
            if typed.put_right {
                return Err("Say what was put right.".into());
            }
            if indicator_rh.is_some() {
                return Err("Tick it as in order, or say what is not.".into());
            }
            return Ok(None);
        }
        if looked_at.date_naive() < pack.started_at.date_naive() {
            let since = crate::filters::show_day(pack.started_at.date_naive());
            return Err(format!("It is there since {since}, after the day of this round."));
        }
        let own = known.rules.iter().find(|(project, _)| *project == pack.project_id);
        let rule = rules::choose(own.map_or(&[], |(_, rules)| rules), pack.kind, &pack.material);
        Ok(Some(NewLook {
            clock: pack.id,
            find: pack.find_id,
            in_order: typed.well,
            put_right: typed.put_right,
            words,
            indicator_rh,
            looked_at,
            next_at: rule.next_look_at(looked_at, typed.well || typed.put_right),
            done_by: String::new(),
        }))
    }
}

fn midday(day: NaiveDate) -> Instant {
    (day.and_time(NaiveTime::MIN) + chrono::Duration::hours(12)).and_utc()
}
