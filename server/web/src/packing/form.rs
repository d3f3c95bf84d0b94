//! A sealing as typed.
use crate::form::Errors;
use crate::runs::{DEGREES, MASSES, PERCENT, VOLUMES, amount};
use calc::Quantity;
use calc::sorbent::{self, AirExchange};
use chrono::NaiveDate;
use domain::packing::{self, Sealing};
use domain::runs::pasted;

const VOLUME: Quantity = Quantity::new("volume_l", "the volume of the box", "L", 0.001, 1_000_000.0);
const GEL: Quantity = Quantity::new("sorbent_g", "the mass of sorbent", "g", 0.0, 1_000_000.0);
const GROSS: Quantity = Quantity::new("gross_kg", "the gross mass", "kg", 0.001, 5_000.0);
const KILOGRAMS: &[(&str, f64)] = &[("kg", 1.0), ("g", 0.001)];
const PER_DAY: &[(&str, f64)] = &[("a day", 1.0), ("/d", 1.0), ("/day", 1.0)];
const RESERVOIR: &[(&str, f64)] = &[("g/kg/%", 1.0), ("g per kg and %", 1.0)];
const DAYS: &[(&str, f64)] = &[("days", 1.0), ("d", 1.0)];

/// As typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct SealingForm {
    pub sealed_on: String,
    pub done_by: String,
    pub container: String,
    pub materials: String,
    pub band: String,
    pub volume_l: String,
    pub air_per_day: String,
    pub decay: String,
    pub background: String,
    pub sorbent: String,
    pub sorbent_g: String,
    pub reservoir: String,
    pub reservoir_words: String,
    pub start_pct: String,
    pub outside_pct: String,
    pub t_c: String,
    pub gross_kg: String,
    pub next_check_on: String,
    /// How long the gel should last.
    pub wanted_days: String,
    /// `work_out` where nothing is to be saved yet.
    pub only: String,
}

impl SealingForm {
    /// What a form begins with.
    pub(super) fn fresh(name: &str, today: NaiveDate) -> Self {
        Self {
            sealed_on: today.to_string(),
            done_by: name.to_owned(),
            wanted_days: "365".into(),
            ..Self::default()
        }
    }

    /// The form of a box that is sealed anew: everything as before but what is read each time.
    pub(super) fn after(last: &Sealing, name: &str, today: NaiveDate) -> Self {
        let shown = |value: Option<f64>| value.map(crate::filters::show_measure).unwrap_or_default();
        Self {
            container: last.container.clone(),
            materials: last.materials.clone(),
            band: last.band.clone(),
            volume_l: shown(last.volume_l),
            air_per_day: shown(last.air_per_day),
            sorbent: last.sorbent.clone(),
            sorbent_g: shown(last.sorbent_g),
            reservoir: shown(last.reservoir),
            reservoir_words: last.reservoir_words.clone(),
            outside_pct: shown(last.outside_pct),
            t_c: shown(last.t_c),
            ..Self::fresh(name, today)
        }
    }

    pub(super) fn only_works_out(&self) -> bool {
        self.only == "work_out"
    }

    /// The sealing, what is wrong with it noted. `groups` are the materials that lie in the box.
    pub(super) fn parse(&self, groups: &[String], today: NaiveDate, errors: &mut Errors) -> Sealing {
        let sealed_on = errors.day("sealed_on", &self.sealed_on);
        match sealed_on {
            Some(day) if day > today => errors.add("sealed_on", "This day is still to come."),
            Some(_) => {}
            None => errors.add("sealed_on", "Say on which day it was sealed."),
        }
        let sealed_on = sealed_on.unwrap_or(today);
        let next_check_on = errors.day("next_check_on", &self.next_check_on);
        if next_check_on.is_some_and(|next| next < sealed_on) {
            errors.add("next_check_on", "The next check comes after the sealing.");
        }
        let (air_per_day, air_words) = self.air(errors);
        let reservoir = amount(errors, "reservoir", &self.reservoir, (&sorbent::RESERVOIR, RESERVOIR));
        let reservoir_words = errors.line("reservoir_words", &self.reservoir_words);
        if reservoir.is_some() && reservoir_words.is_empty() {
            errors.add(
                "reservoir_words",
                "Say where it is from: the supplier’s curve, between which humidities.",
            );
        }
        Sealing {
            sealed_on,
            done_by: errors.required("done_by", &self.done_by, "Say who packed it."),
            container: errors.required("container", &self.container, "Say in what it is packed."),
            materials: errors.text("materials", &self.materials),
            band: self.band(groups, errors),
            volume_l: amount(errors, "volume_l", &self.volume_l, (&VOLUME, VOLUMES)),
            air_per_day,
            air_words,
            sorbent: errors.line("sorbent", &self.sorbent),
            sorbent_g: amount(errors, "sorbent_g", &self.sorbent_g, (&GEL, MASSES)),
            reservoir,
            reservoir_words,
            start_pct: amount(errors, "start_pct", &self.start_pct, (&sorbent::START, PERCENT)),
            outside_pct: amount(errors, "outside_pct", &self.outside_pct, (&sorbent::OUTSIDE, PERCENT)),
            t_c: amount(errors, "t_c", &self.t_c, (&calc::air::TEMPERATURE, DEGREES)),
            gross_kg: amount(errors, "gross_kg", &self.gross_kg, (&GROSS, KILOGRAMS)),
            next_check_on,
        }
    }

    /// Days that the gel should last.
    pub(super) fn wanted(&self, errors: &mut Errors) -> Option<f64> {
        amount(errors, "wanted_days", &self.wanted_days, (&sorbent::DAYS, DAYS))
    }

    fn band(&self, groups: &[String], errors: &mut Errors) -> String {
        if self.band.is_empty() {
            return String::new();
        }
        match calc::climate::band_named(&self.band) {
            None => errors.add("band", "Choose a climate of the list."),
            Some(band) if packing::is_desiccated(band) && groups.iter().any(|g| packing::needs_water(g)) => {
                errors.add("band", packing::NO_DESICCANT);
            }
            Some(_) => {}
        }
        self.band.clone()
    }

    /// Changes of air a day: typed, or from a decay that was read.
    fn air(&self, errors: &mut Errors) -> (Option<f64>, String) {
        let typed = amount(errors, "air_per_day", &self.air_per_day, (&sorbent::AIR_CHANGES, PER_DAY));
        if self.decay.trim().is_empty() {
            return (typed, typed.map(|_| "assumed".to_owned()).unwrap_or_default());
        }
        let background =
            amount(errors, "background", &self.background, (&sorbent::exchange::BACKGROUND, &[]));
        let columns =
            pasted::Columns { first: pasted::number, first_words: "the hours since the start", units: &[] };
        let list = pasted::read(&self.decay, &columns);
        if let Some(fault) = list.faults.first() {
            errors.add("decay", fault.clone());
            return (None, String::new());
        }
        let (hours, readings): (Vec<f64>, Vec<f64>) =
            list.pairs.iter().map(|pair| (pair.at, pair.value)).unzip();
        match AirExchange::from_decay(&hours, &readings, background.unwrap_or(0.0)) {
            Err(refused) => {
                errors.add("decay", refused.to_string());
                (None, String::new())
            }
            Ok(found) => {
                let doubtful = if found.is_doubtful() { "; doubtful, measure again" } else { "" };
                let figures = crate::figure::figures;
                let words = format!(
                    "measured: {} readings, 95 % between {} and {}, r² {}{doubtful}",
                    hours.len(),
                    figures(found.low_95, 2),
                    figures(found.high_95, 2),
                    crate::figure::fixed(found.r2, 3)
                );
                (Some(found.per_day), words)
            }
        }
    }
}

/// The climate of a sealing in words, for the record of work.
pub(super) fn climate_words(sealing: &Sealing) -> String {
    let band = sealing.band().map(|band| format!("{}: {}", band.material, packing::band_words(band)));
    let gel = Some(gel_words(sealing)).filter(|words| !words.is_empty());
    band.into_iter().chain(gel).collect::<Vec<_>>().join("; ")
}

/// “300 g silica gel”; empty where none was weighed in.
pub(super) fn gel_words(sealing: &Sealing) -> String {
    let Some(mass) = sealing.sorbent_g else { return String::new() };
    let name = if sealing.sorbent.is_empty() { "sorbent" } else { &sealing.sorbent };
    format!("{} g {name}", crate::filters::show_measure(mass))
}
