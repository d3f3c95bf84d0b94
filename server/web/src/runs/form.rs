//! What is typed on the page of a run: weighings, baths, the next step, the end.
use super::Known;
use crate::context::Ctx;
use crate::filters::show_moment;
use crate::form::Errors;
use calc::Quantity;
use calc::desalination::{conductivity, release};
use chrono::{DateTime, Utc};
use domain::Instant;
use domain::runs::pasted;
use store::runs::baths::NewBath;
use store::runs::weighings::NewWeighing;

/// Units that are understood, the first of them meant where none stands.
pub(crate) const MASSES: &[(&str, f64)] = pasted::MASSES;
pub(crate) const VOLUMES: &[(&str, f64)] = &[("L", 1.0), ("l", 1.0), ("mL", 0.001), ("ml", 0.001)];
const CONDUCTIVITIES: &[(&str, f64)] = &[("µS/cm", 1.0), ("μS/cm", 1.0), ("uS/cm", 1.0), ("mS/cm", 1000.0)];
const CONCENTRATIONS: &[(&str, f64)] = &[("mg/L", 1.0), ("mg/l", 1.0), ("g/L", 1000.0)];
pub(crate) const PERCENT: &[(&str, f64)] = &[("%", 1.0)];
pub(crate) const DEGREES: &[(&str, f64)] = &[("°C", 1.0), ("C", 1.0)];
const HUMIDITY: Quantity = Quantity::new("rh_pct", "the relative humidity", "%", 0.0, 100.0);

/// A number with a unit that may be left out, within the limits of its quantity; empty is none.
pub(crate) fn amount(
    errors: &mut Errors,
    field: &'static str,
    typed: &str,
    (quantity, units): (&Quantity, &[(&str, f64)]),
) -> Option<f64> {
    if typed.trim().is_empty() {
        return None;
    }
    let value = pasted::amount(typed, units, 1.0)
        .and_then(|value| quantity.check(value).map_err(|refused| refused.to_string()));
    value.map_err(|sentence| errors.add(field, sentence)).ok()
}

/// The same where it must be there.
pub(crate) fn needed(
    errors: &mut Errors,
    field: &'static str,
    typed: &str,
    known: (&Quantity, &[(&str, f64)]),
    missing: &str,
) -> Option<f64> {
    if typed.trim().is_empty() {
        errors.add(field, missing);
    }
    amount(errors, field, typed, known)
}

/// A moment as a browser sends it or as people write it, not still to come.
pub(crate) fn moment(errors: &mut Errors, field: &'static str, typed: &str, now: Instant) -> Option<Instant> {
    match pasted::moment(typed) {
        None if typed.trim().is_empty() => {
            errors.add(field, "Say when, like 2031-09-14 08:30.");
            None
        }
        None => {
            errors.add(
                field,
                format!("“{}” is no date and time. Write it like 2031-09-14 08:30.", typed.trim()),
            );
            None
        }
        Some(at) if at.and_utc() > now => {
            errors.add(field, "This moment is still to come. Write when it was read.");
            None
        }
        Some(at) => Some(at.and_utc()),
    }
}

/// A moment as a browser takes it.
pub(super) fn typed_moment(at: DateTime<Utc>) -> String {
    at.format("%Y-%m-%dT%H:%M").to_string()
}

/// Everything typed on the page, of which one form is sent at a time.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct RunForm {
    // a weighing
    pub weighed_at: String,
    pub mass_g: String,
    pub rh_pct: String,
    pub t_c: String,
    pub seen: String,
    pub pasted: String,
    // a bath
    pub read_at: String,
    pub volume_l: String,
    pub blank_us_cm: String,
    pub reading_us_cm: String,
    pub chloride_mg_l: String,
    // the next set point, or a withdrawal, or a reopening
    pub reason: String,
    // the end
    pub how: String,
    pub end_words: String,
    pub done_by: String,
    pub checked_by: String,
}

impl RunForm {
    /// The weighing, or what is wrong with it.
    pub(super) fn weighing(
        &self,
        ctx: &Ctx,
        known: &Known,
        before: &[(Instant, f64)],
    ) -> Result<NewWeighing, Errors> {
        let mut errors = Errors::default();
        known.closed_to(ctx, &mut errors, "mass_g");
        let at = moment(&mut errors, "weighed_at", &self.weighed_at, ctx.now);
        let mass = (&calc::drying::MASS, MASSES);
        let mass =
            needed(&mut errors, "mass_g", &self.mass_g, mass, "Write the mass that the balance shows.");
        let rh_pct = amount(&mut errors, "rh_pct", &self.rh_pct, (&HUMIDITY, PERCENT));
        let t_c = amount(&mut errors, "t_c", &self.t_c, (&calc::air::TEMPERATURE, DEGREES));
        let seen = errors.text("seen", &self.seen);
        if let Some(at) = at {
            later_than(
                &mut errors,
                ("weighed_at", at),
                known.run.started_at,
                before.last().map(|last| last.0),
            );
        }
        if let (Some((_, last)), Some(mass)) = (before.last(), mass)
            && let Some(sentence) = improbable(*last, mass)
        {
            errors.add("mass_g", sentence);
        }
        match (at, mass) {
            (Some(weighed_at), Some(mass_g)) if errors.is_empty() => {
                Ok(NewWeighing { weighed_at, mass_g, rh_pct, t_c, seen })
            }
            _ => Err(errors),
        }
    }

    /// The bath, or what is wrong with it.
    pub(super) fn bath(&self, ctx: &Ctx, known: &Known, before: Option<Instant>) -> Result<NewBath, Errors> {
        let mut errors = Errors::default();
        known.closed_to(ctx, &mut errors, "reading_us_cm");
        let at = moment(&mut errors, "read_at", &self.read_at, ctx.now);
        let volume = (&release::VOLUME, VOLUMES);
        let volume = needed(&mut errors, "volume_l", &self.volume_l, volume, "Say how much water there was.");
        let blank = (&release::BLANK, CONDUCTIVITIES);
        let blank = needed(
            &mut errors,
            "blank_us_cm",
            &self.blank_us_cm,
            blank,
            "Read the water alone, before the find.",
        );
        let reading = (&release::READING, CONDUCTIVITIES);
        let reading =
            needed(&mut errors, "reading_us_cm", &self.reading_us_cm, reading, "Write what the meter shows.");
        let t_c = amount(&mut errors, "t_c", &self.t_c, (&conductivity::TEMPERATURE, DEGREES));
        let chloride_mg_l = amount(
            &mut errors,
            "chloride_mg_l",
            &self.chloride_mg_l,
            (&release::CONCENTRATION, CONCENTRATIONS),
        );
        let seen = errors.text("seen", &self.seen);
        if let Some(at) = at {
            later_than(&mut errors, ("read_at", at), known.run.started_at, before);
        }
        match (at, volume, blank, reading) {
            (Some(read_at), Some(volume_l), Some(blank_us_cm), Some(reading_us_cm)) if errors.is_empty() => {
                Ok(NewBath { read_at, volume_l, blank_us_cm, reading_us_cm, t_c, chloride_mg_l, seen })
            }
            _ => Err(errors),
        }
    }
}

/// Readings follow one another, the first after the start.
fn later_than(
    errors: &mut Errors,
    (field, at): (&'static str, Instant),
    start: Instant,
    last: Option<Instant>,
) {
    if at < start {
        errors.add(field, format!("The run began on {}: this is before it.", show_moment(start)));
    } else if let Some(last) = last.filter(|last| at <= *last) {
        errors
            .add(field, format!("The last one was read on {}: this one has to be later.", show_moment(last)));
    }
}

/// A mass that no drying explains: a slip of the decimal sign, or another tray.
pub(super) fn improbable(before_g: f64, mass_g: f64) -> Option<String> {
    let times = mass_g / before_g;
    (!(0.2..=5.0).contains(&times)).then(|| {
        format!(
            "{} g follows {} g. Look at the decimal sign, and weigh with the same tray each time.",
            crate::filters::show_measure(mass_g),
            crate::filters::show_measure(before_g)
        )
    })
}
