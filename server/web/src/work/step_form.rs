//! The part of the form that records of work have besides method and outcome: aim, area, times, masses, materials.
use crate::form::Errors;
use domain::Instant;
use domain::runs::pasted;
use domain::stages::Stage;
use domain::treatment::{Basis, Material, Treatment, count_people, mass_fault};

/// Rows for materials on the form.
const ROWS: usize = 3;
/// Largest mass of an object in g that is believed: two tonnes.
pub(super) const MASS_G: std::ops::RangeInclusive<f64> = 0.001..=2_000_000.0;
/// Largest area in cm² that is believed: a wall of a hundred square metres.
const AREA_CM2: std::ops::RangeInclusive<f64> = 0.01..=1_000_000.0;
/// Units that are understood, the first of them meant where none stands.
pub(super) const MASSES: &[(&str, f64)] = pasted::MASSES;
const AREAS: &[(&str, f64)] =
    &[("cm²", 1.0), ("cm2", 1.0), ("mm²", 0.01), ("mm2", 0.01), ("m²", 10_000.0), ("m2", 10_000.0)];
const PERCENT: &[(&str, f64)] = &[("%", 1.0)];
/// Minutes of a day.
const DAY_MIN: i64 = 24 * 60;

/// As typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct StepForm {
    pub aim: String,
    pub area: String,
    pub area_cm2: String,
    pub begun: String,
    pub ended: String,
    pub mass_before_g: String,
    pub mass_after_g: String,
    pub removed: String,
    pub kept: String,
    pub material: Vec<String>,
    pub batch: Vec<String>,
    pub concentration: Vec<String>,
    pub basis: Vec<String>,
    /// `no` when the step went further than the level agreed.
    pub within: String,
    /// How far, in words.
    pub beyond: String,
}

/// One row of materials.
pub(super) struct MaterialRow {
    pub name: String,
    pub batch: String,
    pub concentration: String,
    pub basis: String,
}

/// Whether a stage cleans: aim, area, masses and what came off are asked of it.
pub(super) fn cleans(stage: Stage) -> bool {
    matches!(stage, Stage::DryClean | Stage::WetClean)
}

/// Whether a stage uses materials that are worth a batch number.
pub(super) fn uses_materials(stage: Stage) -> bool {
    matches!(stage, Stage::FirstAid | Stage::DryClean | Stage::WetClean | Stage::Drying | Stage::Packing)
}

impl StepForm {
    /// A step that is to be corrected.
    pub(super) fn of(step: &Treatment) -> Self {
        let number = |value: Option<f64>| value.map(|v| v.to_string()).unwrap_or_default();
        let materials = &step.materials;
        let share =
            |m: &Material| m.concentration.map(|(percent, _)| percent.to_string()).unwrap_or_default();
        let basis =
            |m: &Material| m.concentration.map(|(_, basis)| basis.code().to_owned()).unwrap_or_default();
        Self {
            aim: step.aim.clone(),
            area: step.area.clone(),
            area_cm2: number(step.area_cm2),
            begun: step.begun_min.map(clock).unwrap_or_default(),
            ended: step.ended_min.map(clock).unwrap_or_default(),
            mass_before_g: number(step.mass_before_g),
            mass_after_g: number(step.mass_after_g),
            removed: step.removed.clone(),
            kept: step.kept.clone(),
            material: materials.iter().map(|m| m.name.clone()).collect(),
            batch: materials.iter().map(|m| m.batch.clone()).collect(),
            concentration: materials.iter().map(share).collect(),
            basis: materials.iter().map(basis).collect(),
            ..Self::default()
        }
    }

    /// Everything of an earlier step but its masses; it is offered as ending now and as having lasted as long.
    pub(super) fn again(step: &Treatment, now: Instant) -> Self {
        let ended = minute_of(now);
        let lasted = step.begun_min.zip(step.ended_min).map(|(begun, ended)| ended - begun);
        let (begun, ended) = match lasted {
            Some(lasted) if lasted <= ended => (clock(ended - lasted), clock(ended)),
            _ => (String::new(), String::new()),
        };
        Self { begun, ended, mass_before_g: String::new(), mass_after_g: String::new(), ..Self::of(step) }
    }

    /// Aim and materials of an earlier step.
    pub(super) fn offered(step: &Treatment) -> Self {
        let all = Self::of(step);
        Self {
            aim: all.aim,
            material: all.material,
            batch: all.batch,
            concentration: all.concentration,
            basis: all.basis,
            ..Self::default()
        }
    }

    /// Offers the times nobody has typed: from when the find was taken in hand until now, both of today.
    pub(super) fn offer_times(&mut self, in_hand: Option<Instant>, now: Instant) {
        let since = in_hand.filter(|since| since.date_naive() == now.date_naive()).map(minute_of);
        if let (true, Some(since)) = (self.begun.is_empty(), since) {
            self.begun = clock(since);
        }
        if self.ended.is_empty() && !self.begun.is_empty() && self.begun < clock(minute_of(now)) {
            self.ended = clock(minute_of(now));
        }
    }

    /// The rows of the form.
    pub(super) fn rows(&self) -> Vec<MaterialRow> {
        let at = |list: &[String], row: usize| list.get(row).cloned().unwrap_or_default();
        let row = |row| MaterialRow {
            name: at(&self.material, row),
            batch: at(&self.batch, row),
            concentration: at(&self.concentration, row),
            basis: at(&self.basis, row),
        };
        (0..ROWS.max(self.material.len())).map(row).collect()
    }

    /// The step, with everything that is wrong noted.
    pub(super) fn parse(&self, stage: Stage, done_by: &str, errors: &mut Errors) -> Treatment {
        let mut step = Treatment { people: count_people(done_by), ..Treatment::default() };
        (step.begun_min, step.ended_min) = self.times(errors);
        if uses_materials(stage) {
            step.materials = self.materials(errors);
        }
        if cleans(stage) {
            step.aim = errors.line("aim", &self.aim);
            step.area = errors.line("area", &self.area);
            step.area_cm2 = amount(errors, "area_cm2", &self.area_cm2, (AREAS, AREA_CM2));
            step.mass_before_g = amount(errors, "mass_before_g", &self.mass_before_g, (MASSES, MASS_G));
            step.mass_after_g = amount(errors, "mass_after_g", &self.mass_after_g, (MASSES, MASS_G));
            if let (Some(before), Some(after)) = (step.mass_before_g, step.mass_after_g)
                && let Some(sentence) = mass_fault(stage, before, after)
            {
                errors.add("mass_after_g", sentence);
            }
            step.removed = errors.text("removed", &self.removed);
            step.kept = errors.text("kept", &self.kept);
        }
        step
    }

    /// How the step went further than agreed, where somebody says so.
    pub(super) fn beyond(&self, stage: Stage, errors: &mut Errors) -> String {
        if !cleans(stage) {
            return String::new();
        }
        if self.within != "no" {
            if !self.beyond.trim().is_empty() {
                errors.add(
                    "within",
                    "You say below how it went further. Choose so here, or clear those words.",
                );
            }
            return String::new();
        }
        errors.required(
            "beyond",
            &self.beyond,
            "Say in words how the step went beyond the agreed level, and why.",
        )
    }

    fn times(&self, errors: &mut Errors) -> (Option<i64>, Option<i64>) {
        let begun = minute(errors, "begun", &self.begun);
        let ended = minute(errors, "ended", &self.ended);
        match (begun, ended) {
            (Some(begun), Some(ended)) if ended <= begun => errors.add(
                "ended",
                "It ended before it began. Check both times; work past midnight is two records.",
            ),
            (None, Some(_)) if self.begun.trim().is_empty() => {
                errors.add("begun", "Say when it began, or leave the end out too.");
            }
            _ => {}
        }
        (begun, ended)
    }

    fn materials(&self, errors: &mut Errors) -> Vec<Material> {
        let mut materials = Vec::new();
        for row in self.rows() {
            let name = errors.line("material", &row.name);
            let batch = errors.line("material", &row.batch);
            let percent = amount(errors, "material", &row.concentration, (PERCENT, 0.000_001..=100.0));
            if name.is_empty() {
                if !batch.is_empty() || !row.concentration.trim().is_empty() {
                    errors.add("material", "One row has a batch or a concentration without its material. Name it, or clear the row.");
                }
                continue;
            }
            let concentration = match percent {
                Some(percent) => errors.choice("material", &row.basis).map(|basis: Basis| (percent, basis)),
                None => None,
            };
            materials.push(Material { name, batch, concentration });
        }
        materials
    }
}

/// A number with a unit that may be left out, within what can be; empty is none.
pub(super) fn amount(
    errors: &mut Errors,
    field: &'static str,
    typed: &str,
    (units, limits): (&[(&str, f64)], std::ops::RangeInclusive<f64>),
) -> Option<f64> {
    if typed.trim().is_empty() {
        return None;
    }
    match pasted::amount(typed, units, 1.0) {
        Ok(value) if limits.contains(&value) => Some(value),
        Ok(_) => {
            let (least, most) = (limits.start(), limits.end());
            let unit = units.first().map_or("", |(name, _)| *name);
            errors
                .add(field, format!("“{}” is outside what can be: {least} to {most} {unit}.", typed.trim()));
            None
        }
        Err(sentence) => {
            errors.add(field, sentence);
            None
        }
    }
}

/// “09:40” as minutes since midnight; empty is none.
fn minute(errors: &mut Errors, field: &'static str, typed: &str) -> Option<i64> {
    let typed = typed.trim();
    if typed.is_empty() {
        return None;
    }
    let digits = typed.replace(['.', 'h'], ":");
    let (hours, minutes) = match digits.split_once(':') {
        Some((hours, minutes)) => (hours.to_owned(), minutes.get(..2).unwrap_or(minutes).to_owned()),
        None if digits.len() == 4 && digits.is_ascii() => (digits[..2].to_owned(), digits[2..].to_owned()),
        None => (digits, "0".to_owned()),
    };
    let read = hours.parse::<i64>().ok().zip(minutes.parse::<i64>().ok());
    let read = read.filter(|(hours, minutes)| (0..24).contains(hours) && (0..60).contains(minutes));
    let at = read.map(|(hours, minutes)| hours * 60 + minutes).filter(|at| *at < DAY_MIN);
    if at.is_none() {
        errors.add(field, format!("“{typed}” is no time of day. Write it like 09:40."));
    }
    at
}

/// Minutes since midnight of a moment.
fn minute_of(at: Instant) -> i64 {
    i64::from(chrono::Timelike::num_seconds_from_midnight(&at.time())) / 60
}

/// Minutes since midnight as “09:40”.
pub(crate) fn clock(minutes: i64) -> String {
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}
